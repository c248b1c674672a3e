"""Tables for spreadsheets, of figures made up by hand: whole rows, exact numbers, and text that stays text."""

import csv
import io
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
import told
from figured import figure, study

from cutopt.model.grids import Grid
from cutopt.sheet.estimate import (
    grid_csv,
    loss_grid,
    margin_grid,
    order_grid,
    portfolio_grids,
    risk_grid,
    study_grid,
    waste_grid,
)
from cutopt.units import Unit


def grids(title="Quay Row"):
    figures = [told.taxed(title), told.metric(title), figure()]
    return (
        order_grid(figures),
        loss_grid(figures),
        margin_grid(told.margins(title), Unit.FT),
        risk_grid(told.risk(), told.taxed(title)),
        study_grid(told.combined(title), Unit.IN),
        study_grid(study((None,), priced=False), Unit.MM),
        waste_grid(told.many_rooms(), Unit.M),
        *portfolio_grids(told.totals(title, title)),
    )


def read(grid):
    return list(csv.DictReader(io.StringIO(grid_csv(grid), newline="")))


@pytest.mark.parametrize("grid", grids(), ids=lambda grid: grid.name)
def test_rows_are_as_long_as_the_header_and_no_title_is_there_twice(grid):
    assert {len(row) for row in grid.rows} == {len(grid.header)}
    assert len(set(grid.header)) == len(grid.header)
    assert all(grid.header)


@pytest.mark.parametrize("grid", grids(), ids=lambda grid: grid.name)
def test_columns_of_shares_hold_shares(grid):
    cells = [row[nth] for row in grid.rows for nth in grid.percent]
    assert all(cell is None or isinstance(cell, Fraction) for cell in cells)
    assert all("waste" in grid.header[nth] for nth in grid.percent) or grid.name in {
        "losses",
        "risk",
        "order",
    }


@pytest.mark.parametrize("title", ["=SUM(A1:A9)", "+1", "-1", "@x", "\t=1", "\uff1d1", '=1,"2"\r\n=3'])
def test_no_text_is_run_as_a_formula(title):
    for grid in grids(title):
        rows = list(csv.reader(io.StringIO(grid_csv(grid), newline="")))
        assert {len(row) for row in rows} == {len(grid.header)}
        cells = [cell for row in rows for cell in row]
        assert [cell for cell in cells if cell[:1] in set("=+-@\t\r\n\uff1d")] == []


def test_csv_is_rfc_4180_and_exact_to_a_millionth():
    grid = Grid(
        name="n",
        header=("a", "b"),
        rows=((Fraction(1, 3), Decimal("61.500")), (None, 7), ('say "x", y', Fraction(2))),
    )
    assert grid_csv(grid) == 'a,b\r\n0.333333,61.500\r\n,7\r\n"say ""x"", y",2\r\n'


def test_the_order_tells_the_figure_and_the_habit():
    row = read(order_grid([told.taxed()]))[0]
    assert {
        "job": "Quay Row",
        "planks": "186",
        "planks at least": "183",
        "culls": "0.02",
        "spare planks": "2",
        "boxes": "10",
        "price per box": "64.99",
        "price": "649.90",
        "tax": "53.62",
        "total": "703.52",
        "boxes at 5 %": "9",
        "boxes at 15 %": "10",
        "unopened boxes": "1",
        "area in": "sq ft",
    }.items() <= row.items()
    assert read(order_grid([told.metric()]))[0]["total"] == ""


def test_losses_are_exact_and_their_last_row_is_their_sum():
    grid = loss_grid([told.taxed(), told.metric()])
    for title in ("Quay Row", "Sail loft"):
        rows = [row for row in grid.rows if row[0] == title]
        assert [row[1] for row in rows][::8] == ["net area", "bought"]
        assert sum(row[2] for row in rows[:-1]) == rows[-1][2]
        assert sum(row[4] for row in rows[:-1]) == rows[-1][4]


def test_margins_tell_other_lengths_in_rows_of_their_own():
    rows = read(margin_grid(told.margins(), Unit.FT))
    first, *others = (row for row in rows if row["what"] == "Studio, along the rows")
    assert (first["now"], first["in"], first["good to"], first["boxes at the next"]) == (
        "150",
        "in",
        "151.125",
        "13",
    )
    assert [(row["at length"], row["boxes there"], row["note"]) for row in others] == [
        ("146", "11", "fewer boxes"),
        ("152", "11", "fewer boxes"),
        ("147", "13", "more boxes"),
    ]
    assert [row["note"] for row in rows if row["what"].startswith("plank")] == ["as far as tried"]


def test_a_study_has_a_column_for_whatever_is_varied():
    rows = read(study_grid(told.combined(), Unit.IN))
    assert (rows[1]["stagger (in)"], rows[1]["direction (degrees)"], rows[1]["plank"]) == (
        "8",
        "90",
        "'=Slate",
    )
    assert (rows[0]["stagger (in)"], rows[0]["failed"]) == ("", "")
    assert rows[2]["planks"] == ""
    assert rows[2]["failed"] == "the rules cannot all be met: no joint fits"
    assert [row["cheapest"] for row in rows] == ["", "", "", "yes"]
    assert rows[1]["planks at least"] == "200"


def test_a_chance_just_below_one_is_not_certain():
    rows = read(risk_grid(told.risk(), told.taxed()))
    assert [row["enough"] for row in rows] == ["0.4", "0.9625", "0.999999"]
    assert [row["enough for 99 %"] for row in rows] == ["", "", "yes"]
    assert [row["as figured"] for row in rows] == ["", "yes", ""]
    sure = replace(told.risk(), orders=(replace(told.risk().orders[0], enough=1.0),))
    assert read(risk_grid(sure, told.taxed()))[0]["enough"] == "1"


def test_rooms_that_cannot_be_planned_say_why():
    cells = told.many_rooms()
    rows = read(waste_grid(cells, Unit.FT))
    assert len(rows) == len(cells)
    failed = [row for row in rows if row["failed"]]
    assert len(failed) == 2
    assert all(
        row["boxes"] == "" and row["failed"].startswith("the rules cannot all be met") for row in failed
    )
    assert Fraction(rows[0]["along"]) * told.INCH == cells[0].along


def test_a_portfolio_tells_the_boxes_of_each_plank_in_each_place():
    places, planks, types = portfolio_grids(told.totals())
    assert [row["level"] for row in read(places)] == ["floor", "floor", "building", "phase", "all"]
    assert read(places)[2]["missing"] == "'=C"
    own = [row["boxes"] for row in read(planks) if row["level"] == "building"]
    assert own == ["19", "2"]
    assert sum(map(int, own)) == int(read(places)[2]["boxes"])
    assert read(types)[2]["failed"].startswith("the rules cannot all be met")
