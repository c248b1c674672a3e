"""Tables for spreadsheets: the order, and what the table of pieces tells of some plans only."""

import csv
import io
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from inside import inside as cutopt
from job_texts import SHORT
from plan_documents import NAMES, PLANS

from cutopt.model.job import Order
from cutopt.model.plan import CutPlank, Keeps
from cutopt.planfile import read_plan
from cutopt.sheet import render_csv, render_order
from cutopt.units import Unit

FORMULAS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def plan_named(name):
    return read_plan(PLANS / f"{name}.json")


def order_of(plan):
    return list(csv.DictReader(io.StringIO(render_order(plan))))


def pieces_of(plan):
    return list(csv.DictReader(io.StringIO(render_csv(plan))))


# The order


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("culls", "spare"), [(Fraction(0), 0), (Fraction(1, 20), 3), (Fraction(1, 3), 1)])
def test_boxes_are_made_of_what_stands_below_them(name, culls, spare):
    plan = plan_named(name)
    needed = -(-plan.totals.planks // (1 - culls)) + spare
    totals = replace(plan.totals, boxes=-(-needed // plan.plank.per_box))
    plan = replace(plan, order=Order(culls=culls, spare=spare), totals=totals)
    boxes, within, *parts, area = order_of(plan)
    assert int(boxes["quantity"]) * int(boxes["planks per box"]) == int(within["quantity"])
    assert sum(int(part["quantity"]) for part in parts) == int(within["quantity"])
    assert all(int(part["quantity"]) >= 0 for part in parts)
    assert [row["unit"] for row in (boxes, within, *parts)] == ["boxes", *["planks"] * 5]
    assert area["unit"] in {"m2", "sq ft"}


def test_money_is_exact():
    plan = plan_named("handed")
    plank = replace(plan.plank, box_price=Decimal("0.10"))
    boxes, *others = order_of(replace(plan, plank=plank, totals=replace(plan.totals, boxes=3)))
    assert (boxes["price per box"], boxes["amount"]) == ("0.10", "0.30")
    assert {row["amount"] for row in others} == {""}
    assert order_of(plan)[0]["amount"] == ""


def test_areas_are_in_the_job_s_own_units():
    plan = plan_named("handed")
    metric, feet = (order_of(replace(plan, unit=unit))[-1] for unit in (Unit.MM, Unit.FT))
    assert (metric["unit"], feet["unit"]) == ("m2", "sq ft")
    # 1 sq ft = 0.09290304 m2 exactly (international foot, 1959).
    assert abs(Decimal(metric["quantity"]) / Decimal(feet["quantity"]) - Decimal("0.09290304")) < Decimal(
        "1e-6"
    )


@pytest.mark.parametrize("start", FORMULAS)
def test_text_in_the_order_is_harmless(start):
    for title in (f"{start}1+1", f" {start}1+1", f"\t{start}1+1"):
        for row in order_of(replace(plan_named("handed"), title=title)):
            assert not row["job"].startswith(FORMULAS)


# The pieces


@pytest.mark.parametrize("unit", Unit)
def test_columns_of_lengths_name_their_unit(unit):
    shown = {Unit.FT: "in"}.get(unit, str(unit))
    header = list(pieces_of(replace(plan_named("slanted"), unit=unit))[0])
    lengths = [name for name in header if name.startswith(("length", "width", "first", "last", "left s"))]
    assert len(lengths) == 5
    assert all(name.endswith(f"({shown})") for name in lengths)


def test_slants_stand_where_walls_slant_and_nowhere_else():
    plan = plan_named("slanted")
    rows = pieces_of(replace(plan, unit=Unit.MM))
    found = [(Decimal(row["left slant (mm)"]) * 320, Decimal(row["right slant (mm)"]) * 320) for row in rows]
    pieces = [piece for row in plan.rows for piece in row.pieces]
    assert found == [(piece.left_slant, piece.right_slant) for piece in pieces]
    assert any(left or right for left, right in found)
    assert not any("slant" in name for name in pieces_of(plan_named("handed"))[0])


def test_a_taper_is_told_by_both_its_widths():
    plan = replace(plan_named("handed"), unit=Unit.MM)
    first, *others = plan.rows
    tapered = replace(first, run=replace(first.run, wide=320 * 90, narrow=320 * 70))
    rows = pieces_of(replace(plan, rows=(tapered, *others)))
    ends = [(row["width at wide end (mm)"], row["width at narrow end (mm)"]) for row in rows]
    assert ends[0] == ("90", "70")
    assert ends[-1] == (rows[-1]["width (mm)"],) * 2
    assert not any("end (mm)" in name for name in pieces_of(plan)[0])


@pytest.mark.parametrize("start", FORMULAS)
def test_no_text_cell_of_the_pieces_is_a_formula(start):
    plan = plan_named("handed")
    name = f"{start}cmd"
    rows = tuple(
        replace(
            row,
            run=replace(row.run, room=name),
            pieces=tuple(replace(piece, id=name + piece.id) for piece in row.pieces),
        )
        for row in plan.rows
    )
    planks = tuple(replace(cut, pieces=tuple(name + piece for piece in cut.pieces)) for cut in plan.planks)
    for row in pieces_of(replace(plan, rows=rows, planks=planks)):
        assert not any(cell.startswith(FORMULAS) for cell in row.values())


def test_a_strip_names_the_piece_beside_it_harmlessly():
    plan = plan_named("handed")
    cut = next(cut for cut in plan.planks if len(cut.pieces) > 1)
    fed, host = cut.pieces[0], "=" + cut.pieces[-1]
    strip = CutPlank(
        plank=cut.plank, pieces=(fed,), length=10**6, factory=Keeps.BOTH, strip=2, width=99, beside=host
    )
    planks = (*(replace(one, pieces=one.pieces[1:]) if one is cut else one for one in plan.planks), strip)
    cells = {row["piece"]: row["strip beside"] for row in pieces_of(replace(plan, planks=planks))}
    assert cells.pop(fed) == f"'{host}"
    assert set(cells.values()) == {""}


# From the command line


def test_the_order_goes_to_a_file_or_is_printed(tmp_path):
    (tmp_path / "job.toml").write_text(SHORT, encoding="utf-8")
    printed = cutopt("plan", "job.toml", "--order", "-", "--searches", "0", cwd=tmp_path)
    assert (printed.returncode, printed.stderr) == (0, b"")
    assert printed.stdout.startswith(b"job,item,quantity,unit,planks per box,price per box,amount\r\n")
    cutopt("plan", "job.toml", "--order", "order.csv", "--searches", "0", "--quiet", cwd=tmp_path)
    assert (tmp_path / "order.csv").read_bytes() == printed.stdout
