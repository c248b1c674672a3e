"""``cutopt rules``: the rule book as it is printed, listed and handed on as JSON."""

import json
import subprocess
import sys
from itertools import pairwise, product
from pathlib import Path

import pytest

from cutopt.cli._errors import guarded
from cutopt.cli._rules import RulesOptions, run_rules
from cutopt.model.job import PlankKind
from cutopt.rulebook import RULES, always, pages
from cutopt.sheet import printed
from cutopt.sheet.rules import book_words, list_words, rule_words, rules_json
from cutopt.units import Unit

GOLDEN = Path(__file__).parent / "data" / "rules"
KINDS = (None, *PlankKind)
UNITS = (None, Unit.IN, Unit.MM)


def run(capsys, **options):
    with pytest.raises(SystemExit) as ended:
        guarded(lambda: sys.exit(run_rules(RulesOptions(**options))))
    told = capsys.readouterr()
    return ended.value.code, told.out, told.err


@pytest.mark.parametrize(("kind", "unit"), [*product(KINDS, UNITS)])
def test_every_line_fits_a_plain_terminal(kind, unit):
    told = pages(kind, unit)
    for words in (book_words(told, always()), list_words(told)):
        lines = printed(words)
        assert max(map(len, lines)) <= 80
        assert all(line.isascii() and line == line.rstrip() for line in lines)


def test_the_book_is_complete_and_in_order():
    lines = printed(book_words(pages(), always()))
    heads = [line for line, rule in pairwise(lines) if line and rule == "-" * len(line)]
    assert heads == [*(entry.name.upper() for entry in RULES), "ALWAYS KEPT"]
    for part in ("Usual values", "Why", "What sources say", "To change it"):
        assert lines.count(part) == len(RULES)
    text = " ".join(" ".join(lines).split())
    for page in pages():
        assert page.says in text
        assert page.why.reason in text
        assert all(saying.says in text for saying in page.why.contradictions)
        assert all(line.citation in text for line in page.usual)
        assert f"under [{page.table}]: {page.example} ({page.takes})" in text


@pytest.mark.parametrize("key", ["rules.stagger", "rules.h_joint"])
def test_a_page_reads_as_it_did(key):
    text = "\n".join(printed(rule_words([page for page in pages() if page.key == key]))) + "\n"
    assert text == (GOLDEN / f"{key}.txt").read_text(encoding="ascii")


def test_json_is_the_pages():
    document = json.loads(rules_json(pages(PlankKind.LAMINATE)))
    assert document["format"] == "cutopt-rules"
    assert [one["key"] for one in document["rules"]] == [entry.key for entry in RULES]
    stagger = document["rules"][2]
    assert stagger["usual"][0] | {"citation": ""} == {
        "kind": "laminate",
        "when": "",
        "value": '12" (300 mm)',
        "ticks": {"in": 12 * 8128, "mm": 300 * 320},
        "source": "one maker's instruction",
        "citation": "",
    }
    assert all(set(one) == set(stagger) for one in document["rules"])
    assert len(stagger["sources_say"]) >= 10


def test_some_rules_are_told_in_the_order_of_the_book(capsys):
    status, out, err = run(
        capsys, names=("H-joint", "min_piece", "minimum piece"), kind="Click-Vinyl", unit="mm"
    )
    assert (status, err) == (0, "")
    assert out.startswith("MINIMUM PIECE\n-------------\n")
    assert out.count("To change it") == 2
    assert "  click vinyl  200 mm  memory [1]\n" in out
    assert '"' not in out.partition("H-JOINT")[0].partition("Why")[0]
    assert out.endswith("change the job file and plan again.\n")


def test_a_name_from_a_check_leads_to_its_rule(capsys):
    assert run(capsys, names=("waiting offcuts",))[1].startswith("PLANKS WAITING\n")


def test_the_list_has_a_line_for_each_rule(capsys):
    status, out, _ = run(capsys, listed=True, unit="in", kind="laminate")
    lines = out.splitlines()
    assert (status, len(lines)) == (0, 1 + len(RULES))
    assert lines[3].split() == ["stagger", "rules.stagger", '12"']


def test_wrong_names_are_all_told_with_the_nearest(capsys):
    status, out, err = run(capsys, names=("stager", "fit", "xyz\x1b"), kind="laminat")
    assert (status, out) == (2, "")
    assert err.splitlines() == [
        (
            'error: there is no rule "stager" - cutopt rules - did you mean "stagger"? '
            "cutopt rules --list names them all"
        ),
        'error: there is no rule "xyz\\x1b" - cutopt rules - cutopt rules --list names them all',
        (
            'error: there is no kind of plank "laminat" - --kind - did you mean "laminate"? use one of '
            '"glue-down vinyl", "click vinyl", "laminate", "engineered wood", "solid strip"'
        ),
    ]


def test_json_goes_to_stdout_alone_or_to_a_file_beside_the_words(capsys, tmp_path):
    status, out, _ = run(capsys, names=("kerf",), json="-")
    assert status == 0
    assert [one["name"] for one in json.loads(out)["rules"]] == ["kerf"]
    file = tmp_path / "rules.json"
    status, words, _ = run(capsys, names=("kerf",), json=str(file))
    assert status == 0
    assert words.startswith("KERF\n")
    assert file.read_text(encoding="utf-8") == out


def test_a_file_that_cannot_be_written_is_told_before_anything_is_printed(capsys, tmp_path):
    assert run(capsys, json=str(tmp_path)) == (
        2,
        "",
        f"error: this is a folder - --json {tmp_path} - name a file in it\n",
    )


COMMAND = """
import typer
from cutopt.cli._errors import guarded
from cutopt.cli.commands import rules

app = typer.Typer(pretty_exceptions_enable=False, rich_markup_mode=None)
app.command()(rules)
guarded(app)
"""


def test_through_a_pipe_it_is_plain_text():
    done = subprocess.run(
        [sys.executable, "-c", COMMAND + "\n", "kerf", "--kind", "click vinyl", "--unit", "in"],
        capture_output=True,
        check=False,
        timeout=60,
        env={"PYTHONIOENCODING": "ascii", "FORCE_COLOR": "1"},
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.decode("ascii").startswith("KERF\n----\n")
    assert b"\x1b" not in done.stdout


def test_the_book_needs_no_solver():
    code = "import sys, cutopt.cli._rules; print([m for m in ('ortools', 'numpy', 'shapely') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, timeout=60)
    assert done.stdout == b"[]\n"
