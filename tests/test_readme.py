"""The papers say what the program does now."""

import csv
import re
from collections import Counter
from pathlib import Path

import pytest
from update_readme import README, ROOT, refreshed

from cutopt.cli.app import app
from cutopt.rulebook import RULES

TEXT = README.read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
STATUSES = {"0", "1", "2", "3", "4", "70", "130"}


def test_sessions_print_what_stands_in_the_readme():
    assert refreshed(TEXT) == TEXT, "renew with: python tests/update_readme.py"


def test_a_session_that_has_changed_is_noticed():
    assert (
        refreshed("```console\n$ cutopt --version\nwrong\n```\n")
        != "```console\n$ cutopt --version\nwrong\n```\n"
    )
    with pytest.raises(ValueError, match="exit 3"):
        refreshed("```console\n$ cutopt plan nothing.toml\n```\n")


def test_two_commands_each_on_one_line_do_all_set_up():
    commands = re.findall(r"^```sh\n(.*)\n```$", TEXT, re.MULTILINE)
    assert len(commands) == 2
    assert all(line.startswith("python3 -m venv .venv && .venv/bin/pip install ") for line in commands)
    assert "cutopt plan examples/" in commands[0]
    assert commands[1].endswith(".venv/bin/pytest -n auto")


def test_every_rule_command_and_exit_status_is_told():
    keys = {
        key
        for cell in re.findall(r"^\| (`[^|]*) \|", TEXT, re.MULTILINE)
        for key in re.findall(r"`(\w+)`", cell)
    }
    assert {rule.key.partition(".")[2] for rule in RULES} <= keys
    commands = {command.callback.__name__ for command in app.registered_commands}
    assert commands == set(re.findall(r"^\| `cutopt (\w+) ", TEXT, re.MULTILINE))
    assert set(re.findall(r"^\| (\d+) \|", TEXT, re.MULTILINE)) == STATUSES
    assert set(re.findall(r"(\d+) [a-z]", app.info.epilog)) == STATUSES


def test_the_map_of_modules_names_every_folder_and_no_other():
    package = ROOT / "cutopt"
    folders = {
        path.parent.relative_to(ROOT).as_posix() for path in package.rglob("*.py") if path.parent != package
    }
    files = {path.relative_to(ROOT).as_posix() for path in package.glob("*.py") if path.name != "__init__.py"}
    assert set(re.findall(r"^\| `(cutopt/[^`]+)` \|", DEVELOPERS, re.MULTILINE)) == folders | files


def test_every_dependency_is_accounted_for():
    metadata = Path(ROOT / "pyproject.toml").read_text(encoding="utf-8")
    needed = set(re.findall(r'^    "([a-z-]+)[>=]', metadata, re.MULTILINE))
    assert "ortools" in needed
    assert needed == set(re.findall(r"^- \*\*([a-z-]+)\*\*", DEVELOPERS, re.MULTILINE))


def test_the_figures_on_how_good_plans_are_stand_in_the_stored_table():
    (table,) = (ROOT / "benchmarks" / "results").glob("*-reach.csv")
    lines = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    planned = [line for line in lines if line["bound"]]
    bound = sum(int(line["bound"]) for line in planned)
    above, habit = (sum(int(line[way]) for line in planned) - bound for way in ("planks", "habit"))
    assert f"| planks above the bound, all floors together | {above} of {bound:,} | {habit} |" in TEXT
    statuses = Counter(line["status"] for line in lines)
    assert (len(lines), statuses["proven"], statuses["impossible"], statuses["error"]) == (60, 40, 1, 0)
    assert "Forty of the plans are proven fewest and one floor's rules were proved to clash" in TEXT
