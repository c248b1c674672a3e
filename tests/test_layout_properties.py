"""Laws of rows and runs, checked on generated rooms, and against Shapely by a second route."""

from collections import defaultdict
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy
from numpy.typing import NDArray
from rooms import but_for_corners

from cutopt.errors import JobError
from cutopt.layout import lay_out
from cutopt.layout.ground.inset import clear_areas, tidy_ring
from cutopt.model.floor import Floor, Run
from cutopt.model.job import Ends, Job, Order, PlankSpec, Rules
from cutopt.model.rooms import OutlineRoom
from cutopt.units import Unit

Corners = tuple[tuple[int, int], ...]

CHECKED = settings(derandomize=True, deadline=None, max_examples=120)
PLANK = 400


def lay(corners: Corners, *, width=60, gap=0, min_rip=0) -> Floor:
    return lay_out(
        Job(
            title="",
            unit=Unit.MM,
            plank=PlankSpec(length=PLANK, width=width, per_box=8, ends=Ends.SQUARE),
            rules=Rules(
                stagger=0, min_piece=50, h_joint=0, stair_step=0, cut_step=1, min_rip=min_rip, gap=gap
            ),
            order=Order(),
            rooms=(OutlineRoom(name="Bay", corners=corners),),
        )
    )


@st.composite
def columns(draw: DrawFn, size: int = 300) -> Corners:
    """A room with walls along the axes: columns side by side, each open to the next."""
    low, high = 0, draw(st.integers(1, size))
    x = draw(st.integers(1, size))
    below, above = [(0, low), (x, low)], [(0, high), (x, high)]
    for _ in range(draw(st.integers(0, 5))):
        opening = draw(st.integers(low, high - 1))
        low = draw(st.integers(opening - size, opening))
        high = draw(st.integers(opening + 1, opening + size))
        right = x + draw(st.integers(1, size))
        below += [(x, low), (right, low)]
        above += [(x, high), (right, high)]
        x = right
    return tuple(below + above[::-1])


def stepped(size: int = 300) -> SearchStrategy[Corners]:
    """Return rooms with walls along the axes, their columns side by side or one above the other."""
    return st.one_of(columns(size), columns(size).map(lambda corners: tuple((y, x) for x, y in corners)))


@st.composite
def slanted(draw: DrawFn) -> Corners:
    """Any simple polygon: corners on a coarse or a fine grid, in the order of a drawn walk."""
    step = draw(st.sampled_from([1, 60]))
    points = st.tuples(st.integers(0, 900 // step), st.integers(0, 900 // step))
    corners = draw(st.lists(points, min_size=3, max_size=9, unique=True))
    ring = untangled([(x * step, y * step) for x, y in corners])
    assume(shapely.Polygon(ring).is_valid and len(tidy_ring(ring)) >= 3)
    return tuple(ring)


def untangled(ring: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Turn round stretches between walls that cross until none do (each turn shortens the ring)."""
    for _ in range(200):
        walls = [shapely.LineString(pair) for pair in pairwise([*ring, ring[0]])]
        crossing = next(
            (
                (i, j)
                for i in range(len(walls))
                for j in range(i + 2, len(walls))
                if walls[i].crosses(walls[j])
            ),
            None,
        )
        if crossing is None:
            break
        i, j = crossing
        ring[i + 1 : j + 1] = reversed(ring[i + 1 : j + 1])
    return ring


def rooms() -> SearchStrategy[Corners]:
    return st.one_of(stepped(), slanted())


def lay_or_reject(corners: Corners, *, width: int, gap: int) -> Floor:
    """Lay a room that does not vanish inside its gaps."""
    try:
        return lay(corners, width=width, gap=gap)
    except JobError:
        reject()


def by_row(floor: Floor) -> dict[int, list[Run]]:
    rows: defaultdict[int, list[Run]] = defaultdict(list)
    for run in floor.runs:
        rows[run.line].append(run)
    return rows


def signature(run: Run) -> tuple[int, ...]:
    return run.line, run.run, run.length, run.width, run.left_slant, run.right_slant, run.area2


WIDTHS = st.one_of(st.sampled_from([60, 120]), st.integers(5, 200))  # 60 is the step of a coarse grid
RIPS = st.integers(0, 100)


@CHECKED
@given(rooms(), WIDTHS, RIPS)
def test_runs_are_the_parts_of_the_floor_in_each_strip(corners, width, min_rip) -> None:
    floor = lay(corners, width=width, min_rip=min_rip)
    room, (edges,) = shapely.Polygon(corners), floor.edges
    y = min(y for _, y in corners)
    for line, runs in sorted(by_row(floor).items()):
        strip = shapely.box(-1000, y, 2000, y + runs[0].width)
        y += runs[0].width
        parts = [part for part in shapely.get_parts(shapely.intersection(room, strip)) if part.area > 1e-6]
        expected = sorted((part.bounds[0], part.bounds[2], part.area) for part in parts)
        assert len(runs) == len(expected), line
        for run, (left, right, area) in zip(runs, expected, strict=True):
            assert run.offset == pytest.approx(left, abs=1 + 1e-6)
            assert run.offset <= left + 1e-6
            assert -1e-6 <= run.length - (right - left) < 1 + 1e-6
            assert run.area2 == pytest.approx(2 * area, abs=0.5 + 1e-3)
    assert y == max(y for _, y in corners)
    assert len(by_row(floor)) == edges.rows


@CHECKED
@given(rooms(), WIDTHS)
def test_areas_add_up_to_the_room(corners, width) -> None:
    floor = lay(corners, width=width)
    twice = abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise([*corners, corners[0]])))
    assert abs(sum(run.area2 for run in floor.runs) - twice) <= Fraction(len(floor.runs), 2)


@CHECKED
@given(stepped(25), st.integers(1, 30), st.integers(0, 8))
def test_walls_along_the_axes_are_exact_inside_any_gap(corners, width, gap) -> None:
    """Counted by square ticks: one is floor when all within the gap round it are room."""
    floor = clear_of_walls(corners, gap)
    if not floor.any():
        with pytest.raises(JobError, match="nothing is left"):
            lay(corners, width=width, gap=gap)
        return
    laid = lay(corners, width=width, gap=gap)
    assert sum(run.area2 for run in laid.runs) == 2 * floor.sum()
    assert laid.edges[0].clear == np.ptp(np.flatnonzero(floor.any(axis=1))) + 1
    along = min(x for x, _ in corners)
    assert min(run.offset for run in laid.runs) == along + np.flatnonzero(floor.any(axis=0))[0]
    first = floor[np.flatnonzero(floor.any(axis=1))[0] :][: laid.runs[0].width]
    assert laid.runs[0].offset == along + np.flatnonzero(first.any(axis=0))[0]


def clear_of_walls(corners: Corners, gap: int) -> NDArray[np.bool_]:
    """Return which square ticks of the room's bounding box, (across, along), are floor."""
    left, low, right, high = map(int, shapely.Polygon(corners).bounds)
    x, y = np.meshgrid(np.arange(left, right) + 0.5, np.arange(low, high) + 0.5)
    room = np.pad(shapely.contains_xy(shapely.Polygon(corners), x, y), gap)
    window = np.lib.stride_tricks.sliding_window_view(room, (2 * gap + 1, 2 * gap + 1))
    return window.all(axis=(2, 3))


@CHECKED
@given(slanted(), st.integers(1, 60))
def test_the_gap_is_kept_everywhere_and_not_exceeded(corners, gap) -> None:
    """Between a round offset of the gap and one of the gap's diagonal lies the mitred one."""
    room = shapely.Polygon(corners)
    floor = shapely.MultiPolygon([shapely.Polygon(area.outer) for area in clear_areas([corners], gap)])
    half_a_tick = 0.75  # corners are set on whole ticks either way
    widest = room.buffer(-gap, quad_segs=64).buffer(half_a_tick + gap * 0.02)
    narrowest = room.buffer(-gap * 2**0.5 * 1.02).buffer(-half_a_tick)
    assert shapely.difference(floor, widest).area < 1e-6
    assert shapely.difference(narrowest, floor).area < 1e-6


@CHECKED
@given(rooms(), WIDTHS, st.integers(0, 40), st.integers(-5000, 5000), st.integers(-5000, 5000))
def test_moving_an_outline_moves_the_runs_and_nothing_else(corners, width, gap, right, up) -> None:
    still = lay_or_reject(corners, width=width, gap=gap)
    moved = lay(tuple((x + right, y + up) for x, y in corners), width=width, gap=gap)
    assert [run.offset + right for run in still.runs] == [run.offset for run in moved.runs]
    assert list(map(signature, still.runs)) == list(map(signature, moved.runs))
    assert (still.edges, still.warnings) == (moved.edges, moved.warnings)


@CHECKED
@given(rooms(), WIDTHS, RIPS)
def test_a_mirrored_outline_gives_mirrored_runs(corners, width, min_rip) -> None:
    plain = by_row(lay(corners, width=width, min_rip=min_rip))
    mirrored = by_row(lay(tuple((-x, y) for x, y in corners), width=width, min_rip=min_rip))
    assert plain.keys() == mirrored.keys()
    for line, runs in plain.items():
        one = sorted((run.length, run.area2, run.left_slant, run.right_slant) for run in runs)
        other = sorted((run.length, run.area2, -run.right_slant, -run.left_slant) for run in mirrored[line])
        assert one == other
        ends = sorted(run.right for run in runs)
        starts = sorted(-run.offset for run in mirrored[line])
        assert all(abs(a - b) <= 1 for a, b in zip(ends, starts, strict=True))


@CHECKED
@given(rooms(), WIDTHS, st.integers(0, 40), st.data())
def test_corners_within_a_wall_change_nothing(corners, width, gap, data) -> None:
    wall = data.draw(st.integers(0, len(corners) - 1))
    (x0, y0), (x1, y1) = corners[wall], corners[(wall + 1) % len(corners)]
    # Four times as large, so that quarters of a wall are whole; the planks as well, or there are just more rows.
    big, width = tuple((4 * x, 4 * y) for x, y in corners), 4 * width
    share = data.draw(st.integers(1, 3))
    between = (4 * x0 + share * (x1 - x0), 4 * y0 + share * (y1 - y0))
    more = (*big[: wall + 1], between, *big[wall + 1 :])
    expected = but_for_corners(lay_or_reject(big, width=width, gap=gap))
    assert but_for_corners(lay(more, width=width, gap=gap)) == expected


@CHECKED
@given(columns(), WIDTHS, st.integers(0, 40))
def test_runs_of_a_row_keep_apart_where_the_room_has_one_stretch_at_every_x(corners, width, gap) -> None:
    for runs in by_row(lay_or_reject(corners, width=width, gap=gap)).values():
        assert [run.run for run in runs] == list(range(1, len(runs) + 1))
        assert all(one.right <= other.offset for one, other in pairwise(runs))


@settings(CHECKED, max_examples=300)
@given(
    st.lists(st.tuples(st.integers(-99, 99), st.integers(-99, 99)), max_size=9),
    st.integers(1, 60),
    st.integers(0, 30),
    st.integers(0, 90),
)
def test_any_corners_at_all_give_a_floor_or_a_clear_refusal(corners, width, gap, min_rip) -> None:
    told = ()
    try:
        floor = lay(tuple(corners), width=width, gap=gap, min_rip=min_rip)
    except JobError as error:
        told = error.problems
    if told:
        assert all(problem.what and problem.where and problem.remedy for problem in told)
        return
    (edges,) = floor.edges
    lines = {run.line: run.width for run in floor.runs}
    assert edges.rows == len(lines)
    assert lines[1] == edges.first_width
    assert lines[max(lines)] == edges.last_width
    assert [run.row for run in floor.runs] == sorted(run.row for run in floor.runs)
    assert all(run.length > 0 for run in floor.runs)
    assert all(0 <= run.area2 <= 2 * run.length * run.width for run in floor.runs)


@CHECKED
@given(rooms(), WIDTHS, RIPS)
def test_a_slant_leaves_room_for_a_minimum_piece(corners, width, min_rip) -> None:
    for run in lay(corners, width=width, min_rip=min_rip).runs:
        assert max(abs(run.left_slant), abs(run.right_slant)) <= run.length
        if run.length > PLANK:
            assert max(abs(run.left_slant), abs(run.right_slant)) + 50 <= PLANK
