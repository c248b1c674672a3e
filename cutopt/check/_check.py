"""The check as a whole."""

from collections.abc import Iterator

from cutopt.check._counts import check_counts
from cutopt.check._finding import Finding
from cutopt.check._joints import check_joints, jointed_lines
from cutopt.check._ledger import Ledger, open_ledger
from cutopt.check._numbers import check_numbers
from cutopt.check._pattern import check_pattern
from cutopt.check._planks import check_planks
from cutopt.check._runs import check_runs, remark_runs
from cutopt.check._strips import check_strips
from cutopt.model.plan import Plan

__all__ = ["check_plan", "remarks"]


def check_plan(plan: Plan) -> tuple[Finding, ...]:
    """Return everything in which a plan breaks its rules or miscounts; empty for a good plan.

    Only the plan itself is judged: whether its runs are those of the job is for who has the job to see.
    Plank length, width and box size must be positive and culls under 1, as ``read_plan`` sees to.
    """
    ledger = open_ledger(plan)
    lines = jointed_lines(ledger)
    return (
        *check_numbers(ledger),
        *check_runs(ledger),
        *check_planks(ledger),
        *check_strips(ledger),
        *check_joints(ledger, lines),
        *check_pattern(ledger, lines),
        *check_counts(ledger),
        *_ground(ledger),
    )


def _ground(ledger: Ledger) -> Iterator[Finding]:
    if ledger.plan.ground.fields:
        from cutopt.check._places import check_places  # noqa: PLC0415 - loads shapely

        yield from check_places(ledger)


def remarks(plan: Plan) -> tuple[Finding, ...]:
    """Return what breaks no rule but a person should know: short single pieces, slivers."""
    return tuple(remark_runs(open_ledger(plan)))
