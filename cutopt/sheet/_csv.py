"""The pieces of a plan as a table, one row a piece, for a spreadsheet."""

import csv
import io
from collections.abc import Callable, Iterator, Mapping

from cutopt.model.floor import Run
from cutopt.model.job import Lay
from cutopt.model.plan import LaidRun, Piece, Plan
from cutopt.sheet._csv_cells import number_cell, text_cell, unit_of
from cutopt.sheet._cuts import Spot, spots

__all__ = ["render_csv"]


def render_csv(plan: Plan) -> str:
    """Return the plan as CSV (RFC 4180), one row a piece in the order laid.

    Lengths are decimal numbers in the job's unit, which the header names (inches for a job in feet), to
    a millionth. Text that a spreadsheet would run as a formula is put behind an apostrophe.

    Further columns stand only where they tell something: the slants of a piece's ends (x at the far long edge
    less x at the near one) where some wall slants, the pieces whose slanted ends lie beside, the widths of a row's two ends where some row tapers, and
    the piece beside which a piece's strip lay where strips are shared; marks are then those on the strip.
    """
    unit = unit_of(plan.unit)
    where = spots(plan)
    further = _further(plan, where)
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow([*_header(unit), *further])
    for row, piece in _in_order_laid(plan):
        spot = where[piece.id]
        table.writerow([*_cells(row.run, spot, unit), *(cell(row.run, spot) for cell in further.values())])
    return out.getvalue()


def _in_order_laid(plan: Plan) -> Iterator[tuple[LaidRun, Piece]]:
    backwards = plan.rules.lay is Lay.RIGHT_TO_LEFT
    for row in plan.rows:
        for piece in row.pieces[::-1] if backwards else row.pieces:
            yield row, piece


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


def _cells(run: Run, spot: Spot, unit: str) -> list[str | int]:
    piece = spot.piece
    return [
        text_cell(run.room),
        run.row,
        run.run,
        text_cell(piece.id),
        spot.part,
        number_cell(piece.length, unit),
        number_cell(run.width, unit),
        piece.plank,
        spot.side,
        number_cell(spot.near, unit),
        number_cell(spot.far, unit),
        piece.left,
        piece.right,
        "yes" if spot.turned else "no",
    ]


def _further(plan: Plan, where: Mapping[str, Spot]) -> dict[str, Callable[[Run, Spot], str]]:
    """Return the further columns that tell something of this plan, and what stands in them."""
    unit = unit_of(plan.unit)
    runs = [row.run for row in plan.rows]
    found: dict[str, Callable[[Run, Spot], str]] = {}
    if any(run.left_slant or run.right_slant for run in runs):
        found[f"left slant ({unit})"] = lambda _, spot: number_cell(spot.piece.left_slant, unit)
        found[f"right slant ({unit})"] = lambda _, spot: number_cell(spot.piece.right_slant, unit)
    if any(_narrow(run) != _wide(run) for run in runs):
        found[f"width at wide end ({unit})"] = lambda run, _: number_cell(_wide(run), unit)
        found[f"width at narrow end ({unit})"] = lambda run, _: number_cell(_narrow(run), unit)
    if any(spot.nests for spot in where.values()):
        found["slant beside that of"] = lambda _, spot: text_cell(" ".join(spot.nests))
    if any(plank.strip is not None for plank in plan.planks):
        found["strip beside"] = lambda _, spot: text_cell(spot.beside)
    return found


def _wide(run: Run) -> int:
    return run.width if run.wide is None else run.wide


def _narrow(run: Run) -> int:
    return run.width if run.narrow is None else run.narrow
