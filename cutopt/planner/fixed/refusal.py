"""Starts that keep the rules, or the proof that there are none, with what would help."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from cutopt.errors import Problem as Trouble
from cutopt.errors import RulesClashError
from cutopt.planner.fixed.order import laid_pieces, smallest_pieces
from cutopt.planner.fixed.starts import FieldStarts, field_starts, roundings
from cutopt.planner.joints import keep_apart
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Legal", "legal_starts"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
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
        _too_short(problem, group)
        for group, field in zip(groups, fields, strict=True)
        if not field.possible.any()
    ]
    if short:
        raise RulesClashError(*short)
    loose = [
        replace(field, laid=field.possible & _keep_stagger(problem, field, roundings)) for field in fields
    ]
    close = [_too_close(problem, field) for field in loose if not field.laid.any()]
    if close:
        raise RulesClashError(*close)
    strict = [replace(field, laid=field.laid & _keep_stagger(problem, field, _as_laid)) for field in fields]
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


Ways = Callable[[FieldStarts, int], Iterable[Ints]]
"""The ways in which each start may lay a kind of run (by number), one choice after another (-1: none)."""


def _as_laid(field: FieldStarts, at: int) -> Iterable[Ints]:
    return [field.way[at]]


def _keep_stagger(problem: Problem, field: FieldStarts, ways: Ways) -> Bools:
    """Return, per start, whether every two neighbours have ways that keep the stagger.

    Rounding takes up to one cut step of what rows are set off by. Runs within a plank do not count:
    they can be laid in one piece.
    """
    circle, stagger = field.circle, problem.rules.stagger
    kept = np.ones(len(field), dtype=bool)
    if stagger * circle.parts + circle.grid <= circle.plank:
        return kept
    for before, after, length in set(_pairs(problem, field)):
        found = np.zeros(len(field), dtype=bool)
        for one, other in product(ways(field, before[0]), ways(field, after[0])):
            found |= (
                (one >= 0)
                & (other >= 0)
                & keep_apart(
                    *_joints(field, *before, one),
                    *_joints(field, *after, other),
                    stretch=(0, length),
                    plank=circle.plank,
                    apart=stagger,
                )
            )
        kept &= found
    return kept


def _pairs(
    problem: Problem, field: FieldStarts
) -> Iterator[tuple[tuple[int, Ticks], tuple[int, Ticks], Ticks]]:
    """Yield touching runs over a plank: (kind, left end from their common stretch) of each, and its length."""
    kind_of = {run: at for at, kind in enumerate(field.kinds) for run in kind.runs if not kind.alone}
    for link in problem.links:
        if link.before in kind_of and link.after in kind_of:
            before, after = (
                (kind_of[index], problem.runs[index].offset - link.low) for index in (link.before, link.after)
            )
            yield before, after, link.high - link.low


def _joints(field: FieldStarts, at: int, offset: Ticks, way: Ints) -> tuple[Ints, Ints]:
    """Return the first and last joint of a kind of run for every start (of no meaning where not laid)."""
    ways = field.kinds[at].ways
    return ways.first[way] + offset, ways.last[way] + offset


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
    helps = next((value for value in lower if value < stagger and _can_keep(problem, field, value)), 0)
    return Trouble(
        what=f"the {problem.rules.pattern} pattern sets rows off by {problem.show(offset)}, and with joints "
        f"rounded to the cut step no start keeps the stagger, {problem.show(stagger)}",
        where=f'room "{field.kinds[0].run.room}": rules.stagger',
        remedy=f"lower it to {problem.show(helps)}" if helps else "lower the stagger",
    )


def _can_keep(problem: Problem, field: FieldStarts, stagger: Ticks) -> bool:
    lower = replace(problem, rules=replace(problem.rules, stagger=stagger))
    every = field_starts(lower, tuple(run for kind in field.kinds for run in kind.runs))
    return bool((every.laid & _keep_stagger(lower, every, _as_laid)).any())
