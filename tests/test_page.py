"""The page for a phone, as text: nothing from a file runs, nothing is loaded, and it tells the whole plan."""

import csv
import io
import json
import re
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256

import pytest
from inside import inside as cutopt
from pages import NASTY, STORED, Page, hostile, page_of, repeated, stored

from cutopt.model.job import Lay
from cutopt.page import render_page
from cutopt.planfile import read_plan, write_plan
from cutopt.sheet import render_csv, work_of

PLANS = [read_plan(path.read_text(encoding="utf-8")) for path in STORED]
NAMES = [f"{path.parent.name}-{path.stem}" for path in STORED]
PLAN = stored("plans/handed.json")
every_plan = pytest.mark.parametrize("plan", PLANS, ids=NAMES)


@every_plan
def test_the_data_are_the_plan(plan):
    data = Page(page_of(plan)).data
    backwards = plan.rules.lay is Lay.RIGHT_TO_LEFT
    laid = [(piece.id, piece.plank) for row in plan.rows for piece in row.pieces[:: -1 if backwards else 1]]
    assert [(piece["id"], piece["plank"]) for row in data["rows"] for piece in row["pieces"]] == laid
    assert data["title"] == plan.title
    assert data["planks"] == plan.totals.planks
    assert data["plan"] == sha256(write_plan(plan).encode()).hexdigest()


@every_plan
def test_every_piece_is_in_the_table_and_on_the_floor(plan):
    page = Page(page_of(plan))
    pieces = [piece.id for row in plan.rows for piece in row.pieces]
    on_floor = {found["data-piece"] for found in page.of("path") if "data-piece" in found}
    assert on_floor == set(pieces)
    assert len(page.of("tr")) == 1 + len(plan.rows) + len(pieces)


@every_plan
def test_rests_wait_for_every_piece_but_the_first_of_a_plank(plan):
    told = {piece for rest in work_of(plan).rests for piece in rest.pieces[0 if rest.beside else 1 :]}
    turn = {piece.id: nth for nth, piece in enumerate(p for row in work_of(plan).rows for p in row.pieces)}
    waiting = set()
    for plank in plan.planks:
        in_turn = sorted(plank.pieces, key=turn.__getitem__)
        waiting.update(in_turn[0 if plank.beside else 1 :])
    assert told == waiting


def test_what_is_left_of_a_plank_is_told_before_each_cut():
    plan = stored("sheets/turned_and_singles/plan.json")
    first = work_of(plan).rests[0]
    # 48 in less a starter of 20 in and a kerf of 1/8 in.
    assert (first.name, first.pieces, first.lengths) == ("plank 1", ("1.1", "2.1"), ('48"', '27-7/8"'))


@every_plan
def test_marks_are_those_of_the_table_of_pieces(plan):
    """The table for spreadsheets says the same by another route: which factory end, first and last mark."""
    told = {piece.id: piece.cut for row in work_of(plan).rows for piece in row.pieces}
    for line in csv.DictReader(io.StringIO(render_csv(plan))):
        cut, side = told[line["piece"]], line["measured from factory end"]
        first = next(mark for name, mark in line.items() if name.startswith("first mark"))
        if cut.startswith("mark") and "cut end" not in cut:
            assert cut.endswith((f"from the {side} factory end", f"from the {side} end of the strip"))
            assert first == "0"
        elif cut.startswith("between"):
            assert cut.endswith(f"from the {side} factory end")
            assert first != "0"
        elif "cut end" in cut:
            assert first != "0"
        else:
            assert cut == "" or cut.startswith("uncut")


def test_text_from_the_file_is_text():
    page = Page(page_of(hostile()))
    assert page.data["title"] == NASTY
    assert not page.of("img")
    assert len(page.of("script")) == 2
    assert page.texts["title"] == NASTY.replace("\u2028", " ")
    # Entities are resolved by the parser: what a person reads in the table is the name as it is.
    assert NASTY.split("\u2028")[0] in page.texts["bdi"]


def test_how_it_is_read_is_told():
    plan = stored("sheets/slanted_walls/plan.json")
    texts = Page(page_of(plan)).texts["p"]
    assert all(text in texts for text in work_of(plan).notes)
    assert "longer edge" in texts


def test_rules_not_kept_are_told_at_their_row():
    plan = stored("sheets/slanted_walls/plan.json")
    html = render_page(plan, "", work_of(plan, {2: ["stagger <b>"]}), ())
    page = Page(html)
    assert [row["broken"] for row in page.data["rows"]][:3] == [[], ["stagger <b>"], []]
    assert "!! stagger &lt;b&gt;" in html


def test_nothing_in_the_data_can_end_its_element():
    html = page_of(hostile())
    data = html.split('id="plan">')[1].split("</script>")[0]
    assert not set("<>&\u2028\u2029") & set(data)
    assert json.loads(data)["title"] == NASTY


def test_a_title_cannot_turn_the_direction_of_writing():
    html = page_of(replace(PLAN, title="Hall \u202egnip"))
    assert "\u202e" not in html.split('id="plan"')[0]


def test_nothing_is_loaded_from_anywhere():
    html = page_of(PLAN)
    page = Page(html)
    assert "http:" not in html
    assert "https:" not in html
    assert not re.search(r"url\(|@import|innerHTML|insertAdjacentHTML|document\.write|\beval\b|fetch\(", html)
    for tag, attributes in page.tags:
        assert "src" not in attributes, tag
        assert attributes.get("href", "#").startswith("#")
        assert not any(name.startswith("on") for name in attributes), tag
        assert "style" not in attributes, tag
    assert not page.of("link")


def test_the_policy_allows_the_pages_own_script_and_style_only():
    html = page_of(PLAN)
    script = html.rsplit("<script>", 1)[1].split("</script>")[0]
    style = html.split("<style>")[1].split("</style>")[0]
    policies = [meta["content"] for meta in Page(html).of("meta") if "http-equiv" in meta]

    def hashed(text):
        return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"

    own = f"script-src {hashed(script)}; style-src {hashed(style)}"
    assert policies == [f"default-src 'none'; {own}; base-uri 'none'; form-action 'none'"]


def test_ids_are_unique_and_every_control_has_its_label():
    page = Page(page_of(PLAN))
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    labelled = {label["for"] for label in page.of("label")}
    controls = {found["id"] for tag in ("input", "select", "textarea") for found in page.of(tag)}
    assert labelled == controls
    assert page.of("html") == [{"lang": "en", "data-hand": "right"}]


def test_the_same_plan_gives_the_same_page():
    assert page_of(PLAN) == page_of(read_plan(write_plan(PLAN)))


def test_three_hundred_rows_stay_small():
    plan = stored("sheets/feet_and_inches/plan.json")
    many = repeated(plan, -(-300 // len(plan.rows)))
    html = page_of(many)
    assert len(many.rows) >= 300
    assert len(Page(html).data["rows"]) == len(many.rows)
    assert len(html.encode()) < 2_000_000


JOB = """
title = "Larkmere: net shed"
unit = "in"
[plank]
kind = "click vinyl"
length = 48
width = 7
per_box = 10
[[room]]
name = "Shed"
size = [100, 40]
"""


def test_the_command_writes_the_page_of_its_plan(tmp_path):
    (tmp_path / "shed.toml").write_text(JOB, encoding="utf-8")
    page, plan = tmp_path / "shed.html", tmp_path / "shed.json"
    done = cutopt("plan", "shed.toml", "--quiet", "--html", page, "--json", plan, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    text = plan.read_bytes()
    assert Page(page.read_text(encoding="utf-8")).data["plan"] == sha256(text).hexdigest()
    assert page.read_text(encoding="utf-8") == page_of(read_plan(text.decode()))
