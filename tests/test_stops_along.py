"""Stops along the rows: the best place for the joints of a fixed pattern, against every place tried."""

from hypothesis import given, settings
from hypothesis import strategies as st
from runs import run_of

from cutopt.layout.stops import along
from cutopt.model.job import Ends, Pattern, PlankSpec, Rules

PLANK = PlankSpec(length=60, width=10, per_box=8, ends=Ends.SQUARE)
PARTS = {Pattern.HALF: 2, Pattern.THIRD: 3}
LENGTHS = st.lists(st.tuples(st.integers(0, 40), st.integers(20, 200)), min_size=1, max_size=6)


def rules(pattern):
    return Rules(stagger=0, min_piece=5, h_joint=0, stair_step=0, cut_step=1, pattern=pattern)


def shortest_piece(runs, parts, at):
    """The shortest starter or end piece with joints at ``at`` and every plank from there, rows shifted by turns."""
    found = []
    for run in runs:
        if run.length > PLANK.length:
            joint = at + PLANK.length * (run.line % parts) // parts
            found += [(joint - run.offset) % PLANK.length or PLANK.length]
            found += [(run.right - joint) % PLANK.length or PLANK.length]
    return min(found, default=None)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(LENGTHS, st.sampled_from(sorted(PARTS)))
def test_no_other_place_leaves_a_longer_shortest_piece(told, pattern):
    runs = [run_of(line, length, offset=offset) for line, (offset, length) in enumerate(told, 1)]
    solution = along(runs, PLANK, rules(pattern))
    best = [shortest_piece(runs, PARTS[pattern], at) for at in range(PLANK.length)]
    if best[0] is None:
        assert solution is None
    else:
        assert solution.best.narrowest.narrow == max(best)
        assert shortest_piece(runs, PARTS[pattern], solution.best.at) == max(best)


def test_a_pattern_that_chooses_row_by_row_has_no_such_place():
    assert along([run_of(1, 200)], PLANK, rules(Pattern.RANDOM)) is None
