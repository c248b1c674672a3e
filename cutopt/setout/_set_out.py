"""Everything that is set out, in the order it is needed."""

from cutopt.model.job import AS_USUAL, LayoutSpec
from cutopt.model.plan import Plan
from cutopt.model.setout import SetOut
from cutopt.setout._limits import movements, over_limits
from cutopt.setout._order import segments
from cutopt.setout._runs import parts_of, touching

__all__ = ["set_out"]


def set_out(plan: Plan, layout: LayoutSpec = AS_USUAL) -> SetOut:
    """Return what to snap, in which order to lay, how to leave, what is too large, and what to cut round.

    ``layout`` holds the product's run limits and movement. What needs to know where the floor is is empty
    for a plan without a ground. Nothing here changes the plan, and moving or mirroring its ground
    changes no distance.
    """
    runs = [laid.run for laid in plan.rows]
    before = touching(runs)
    parts = [[runs[place] for place in part] for part in parts_of(range(len(runs)), before)]
    lines = {field.name: field.lines for field in plan.ground.fields}
    unplaced = SetOut(
        segments=segments(runs, before),
        limits=tuple(over_limits(parts, layout, lines)),
        movements=tuple(movements(parts, plan, layout)),
    )
    if not plan.ground.fields:
        return unplaced
    from cutopt.setout._placed import placed  # noqa: PLC0415 - loads shapely, which few jobs need

    return placed(plan, before, unplaced)
