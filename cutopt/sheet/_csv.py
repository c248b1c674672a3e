"""The pieces of a plan as a table, one row a piece, for a spreadsheet."""

import csv
import io
from decimal import Decimal

from cutopt.model.job import Lay
from cutopt.model.plan import Plan
from cutopt.sheet._cuts import Spot, spots
from cutopt.sheet._text import clean
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit

__all__ = ["render_csv"]

# Cells that begin so are run as formulas by spreadsheets (OWASP, "CSV Injection"); the wide forms too.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_TICKS = {
    "in": TICKS_PER_INCH,
    "mm": TICKS_PER_MM,
    "cm": 10 * TICKS_PER_MM,
    "m": 1000 * TICKS_PER_MM,
}
_DIGITS = Decimal("0.000001")


def render_csv(plan: Plan) -> str:
    """Return the plan as CSV (RFC 4180), one row a piece in the order laid.

    Lengths are decimal numbers in the job's unit, which the header names (inches for a job in feet), to
    a millionth. Text that a spreadsheet would run as a formula is put behind an apostrophe. Where strips
    are shared, a last column names the piece beside which a piece's strip lay; marks are then those on the
    strip.
    """
    unit = "in" if plan.unit is Unit.FT else str(plan.unit)
    out = io.StringIO()
    table = csv.writer(out)
    shared = any(plank.strip is not None for plank in plan.planks)
    table.writerow([*_header(unit), *["strip beside"] * shared])
    where = spots(plan)
    backwards = plan.rules.lay is Lay.RIGHT_TO_LEFT
    for row in plan.rows:
        for piece in row.pieces[::-1] if backwards else row.pieces:
            run, spot = row.run, where[piece.id]
            table.writerow(
                [
                    _text(run.room),
                    run.row,
                    run.run,
                    _text(piece.id),
                    spot.part,
                    _number(piece.length, unit),
                    _number(run.width, unit),
                    piece.plank,
                    *_on_plank(spot, unit),
                    piece.left,
                    piece.right,
                    "yes" if spot.turned else "no",
                    *[_text(spot.beside)] * shared,
                ]
            )
    return out.getvalue()


def _header(unit: str) -> list[str]:
    return [
        "room",
        "row",
        "run",
        "piece",
        "part",
        f"length ({unit})",
        f"width ({unit})",
        "plank",
        "measured from factory end",
        f"first mark ({unit})",
        f"last mark ({unit})",
        "left end",
        "right end",
        "turned round",
    ]


def _on_plank(spot: Spot, unit: str) -> list[str]:
    return [spot.side, _number(spot.near, unit), _number(spot.far, unit)]


def _text(text: str) -> str:
    line = clean(text)
    return f"'{line}" if line.startswith(_FORMULA) else line


def _number(ticks: Ticks, unit: str) -> str:
    value = (Decimal(ticks) / _TICKS[unit]).quantize(_DIGITS).normalize()
    return f"{value:f}"
