"""Floors cut apart from a plan without waste: the rules ask for what the plan keeps, then it is forgotten."""

from dataclasses import dataclass
from itertools import product, repeat

from hypothesis import strategies as st
from planner_jobs import FloorJob
from runs import run_of

from cutopt.model.floor import Floor
from cutopt.model.job import Ends, PlankSpec, Rules

__all__ = ["PerfectJob", "equal_rows", "rows_of_any_length"]

# Orders of the rows that are tried for the one whose closest joints are farthest apart.
ORDERS = 30
# More than this is not asked for where the plan happens to keep more.
MOST_H_JOINT = 2


@dataclass(frozen=True)
class PerfectJob:
    """A floor that can be laid from ``planks`` planks without any waste."""

    job: FloorJob
    planks: int


@dataclass(frozen=True)
class _Row:
    """A row of the plan and the number of the plank of its starter and end piece (whole ones have none)."""

    starter: int
    wholes: int
    end: int
    starter_plank: int | None
    end_plank: int | None


@st.composite
def equal_rows(draw):
    """Rows of one length whose starters, all together, are what all end pieces leave of their planks."""
    rows_round = draw(st.integers(2, 7))
    plank = rows_round * draw(st.integers(4, 9))
    length = (
        plank
        // rows_round
        * draw(st.integers(rows_round + 1, 4 * rows_round).filter(lambda a: a % rows_round))
    )
    shift = length % plank
    rows, used = [], 0
    for start in draw(st.lists(st.integers(1, plank - 1), min_size=1, max_size=3, unique=True)):
        ring = [start]
        while (after := (ring[-1] - shift) % plank) != start:
            ring.append(after)
        for nth, starter in enumerate(ring):
            # The end piece shares its plank with the next starter of the ring.
            before, after = used + nth, used + (nth + 1) % len(ring)
            rows.append(_row(starter, length, plank, before, after))
        used += len(ring)
    return _job(draw, rows, plank)


def _row(starter, length, plank, starter_plank, end_plank):
    starter = starter or plank
    wholes, end = divmod(length - starter, plank)
    return _Row(
        starter=starter,
        wholes=wholes,
        end=end,
        starter_plank=starter_plank if starter < plank else None,
        end_plank=end_plank if end else None,
    )


@st.composite
def rows_of_any_length(draw):
    """Planks cut in two, each half a starter and an end piece of some row."""
    plank = draw(st.integers(20, 48))
    cuts = draw(st.lists(st.integers(plank // 6, plank - plank // 6), min_size=3, max_size=14))
    starters = draw(st.permutations(range(len(cuts))))
    rows = [
        _Row(
            starter=plank - cuts[starter],
            wholes=draw(st.integers(1, 3)),
            end=cuts[end],
            starter_plank=starter,
            end_plank=end,
        )
        for end, starter in enumerate(starters)
    ]
    return _job(draw, rows, plank)


def _job(draw, rows, plank):
    """Put the rows in a good order and ask for what they keep in it."""
    chance = draw(st.randoms(use_true_random=False))
    orders = [chance.sample(rows, len(rows)) for _ in range(ORDERS)]
    best = max(orders, key=lambda order: _apart(order, 1, plank))
    joints = [_joints(row, plank) for row in best]
    rules = Rules(
        stagger=_apart(best, 1, plank),
        min_piece=min(piece for row in best for piece in (row.starter, row.end) if piece),
        h_joint=min(_apart(best, 2, plank), MOST_H_JOINT),
        stair_step=min(map(_step, joints, joints[1:], joints[2:], repeat(plank)), default=0),
        cut_step=1,
        max_waiting=draw(st.sampled_from([_peak(best), None])),
    )
    runs = [run_of(number, row.starter + row.wholes * plank + row.end) for number, row in enumerate(best, 1)]
    spec = PlankSpec(length=plank, width=100, per_box=8, ends=draw(st.sampled_from(Ends)))
    planks, trim = divmod(sum(run.length for run in runs), plank)
    assert trim == 0
    return PerfectJob(FloorJob(Floor(runs=tuple(runs)), spec, rules), planks)


def _joints(row, plank):
    ends = [row.starter + nth * plank for nth in range(row.wholes + 1)]
    return ends if row.end else ends[:-1]


def _apart(rows, distance, plank):
    """The least distance of joints so many rows apart, where both lie in the stretch common to all."""
    found = [plank // 3]
    for first in range(len(rows) - distance):
        group = rows[first : first + distance + 1]
        high = min(row.starter + row.wholes * plank + row.end for row in group)
        found += [
            abs(one - other)
            for one, other in product(_joints(group[0], plank), _joints(group[-1], plank))
            if one <= high and other <= high
        ]
    return min(found)


def _step(first, middle, last, plank):
    if not (first and middle and last):
        return plank
    turn = (last[0] - middle[0]) - (middle[0] - first[0])
    return min(turn % plank, -turn % plank)


def _peak(rows):
    """The most planks that wait after any row."""
    spans = {}
    for nth, row in enumerate(rows):
        for plank in (row.starter_plank, row.end_plank):
            if plank is not None:
                spans.setdefault(plank, []).append(nth)
    return max(sum(min(span) <= nth < max(span) for span in spans.values()) for nth in range(len(rows)))
