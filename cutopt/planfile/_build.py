"""From the document of a plan file to the plan."""

from fractions import Fraction
from typing import Any

from cutopt.errors import PlanFileError, Problem
from cutopt.model.floor import NOWHERE, Run
from cutopt.model.job import (
    Ends,
    KeepLots,
    Lay,
    Order,
    Pattern,
    PlankKind,
    PlankSpec,
    Rules,
    ShareOffcuts,
    ShareRips,
)
from cutopt.model.plan import Bound, CutPlank, End, Keeps, LaidRun, Offcut, Piece, Plan, Source, Totals
from cutopt.planfile._down import build_down, build_touches
from cutopt.planfile._fields import MOST, Fields, Report, shown
from cutopt.planfile._ground import build_ground
from cutopt.planfile._write import FORMAT, VERSION
from cutopt.units import TICKS_PER_MM, Unit

__all__ = ["build_plan"]

_LARGEST_SEED = 2**63 - 1
_MOST_SPOILED = 100_000


def build_plan(document: dict[str, Any], report: Report) -> Plan:
    """Return the plan a document holds; raises PlanFileError with every problem of ``report``."""
    _refuse_other_formats(document, report)
    top = Fields(document, "", report)
    plan = Plan(
        title=top.text("title"),
        unit=top.choice("unit", Unit, Unit.MM),
        plank=_plank_spec(top.table("plank")),
        rules=_rules(top.table("rules")),
        order=_order(top),
        rows=tuple(_laid_run(row) for row in top.tables("rows")),
        planks=tuple(_cut_plank(plank) for plank in top.tables("planks")),
        totals=_totals(top.table("totals")),
        bound=_bound(top.table("bound")),
        seed=top.whole("seed", least=-_LARGEST_SEED, most=_LARGEST_SEED),
        note=top.text("note", ""),
        down=tuple(build_down(run) for run in top.tables("down")) if "down" in top else (),
        ground=build_ground(top.table("ground")) if "ground" in top else NOWHERE,
        spoiled=top.wholes("spoiled", most_entries=_MOST_SPOILED) if "spoiled" in top else (),
        supply=top.whole("supply", least=0) if "supply" in top else None,
    )
    report.raise_if_any()
    return plan


def _refuse_other_formats(document: dict[str, Any], report: Report) -> None:
    """Raise at once where the file is another kind of file: nothing else about it would make sense."""
    expected: dict[str, str | int] = {"format": FORMAT, "version": VERSION, "ticks_per_mm": TICKS_PER_MM}
    for key, wanted in expected.items():
        found = document.get(key)
        if type(found) is type(wanted) and found == wanted:
            continue
        what = f"{key} {shown(found)} is not known" if key in document else f'the key "{key}" is missing'
        remedy = f"this program reads plan files with {key} {shown(wanted)}"
        raise PlanFileError(Problem(what=what, where=f"{report.where}: {key}", remedy=remedy))


def _plank_spec(table: Fields) -> PlankSpec:
    coverage = table.share("box_coverage_mm2", Fraction(0)) if "box_coverage_mm2" in table else None
    return PlankSpec(
        length=table.whole("length", least=1),
        width=table.whole("width", least=1),
        kerf=table.whole("kerf", least=0),
        per_box=table.whole("per_box", least=1),
        ends=table.choice("ends", Ends),
        kind=table.choice("kind", PlankKind) if "kind" in table else None,
        single_length=table.flag("single_length", default=True),
        box_coverage_mm2=coverage,
        box_price=table.price("box_price"),
        nominal_width=table.whole("nominal_width", least=1) if "nominal_width" in table else None,
        width_tolerance=table.whole("width_tolerance", least=0, default=0),
        thickness=table.whole("thickness", least=1) if "thickness" in table else None,
    )


def _rules(table: Fields) -> Rules:
    return Rules(
        stagger=table.whole("stagger", least=0),
        min_piece=table.whole("min_piece", least=0),
        h_joint=table.whole("h_joint", least=0),
        stair_step=table.whole("stair_step", least=0),
        cut_step=table.whole("cut_step", least=0),
        max_waiting=table.whole_or_null("max_waiting", least=0),
        pattern=table.choice("pattern", Pattern),
        min_rip=table.whole("min_rip", least=0, default=0),
        gap=table.whole("gap", least=0, default=0),
        fit=table.whole("fit", least=0, default=0),
        lay=table.choice("lay", Lay, Lay.LEFT_TO_RIGHT),
        share_offcuts=table.choice("share_offcuts", ShareOffcuts, ShareOffcuts.JOB),
        share_rips=table.choice("share_rips", ShareRips, ShareRips.YES),
        lots=table.choice("lots", KeepLots, KeepLots.MIX),
    )


def _order(top: Fields) -> Order:
    if "order" not in top:
        return Order()
    table = top.table("order")
    culls = table.share("culls", Fraction(0))
    if culls >= 1:
        table.wrong("culls", "cull less than every plank: a share under 1")
    return Order(culls=culls, spare=table.whole("spare", least=0, default=0))


def _laid_run(table: Fields) -> LaidRun:
    pieces = tuple(_piece(piece) for piece in table.tables("pieces"))
    length, width = table.whole("length"), table.whole("width")
    return LaidRun(
        run=Run(
            room=table.text("room"),
            field=table.text("field"),
            line=table.whole("line"),
            row=table.whole("row"),
            run=table.whole("run"),
            offset=table.whole("offset"),
            length=length,
            width=width,
            left_slant=table.whole("left_slant", default=pieces[0].left_slant if pieces else 0),
            right_slant=table.whole("right_slant", default=pieces[-1].right_slant if pieces else 0),
            left_mitre=table.flag("left_mitre", default=False),
            right_mitre=table.flag("right_mitre", default=False),
            area2=table.whole("area2", least=-2 * MOST**2, most=2 * MOST**2, default=2 * length * width),
            wide=table.whole("wide", least=0) if "wide" in table else None,
            narrow=table.whole("narrow", least=0) if "narrow" in table else None,
            touches=build_touches(table),
        ),
        pieces=pieces,
    )


def _piece(table: Fields) -> Piece:
    return Piece(
        id=table.text("id"),
        plank=table.whole("plank"),
        length=table.whole("length"),
        left=table.choice("left", End),
        right=table.choice("right", End),
        left_slant=table.whole("left_slant", default=0),
        right_slant=table.whole("right_slant", default=0),
    )


def _cut_plank(table: Fields) -> CutPlank:
    strip = "strip" in table
    return CutPlank(
        plank=table.whole("plank"),
        pieces=table.texts("pieces"),
        offcuts=tuple(
            Offcut(length=offcut.whole("length"), keeps=offcut.choice("keeps", Keeps))
            for offcut in table.tables("offcuts")
        ),
        length=table.whole("length", least=1) if strip or "length" in table else None,
        factory=table.choice("factory", Keeps, Keeps.BOTH),
        strip=table.whole("strip", least=1) if strip else None,
        width=table.whole("width", least=1) if strip else None,
        beside=table.text("beside") if strip else "",
        source=table.choice("source", Source, Source.BOX),
        lot=table.text("lot", ""),
        lost=table.whole("lost", least=0, default=0),
        done=table.texts("done") if "done" in table else (),
    )


def _totals(table: Fields) -> Totals:
    return Totals(
        planks=table.whole("planks"),
        boxes=table.whole("boxes"),
        cuts=table.whole("cuts"),
        peak_waiting=table.whole("peak_waiting"),
        net_area_mm2=table.number("net_area_mm2"),
        waste_factor_percent=table.number("waste_factor_percent"),
    )


def _bound(table: Fields) -> Bound:
    return Bound(planks=table.whole("planks"), reason=table.text("reason"), proven=table.flag("proven"))
