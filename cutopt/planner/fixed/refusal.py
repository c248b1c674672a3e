"""Starts that keep the rules, or the proof that there are none, with what would help."""

from bisect import bisect_left
from dataclasses import dataclass, replace

from cutopt.errors import Problem as Trouble
from cutopt.errors import RulesClashError
from cutopt.planner.fixed.order import laid_pieces, smallest_pieces
from cutopt.planner.fixed.stagger import keep_stagger
from cutopt.planner.fixed.starts import FieldStarts, field_starts
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Legal", "legal_starts"]

Group = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Legal:
    """Starts of each field, ``laid`` where they keep min piece and stagger.

    Where ``rounding`` a field has none that does with all its joints rounded alike; its starts then
    are those that may do when each joint is rounded as it needs.
    """

    fields: tuple[FieldStarts, ...]
    rounding: bool


def legal_starts(problem: Problem) -> Legal:
    """Return the starts that keep min piece and stagger.

    Raises ``RulesClashError`` with every field that has none.
    """
    groups = _fields_of(problem)
    fields = [field_starts(problem, group) for group in groups]
    short = [
        _too_near(problem, group) if _is_beside(problem, group) else _too_short(problem, group)
        for group, field in zip(groups, fields, strict=True)
        if not field.possible.any()
    ]
    if short:
        raise RulesClashError(*short)
    loose = [
        replace(field, laid=field.possible & keep_stagger(problem, field, rounding=True)) for field in fields
    ]
    close = [
        _too_near(problem, group) if _is_beside(problem, group) else _too_close(problem, field)
        for group, field in zip(groups, loose, strict=True)
        if not field.laid.any()
    ]
    if close:
        raise RulesClashError(*close)
    strict = [
        replace(field, laid=field.laid & keep_stagger(problem, field, rounding=False)) for field in fields
    ]
    rounding = not all(field.laid.any() for field in strict)
    return Legal(tuple(loose if rounding else strict), rounding)


def _reachable_min_piece(problem: Problem, group: Group) -> Ticks:
    """Return a min piece, in whole cut steps, that some start keeps in the field of these runs (0: none)."""
    field = field_starts(replace(problem, rules=replace(problem.rules, min_piece=1)), group)
    shortest = int(smallest_pieces(field, laid_pieces(field))[field.laid].max(initial=0))
    return shortest // problem.rules.cut_step * problem.rules.cut_step


def _fields_of(problem: Problem) -> list[Group]:
    found: dict[str, list[int]] = {}
    for index, run in enumerate(problem.runs):
        found.setdefault(run.field, []).append(index)
    return [tuple(runs) for runs in found.values()]


def _is_beside(problem: Problem, group: Group) -> bool:
    """Say whether the runs of a field could be laid on the pattern if none lay already."""
    free = replace(problem, down=())
    return bool(problem.down) and _can_keep(free, group, problem.rules.stagger)


def _too_near(problem: Problem, group: Group) -> Trouble:
    step, stagger = problem.rules.cut_step, problem.rules.stagger
    below = range(-(-stagger // step))
    steps = bisect_left(below, True, key=lambda nth: not _can_keep(problem, group, nth * step))  # noqa: FBT003
    lower = f"lower it to {problem.show((steps - 1) * step)}" if steps > 1 else "lower the stagger"
    return Trouble(
        what=f"wherever the {problem.rules.pattern} pattern starts, stagger {problem.show(stagger)} "
        "cannot be kept beside the joints of the floor that is there",
        where=f'room "{problem.runs[group[0]].room}": rules.stagger',
        remedy=f'{lower}, or use pattern = "random"',
    )


def _can_keep(problem: Problem, group: Group, stagger: Ticks) -> bool:
    lower = replace(problem, rules=replace(problem.rules, stagger=stagger))
    every = field_starts(lower, group)
    return bool((every.laid & keep_stagger(lower, every, rounding=False)).any())


def _too_short(problem: Problem, group: Group) -> Trouble:
    reachable = _reachable_min_piece(problem, group)
    helps = f"lower it to {problem.show(reachable)}, or " if reachable else ""
    return Trouble(
        what=f"wherever the {problem.rules.pattern} pattern starts, a starter or end piece "
        f"is under the min piece, {problem.show(problem.rules.min_piece)}",
        where=f'room "{problem.runs[group[0]].room}": rules.min_piece',
        remedy=f'{helps}use pattern = "random"',
    )


def _too_close(problem: Problem, field: FieldStarts) -> Trouble:
    circle, stagger = field.circle, problem.rules.stagger
    offset = circle.plank // circle.parts
    # Whole cut steps, as joints are: the offset itself, else what rounding may leave of it.
    lower = [offset // circle.step * circle.step - less * circle.step for less in range(2)]
    group = tuple(run for kind in field.kinds for run in kind.runs)
    helps = next((value for value in lower if value < stagger and _can_keep(problem, group, value)), 0)
    return Trouble(
        what=f"the {problem.rules.pattern} pattern sets rows off by {problem.show(offset)}, and with joints "
        f"rounded to the cut step no start keeps the stagger, {problem.show(stagger)}",
        where=f'room "{field.kinds[0].run.room}": rules.stagger',
        remedy=f"lower it to {problem.show(helps)}" if helps else "lower the stagger",
    )
