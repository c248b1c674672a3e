"""Runs that lay already, and which runs touch, in a plan file."""

from itertools import pairwise
from typing import Any

from cutopt.model.floor import DownRun
from cutopt.planfile._fields import Fields, shown

__all__ = ["build_down", "build_touches", "down_table"]

_MOST_JOINTS = 100_000
_MOST_RUNS = 10_000


def down_table(run: DownRun) -> dict[str, Any]:
    """Return the table of a run that lay already."""
    return {
        "field": run.field,
        "line": run.line,
        "offset": run.offset,
        "length": run.length,
        "joints": list(run.joints),
    }


def build_down(table: Fields) -> DownRun:
    """Return the run of such a table; its joints rise and lie inside it."""
    run = DownRun(
        field=table.text("field"),
        line=table.whole("line"),
        offset=table.whole("offset"),
        length=table.whole("length", least=1),
        joints=table.wholes("joints", most_entries=_MOST_JOINTS),
    )
    for nth, (before, joint) in enumerate(pairwise((run.offset, *run.joints)), 1):
        if not before < joint < run.right:
            remedy = "list the joints in rising order, each inside the run, from the field's origin"
            table.wrong(f"joints[{nth}]", remedy, f"{shown(joint)} will not do")
            break
    return run


def build_touches(table: Fields) -> tuple[int, ...] | None:
    """Return the runs that a run names as those it touches; ``None`` where it names none: all it can."""
    if "touches" not in table:
        return None
    touches = table.wholes("touches", most_entries=_MOST_RUNS)
    for nth, number in enumerate(touches, 1):
        if number < 1:
            remedy = "write the number of a run of the line before, from 1"
            table.wrong(f"touches[{nth}]", remedy, f"{shown(number)} will not do")
    return touches
