"""The printed sheet and the table for spreadsheets, rendered from stored plans.

A case is a folder in tests/data/sheets with job.toml and plan.json; sheet.txt and pieces.csv are what they
must give. After a wanted change of the look, run the tests once with UPDATE_SHEETS=1 and review the difference.
"""

import csv
import io
import os
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from cuttings import P, case_of, cases, job_of
from hypothesis import given, settings
from rich.cells import cell_len

from cutopt.jobfile import read_job
from cutopt.layout import lay_out
from cutopt.model.job import SourceKind
from cutopt.model.plan import Bound, Part
from cutopt.numbering import number
from cutopt.planfile import read_plan
from cutopt.sheet import clean, render_csv, render_sheet, summary
from cutopt.sheet._cuts import spots
from cutopt.units import Unit, parse_length

CASES = sorted(path for path in (Path(__file__).parent / "data" / "sheets").iterdir() if path.is_dir())
ids = [path.name for path in CASES]
PIECE = re.compile(
    r"^  (\d+[a-z]*)\.(\d+) +(?:starter|end piece|single) +(~?[\d'\"/. -]+?(?: mm| cm| m|\")?)  +(\d+) "
)


def loaded(case):
    job = read_job(case / "job.toml")
    return read_plan(case / "plan.json"), job, lay_out(job)


def expect(path, text):
    if os.environ.get("UPDATE_SHEETS"):
        path.write_bytes(text.encode())
    assert path.read_bytes().decode() == text


@pytest.mark.parametrize("case", CASES, ids=ids)
def test_sheet_is_as_stored(case):
    expect(case / "sheet.txt", render_sheet(*loaded(case)))


@pytest.mark.parametrize("case", CASES, ids=ids)
def test_table_is_as_stored(case):
    expect(case / "pieces.csv", render_csv(loaded(case)[0]))


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("case", CASES, ids=ids)
def test_no_line_is_over_80_columns_in_any_unit(case, unit):
    plan, job, floor = loaded(case)
    lines = render_sheet(replace(plan, unit=unit), job, floor).splitlines()
    assert [line for line in lines if cell_len(line) > 80 or line != line.rstrip()] == []


@pytest.mark.parametrize("case", CASES, ids=ids)
def test_pieces_and_whole_planks_of_each_row_add_up_to_the_row(case):
    plan, job, floor = loaded(case)
    laid = {row.pieces[0].id.partition(".")[0]: row for row in plan.rows}
    found = dict.fromkeys(laid, 0)
    name = ""
    for line in render_sheet(plan, job, floor).splitlines():
        if row := re.match(r"Row (\S+): ", line):
            name = row[1]
        elif whole := re.match(r" +(\d+) whole planks?$", line):
            found[name] += int(whole[1]) * plan.plank.length
        elif piece := PIECE.match(line):
            assert piece[1] == name
            found[name] += parse_length(piece[3].lstrip("~"))
    slack = plan.rules.cut_step  # lengths behind ~ are rounded to it
    assert {key: abs(total - laid[key].run.length) <= slack for key, total in found.items()} == dict.fromkeys(
        laid, True
    )


@settings(derandomize=True, deadline=None, max_examples=200)
@given(cases())
def test_every_piece_has_its_own_stretch_of_its_plank(case):
    plan = number(case.floor, case.cutting, case.job, 0)
    where = spots(plan)
    kerf = plan.plank.kerf
    parts = {cut.plank: cut.part for run in case.cutting.runs for cut in run}
    assert len(where) == sum(len(row.pieces) for row in plan.rows)
    assert len(parts) == len(plan.planks)
    for plank in plan.planks:
        found = [where[piece] for piece in plank.pieces]
        stretches = [stretch(spot) for spot in found]
        assert all(
            stop - start == spot.piece.length for (start, stop), spot in zip(stretches, found, strict=True)
        )
        assert stretches == sorted(stretches)
        assert stretches[0][0] >= 0
        assert stretches[-1][1] <= P
        for (_, stop), (start, _) in pairwise(stretches):
            assert start - stop >= kerf
        for spot in found:
            assert len(spot.before) + len(spot.after) == len(found) - 1
            if spot.part in (Part.STARTER, Part.END):
                assert spot.near == 0


def stretch(spot):
    return (spot.near, spot.far) if spot.side == "left" else (P - spot.far, P - spot.near)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(cases())
def test_every_piece_is_measured_from_an_end_that_is_still_there(case):
    plan = number(case.floor, case.cutting, case.job, 0)
    where, kerf = spots(plan), plan.plank.kerf
    for plank in plan.planks:
        found = [where[piece] for piece in plank.pieces]
        for spot in found:
            start, stop = stretch(spot)
            taken = [stretch(other) for other in found if len(other.before) < len(spot.before)]
            low = max((end + kerf for _, end in taken if end <= start), default=0)
            high = min((begin - kerf for begin, _ in taken if begin >= stop), default=P)
            assert spot.exact == (bool(taken) and (low, high) == (start, stop))
            if spot.at_cut_end:
                assert 0 < low == start or P > high == stop
            elif not spot.exact:
                assert (low == 0) if spot.side == "left" else (high == P)


def test_a_piece_between_others_still_to_be_cut_has_two_marks():
    rows = [[(Part.SINGLE, 320, 1)], [(Part.STARTER, 384, 1), (Part.END, 608, 2)], [(Part.SINGLE, 96, 2)]]
    case = case_of(rows, job_of(kerf=32))
    plan = number(case.floor, case.cutting, case.job, 0)
    text = " ".join(render_sheet(plan, case.job, case.floor).split())
    for told in (
        "1 middle both between marks 1.3 mm and 2.3 mm from the right factory end; rest to row 2, start",
        "1 right part left from row 1, single, uncut",
        "2 middle both from row 2, end, measured from its cut end",
        '"Between marks": cut just outside of both.',
    ):
        assert told in text


def test_job_values_are_apart_from_the_usual_ones_with_their_sources():
    plan, job, floor = loaded(CASES[ids.index("turned_and_singles")])
    text = " ".join(render_sheet(plan, job, floor).split())
    told = [item for item in job.assumptions if item.source is SourceKind.JOB]
    assert told
    assert f"by the job file: {', '.join(f'{item.name} {item.value}' for item in told)}" in text
    for item in set(job.assumptions) - set(told):
        # Told only where strips are shared.
        shown = item.key != "rules.share_rips"
        assert (f"{item.name} {item.value} {item.source}: {item.citation}" in text) == shown


def test_proof_and_gap_are_told_apart():
    plan, job, floor = loaded(CASES[0])
    for planks, short, long in (
        (plan.totals.planks, "proven fewest", "proven fewest: no plan under these rules opens fewer"),
        (
            plan.totals.planks - 1,
            f"at least {plan.totals.planks - 1} needed",
            "at most 1 plank might still be saved",
        ),
    ):
        bound = Bound(planks=planks, reason="told here", proven=planks == plan.totals.planks)
        bounded = replace(plan, bound=bound)
        assert short in summary(bounded)
        assert long in render_sheet(bounded, job, floor)
        assert f"{planks} planks: told here" in render_sheet(bounded, job, floor)


def test_breaches_of_a_best_effort_plan_are_marked_on_top_and_in_their_row():
    plan, job, floor = loaded(CASES[0])
    lines = render_sheet(plan, job, floor, {2: ["stagger: too close"]}).splitlines()
    assert lines[2].startswith("!! BEST EFFORT: this plan breaks the rules in 1 place")
    row = next(nth for nth, line in enumerate(lines) if line.startswith("Row 2:"))
    assert lines[row + 1] == "  !! stagger: too close"
    assert "!!" not in render_sheet(plan, job, floor)


def test_text_from_files_cannot_act_on_a_terminal():
    plan, job, floor = loaded(CASES[0])
    nasty = "a\x1b[31mb\u202ec\x07\r\nd\u2028e\x9b"
    sheet = render_sheet(replace(plan, title=nasty, note=nasty), job, floor)
    assert r"a\x1b[31mb\u202ec\x07 d e\x9b" in sheet
    assert set(sheet) - set("\n") == {char for char in sheet if char.isprintable()}


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"])
def test_cells_a_spreadsheet_would_run_are_made_harmless(start):
    plan, _, _ = loaded(CASES[0])
    rows = tuple(replace(row, run=replace(row.run, room=f"\t{start}1+1")) for row in plan.rows)
    table = list(csv.DictReader(io.StringIO(render_csv(replace(plan, rows=rows)))))
    assert {row["room"] for row in table} == {f"'{start}1+1"}
    assert len(table) == sum(len(row.pieces) for row in plan.rows)


def test_clean_cuts_what_is_endless():
    assert len(clean("x" * 10**6)) <= 500
