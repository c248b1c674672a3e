"""The smallest change of one row's start that takes a breach away and brings no new one."""

from collections import Counter
from collections.abc import Callable, Collection, Hashable, Iterator
from dataclasses import replace

from cutopt.mend._around import Around, Near, around
from cutopt.mend._moves import Move, moves
from cutopt.mend._recut import Recut, can_be_recut, recut
from cutopt.model.floor import NOWHERE
from cutopt.model.job import Lay
from cutopt.model.judgement import Mend
from cutopt.model.plan import Plan

__all__ = ["mend"]

_MOST_COUNTED = 60
"""So many plans are counted through for a breach: those that the rules on joints let pass seldom have one all the same."""


def mend(
    plan: Plan,
    rows: Collection[int],
    faults: Callable[[Plan], Counter[Hashable]],
    breach: Hashable = None,
) -> Mend | None:
    """Return the smallest move of the joints of one run that takes a breach away and brings no new one.

    ``rows`` are the job's row numbers that the breach is about; a run of one of them is moved. ``faults`` counts a
    plan's breaches by any key, and ``breach`` is the key of the one to be mended (``None``: any of them). What is
    returned has been counted through: its breaches are those of ``plan``, some of them fewer, none more, ``breach`` fewer.

    Moves are tried by their size, those of the run last laid before others of the same size, then those that leave the
    longer piece at a wall; they are at most a plank's length. Only moves that break no rule on joints or short pieces
    near the run, and that take away what of these is broken in just these rows, are counted through, and of them no
    more than sixty. ``None``: no such move was found. The totals of the mended plan are those of ``plan``.
    """
    before, before_aloof = faults(plan), faults(_aloof(plan))
    in_vain: frozenset[Near] = frozenset()
    counted = 0
    for move, away in _sieved(plan, frozenset(rows)):
        if counted == _MOST_COUNTED:
            break
        if away and away <= in_vain:
            continue
        counted += 1
        done = recut(plan, move)
        # What the ground has to say takes long to find out: last.
        aloof = faults(_aloof(done.plan))
        if not aloof < before_aloof:
            continue
        if breach is not None and aloof[breach] >= before_aloof[breach] > 0:
            in_vain |= away  # something else in the same rows
            continue
        after = faults(done.plan)
        if after < before and (breach is None or after[breach] < before[breach]):
            return _told(move, done, before.total() - after.total() - 1)
    return None


def _told(move: Move, done: Recut, also: int) -> Mend:
    pieces = move.laid.pieces
    starter = pieces[-1 if done.plan.rules.lay is Lay.RIGHT_TO_LEFT else 0]
    return Mend(
        row=move.laid.run.row,
        run=move.laid.run.run,
        before=starter.length,
        after=move.starter,
        plan=done.plan,
        also=also,
        fresh=done.fresh,
    )


def _aloof(plan: Plan) -> Plan:
    """Return the plan as though nothing were known of where its floor is."""
    return replace(plan, ground=NOWHERE)


def _sieved(plan: Plan, rows: frozenset[int]) -> Iterator[tuple[Move, frozenset[Near]]]:
    """Yield the moves that are worth counting through, the smallest first, and what each takes away of the breaches in just these rows."""
    found: list[tuple[int, int, int, int, Move]] = []
    near: list[Around] = []
    for laid in reversed(plan.rows):
        if laid.run.row in rows and can_be_recut(plan, laid):
            found += [
                (move.size, len(near), -move.shortest, move.starter, move) for move in moves(plan, laid)
            ]
            near.append(around(plan, laid))
    before = [one.breaches(one.own_joints) for one in near]
    about = [{breach for breach in broken if frozenset(breach[1]) == rows} for broken in before]
    # A run that is in none of what is broken in just these rows cannot mend it, unless it is of another kind.
    known = any(about)
    for _, nth, _, _, move in sorted(found, key=lambda one: one[:4]):
        after = near[nth].breaches(move.joints)
        away = frozenset(about[nth] - after)
        if after <= before[nth] and (away or not known) and near[nth].keeps_pattern(move.joints):
            yield move, away
