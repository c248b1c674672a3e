"""A plan as JSON text, version 1: keys in a fixed order, one run, plank or table a line."""

import json
from collections.abc import Iterator, Sequence
from typing import Any

from cutopt.model.floor import NOWHERE, Run
from cutopt.model.job import KeepLots, Order, PlankSpec, Rules, ShareRips
from cutopt.model.plan import CutPlank, Keeps, LaidRun, Piece, Plan, Source
from cutopt.planfile._down import down_table
from cutopt.planfile._ground import ground_tables
from cutopt.units import TICKS_PER_MM

__all__ = ["FORMAT", "VERSION", "write_plan"]

FORMAT = "cutopt-plan"
VERSION = 1

_Table = dict[str, Any]


def write_plan(plan: Plan) -> str:
    """Return the plan as JSON text (format ``cutopt-plan``, version 1). Lengths are whole ticks.

    The same plan always gives the same text, and :func:`read_plan` gives the same plan back. Pieces of a
    run stand from left to right, pieces of a plank from its left end. Keys that only repeat the usual
    (no slant, a plank of the job's length) are left out.
    """
    return "{\n" + ",\n".join(_lines(plan)) + "\n}\n"


def _lines(plan: Plan) -> Iterator[str]:
    for key, value in _document(plan).items():
        yield f" {_text(key)}: {_listed(value)}"
    if plan.ground != NOWHERE:
        tables = ground_tables(plan.ground).items()
        lists = ",\n ".join(f" {_text(key)}: {_listed(entries)}" for key, entries in tables)
        yield f" {_text('ground')}: {{\n {lists}\n }}"


def _listed(value: object) -> str:
    """Write a list with one entry a line, anything else on one."""
    if isinstance(value, list) and value:
        entries = ",\n  ".join(map(_text, value))
        return f"[\n  {entries}\n ]"
    return _text(value)


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _document(plan: Plan) -> _Table:
    totals = plan.totals
    note = {"note": plan.note} if plan.note else {}
    spoiled = {"spoiled": list(plan.spoiled)} if plan.spoiled else {}
    supply = {"supply": plan.supply} if plan.supply is not None else {}
    down = {"down": [down_table(run) for run in plan.down]} if plan.down else {}
    return {
        "format": FORMAT,
        "version": VERSION,
        "ticks_per_mm": TICKS_PER_MM,
        "title": plan.title,
        "unit": str(plan.unit),
        "plank": _plank_spec(plan.plank),
        "rules": _rules(plan.rules),
        "order": _order(plan.order),
        **spoiled,
        **supply,
        **down,
        "rows": [_run(laid) for laid in plan.rows],
        "planks": [_cut_plank(plank) for plank in plan.planks],
        "totals": {
            "planks": totals.planks,
            "boxes": totals.boxes,
            "cuts": totals.cuts,
            "peak_waiting": totals.peak_waiting,
            "net_area_mm2": totals.net_area_mm2,
            "waste_factor_percent": totals.waste_factor_percent,
        },
        "bound": {"planks": plan.bound.planks, "proven": plan.bound.proven, "reason": plan.bound.reason},
        "seed": plan.seed,
        **note,
    }


def _plank_spec(plank: PlankSpec) -> _Table:
    table: _Table = {
        "length": plank.length,
        "width": plank.width,
        "kerf": plank.kerf,
        "per_box": plank.per_box,
        "ends": str(plank.ends),
    }
    if plank.kind is not None:
        table["kind"] = str(plank.kind)
    if not plank.single_length:
        table["single_length"] = False
    if plank.box_coverage_mm2 is not None:
        table["box_coverage_mm2"] = str(plank.box_coverage_mm2)
    if plank.box_price is not None:
        table["box_price"] = f"{plank.box_price:f}"
    if plank.nominal_width is not None:
        table["nominal_width"] = plank.nominal_width
    if plank.width_tolerance:
        table["width_tolerance"] = plank.width_tolerance
    if plank.thickness is not None:
        table["thickness"] = plank.thickness
    return table


def _rules(rules: Rules) -> _Table:
    unusual = {"share_rips": str(rules.share_rips)} if rules.share_rips is ShareRips.NO else {}
    return {
        "stagger": rules.stagger,
        "min_piece": rules.min_piece,
        "h_joint": rules.h_joint,
        "stair_step": rules.stair_step,
        "cut_step": rules.cut_step,
        "max_waiting": rules.max_waiting,
        "pattern": str(rules.pattern),
        "min_rip": rules.min_rip,
        "gap": rules.gap,
        "fit": rules.fit,
        "lay": str(rules.lay),
        "share_offcuts": str(rules.share_offcuts),
        **unusual,
        **({} if rules.lots is KeepLots.MIX else {"lots": str(rules.lots)}),
    }


def _order(order: Order) -> _Table:
    return {"culls": str(order.culls), "spare": order.spare}


def _run(laid: LaidRun) -> _Table:
    run = laid.run
    table: _Table = {
        "room": run.room,
        "field": run.field,
        "line": run.line,
        "row": run.row,
        "run": run.run,
        "offset": run.offset,
        "length": run.length,
        "width": run.width,
    }
    # The reader takes a run's slants from its outer pieces, and its area from length times width.
    if run.left_slant or (laid.pieces and laid.pieces[0].left_slant):
        table["left_slant"] = run.left_slant
    if run.right_slant or (laid.pieces and laid.pieces[-1].right_slant):
        table["right_slant"] = run.right_slant
    mitres = {"left_mitre": run.left_mitre, "right_mitre": run.right_mitre}
    table |= {key: mitre for key, mitre in mitres.items() if mitre}
    if run.area2 != _usual_area2(run):
        table["area2"] = run.area2
    widths = {"wide": run.wide, "narrow": run.narrow}
    table |= {key: width for key, width in widths.items() if width is not None}
    if run.touches is not None:
        table["touches"] = list(run.touches)
    table["pieces"] = [_piece(piece) for piece in laid.pieces]
    return table


def _usual_area2(run: Run) -> int:
    return 2 * run.length * run.width


def _piece(piece: Piece) -> _Table:
    table: _Table = {
        "id": piece.id,
        "plank": piece.plank,
        "length": piece.length,
        "left": str(piece.left),
        "right": str(piece.right),
    }
    if piece.left_slant:
        table["left_slant"] = piece.left_slant
    if piece.right_slant:
        table["right_slant"] = piece.right_slant
    return table


def _cut_plank(plank: CutPlank) -> _Table:
    pieces: Sequence[str] = plank.pieces
    table: _Table = {
        "plank": plank.plank,
        "pieces": list(pieces),
        "offcuts": [{"length": offcut.length, "keeps": str(offcut.keeps)} for offcut in plank.offcuts],
    }
    if plank.length is not None:
        table["length"] = plank.length
    if plank.factory is not Keeps.BOTH:
        table["factory"] = str(plank.factory)
    if plank.source is not Source.BOX:
        table["source"] = str(plank.source)
    if plank.lot:
        table["lot"] = plank.lot
    if plank.lost:
        table["lost"] = plank.lost
    if plank.done:
        table["done"] = list(plank.done)
    if plank.strip is not None:
        table |= {"strip": plank.strip, "width": plank.width, "beside": plank.beside}
    return table
