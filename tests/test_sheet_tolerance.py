"""The sheet's section on how far walls may be out."""

from dataclasses import replace

import pytest
from plan_documents import NAMES, PLANS
from rich.cells import cell_len

from cutopt.model.tolerance import Allowance, Breaks, RowTolerance
from cutopt.planfile import read_plan
from cutopt.sheet._text import printed
from cutopt.sheet._tolerance import tolerance
from cutopt.tolerance import tolerances
from cutopt.units import Unit

PLAN = read_plan(PLANS / "singles.json")
INCH = 8128


def told(rows, unit=Unit.IN):
    return printed(tolerance(rows, replace(PLAN, unit=unit)))


def row_of(shorter, longer, piece="12.3", breaks=Breaks.REST):
    ways = [Allowance(ticks=ticks, alone=ticks, breaks=breaks, piece=piece) for ticks in (shorter, longer)]
    return RowTolerance(
        row=12, run=1, room="Loft", length=100 * INCH, piece=piece, shorter=ways[0], longer=ways[1]
    )


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_over_80_columns_and_all_is_ascii(name, unit):
    plan = replace(read_plan(PLANS / f"{name}.json"), unit=unit)
    lines = printed(tolerance(tolerances(plan), plan))
    assert lines
    assert [line for line in lines if cell_len(line) > 80 or not line.isascii()] == []


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("breaks", Breaks)
def test_the_widest_row_fits(breaks, unit):
    lines = told([row_of(47 * INCH - 1, 46 * INCH, "1000bb.12", breaks)], unit)
    assert max(map(cell_len, lines)) <= 80


def test_amounts_are_rounded_down_to_what_a_tape_shows():
    lines = told([row_of(INCH - 1, INCH // 16 - 1), row_of(INCH, INCH // 8)])
    assert '  12    15/16"  < 1/16"  12.3   plank too short for all its pieces' in lines
    assert '  12        1"     1/8"  12.3   plank too short for all its pieces' in lines
    assert "1 row may not be out by as much as 1/16" in " ".join(lines)


def test_all_at_once_is_the_least_of_all():
    text = " ".join(told([row_of(INCH, INCH // 4), row_of(INCH // 8, INCH)]))
    assert 'Every row may be 1/8" longer or shorter than planned, all at once.' in text


def test_ten_rows_that_allow_least_are_shown():
    lines = told([row_of(INCH * nth, INCH * 20, f"{nth}.2") for nth in range(14, 0, -1)])
    assert [line.split()[0] for line in lines if line.startswith("  ") and '20"' in line] == [
        str(nth) for nth in range(1, 11)
    ]
    assert lines[-1] == "  The other 4 rows allow no less."


def test_nothing_is_told_where_nothing_is_known():
    assert told([]) == []
