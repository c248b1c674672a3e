"""What is to be bought, as a table for an estimator's spreadsheet."""

import csv
import io
from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from cutopt.model.plan import Plan
from cutopt.sheet._csv_cells import quotient_cell, text_cell
from cutopt.sheet._lengths import Lengths
from cutopt.units import TICKS_PER_MM

__all__ = ["render_order"]

_HEADER = ("job", "item", "quantity", "unit", "planks per box", "price per box", "amount")
_SQUARE_FOOT_MM2 = Fraction(3048, 10) ** 2
_SQUARE_METRE_MM2 = Fraction(10**6)


def render_order(plan: Plan) -> str:
    """Return the order as CSV (RFC 4180): first what is bought, then what the quantity is made of.

    Only the first row has an amount, so that a column of several jobs may be summed; without a price it has
    none. Numbers are exact decimals; areas, in square feet or metres, are rounded to a millionth. Text that a
    spreadsheet would run as a formula is put behind an apostrophe.
    """
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(_HEADER)
    for item, quantity, unit, *boxes in _rows(plan):
        table.writerow([text_cell(plan.title), text_cell(item), quantity, unit, *(boxes or ("", "", ""))])
    return out.getvalue()


def _rows(plan: Plan) -> Iterator[tuple[str, ...]]:
    totals, per_box = plan.totals, plan.plank.per_box
    culls = ceil(totals.planks / (1 - plan.order.culls)) - totals.planks
    spare = plan.order.spare
    bought = totals.boxes * per_box
    yield _planks(plan), str(totals.boxes), "boxes", str(per_box), *_prices(plan)
    yield "planks in these boxes", str(bought), "planks"
    yield "planks to lay", str(totals.planks), "planks"
    yield "planks expected to be culled", str(culls), "planks"
    yield "spare planks", str(spare), "planks"
    yield "planks that fill the last box", str(bought - totals.planks - culls - spare), "planks"
    yield (
        "net floor area",
        *_area(Fraction(sum(row.run.area2 for row in plan.rows), 2 * TICKS_PER_MM**2), plan),
    )


def _planks(plan: Plan) -> str:
    show, plank = Lengths.of(plan).show, plan.plank
    return f"{plank.kind or 'planks'} {show(plank.length)} x {show(plank.width)}"


def _prices(plan: Plan) -> tuple[str, str]:
    price = plan.plank.box_price
    return ("", "") if price is None else (f"{price:f}", f"{plan.totals.boxes * price:f}")


def _area(mm2: Fraction, plan: Plan) -> tuple[str, str]:
    if plan.unit.is_metric:
        return quotient_cell(mm2 / _SQUARE_METRE_MM2), "m2"
    return quotient_cell(mm2 / _SQUARE_FOOT_MM2), "sq ft"
