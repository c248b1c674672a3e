"""Where the lines between rows lie: the solver against every place tried, creep, and the sheet's words."""

from fractions import Fraction

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from rooms import inch

from cutopt.layout.stops import APART, LastRow, first_row, last_row, measured_pitch, solve
from cutopt.model.rooms import StopSide
from cutopt.model.stops import StopLine, StopsSolution
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._stops import stops as stops_section
from cutopt.sheet._text import printed
from cutopt.units import TICKS_PER_INCH, Unit

CHECKED = settings(derandomize=True, deadline=None, max_examples=150)
NEAR = 3


def line(name, low, high=None, *, after=False, **wish) -> StopLine:
    side = StopSide.AFTER if after else StopSide.BEFORE
    return StopLine(name=name, side=side, low=low, high=low if high is None else high, **wish)


# By every place


@st.composite
def lines(draw: DrawFn, pitch: int) -> StopLine:
    low = draw(st.integers(-50, 50))
    phases = draw(st.sampled_from([(0,), (0,), (0, pitch // 2), (0, pitch // 3, 2 * pitch // 3)]))
    return StopLine(
        name="stop",
        side=draw(st.sampled_from(StopSide)),
        low=low,
        high=low + draw(st.sampled_from([0, 0, 1, 2, 5, 9, pitch, 2 * pitch])),
        min_rip=draw(st.integers(0, pitch // 2)),
        full=draw(st.sampled_from([False] * 5 + [True])),
        phases=phases,
    )


def floors():
    return st.integers(1, 24).flatmap(
        lambda pitch: st.tuples(st.lists(lines(pitch), max_size=5), st.just(pitch))
    )


def strips(stop: StopLine, t: int, pitch: int) -> list[tuple[int, int]]:
    """The rows cut by the stop's edge, each as its narrow and wide end: walked along the edge, line by line."""
    found = []
    for phase in stop.phases:
        low, high = stop.low, stop.high
        if stop.side is StopSide.AFTER:  # seen from the other side
            low, high, place = -stop.high, -stop.low, -(t + phase)
        else:
            place = t + phase
        # rows lie between place + n * pitch and place + (n + 1) * pitch; a square edge on a line has the row below
        first = (low - place) // pitch - 1
        last = (high - place) // pitch + 1
        for row in range(first, last + 1):
            bottom, top = place + row * pitch, place + (row + 1) * pitch
            if low == high:
                if bottom < low <= top:
                    found.append((low - bottom, low - bottom))
            elif max(bottom, low) < min(top, high):
                found.append((max(bottom, low) - bottom, min(top, high) - bottom))
    return found


def narrow(stop, t, pitch) -> int:
    return min(thin for thin, _ in strips(stop, t, pitch))


def wide(stop, t, pitch) -> int:
    return max(thick for _, thick in strips(stop, t, pitch))


def has_its_wish(stop, t, pitch) -> bool:
    if not stop.full:
        return narrow(stop, t, pitch) >= stop.min_rip
    met = strips(stop, t, pitch)
    return len(met) == len(stop.phases) and all(thick == pitch for _, thick in met)


def rips(stops, t, pitch) -> list[int]:
    return sorted(narrow(stop, t, pitch) for stop in stops)


# Of two places beside a crossing the second is better; a wish beyond the crossing; rips that run out at both
@example(([line("a", 0, after=True), line("b", 0, after=True), line("c", 7)], 20))
@example(([line("a", 0, after=True, min_rip=25), line("b", 5)], 30))
@example(([line("a", 2, 4, after=True), line("b", 1, 3)], 4))
@CHECKED
@given(floors())
def test_no_place_is_better(floor) -> None:
    stops, pitch = floor
    best = solve(stops, pitch).best
    allowed = [t for t in range(pitch) if all(has_its_wish(stop, t, pitch) for stop in stops)]
    assert best.is_ok == bool(allowed)
    for rip in best.rips:
        assert (rip.narrow, rip.wide) == (
            narrow(rip.stop, best.at, pitch),
            wide(rip.stop, best.at, pitch),
        )
        assert rip.is_ok == has_its_wish(rip.stop, best.at, pitch)
    if allowed:
        assert best.at == max(allowed, key=lambda t: (rips(stops, t, pitch), -t))


@CHECKED
@given(floors())
def test_a_conflict_falls_short_by_least_and_names_stops_none_of_which_is_idle(floor) -> None:
    stops, pitch = [stop for stop in floor[0] if not stop.full], floor[1]
    stops = [StopLine(**(fields(stop) | {"min_rip": 2 * stop.min_rip})) for stop in stops]
    solution = solve(stops, pitch)
    assert solution.best.is_ok is (not solution.conflict)
    if not solution.conflict:
        return

    def short(t) -> int:
        return min(narrow(stop, t, pitch) - stop.min_rip for stop in stops)

    assert solution.best.at == max(range(pitch), key=lambda t: (short(t), rips(stops, t, pitch), -t))
    assert (solution.back, solution.ahead) == (0, 0)
    conflict = list(solution.conflict)
    assert not solve(conflict, pitch).best.is_ok
    for at in range(len(conflict)):
        assert solve(conflict[:at] + conflict[at + 1 :], pitch).best.is_ok


def fields(stop: StopLine) -> dict[str, object]:
    return {name: getattr(stop, name) for name in StopLine.__dataclass_fields__}


@CHECKED
@given(floors())
def test_the_lines_may_move_just_so_far(floor) -> None:
    stops, pitch = floor
    solution = solve(stops, pitch)
    assume(solution.best.is_ok)

    def free(way: int) -> int | None:
        for step in range(1, pitch + 1):
            if not all(has_its_wish(stop, solution.best.at + way * step, pitch) for stop in stops):
                return step - 1
        return None

    assert (solution.back, solution.ahead) == (free(-1), free(1))


@CHECKED
@given(floors())
def test_the_next_best_is_the_best_top_farther_off(floor) -> None:
    stops, pitch = floor
    solution = solve(stops, pitch, apart=NEAR)
    best = solution.best.at
    assume(solution.best.is_ok)

    def key(t) -> tuple[bool, list[int]]:
        return all(has_its_wish(stop, t, pitch) for stop in stops), rips(stops, t, pitch)

    tops = [
        t
        for t in range(pitch)
        if min((t - best) % pitch, (best - t) % pitch) >= NEAR
        and key(t)[0]
        and key(t - 1) < key(t) >= key(t + 1)
    ]
    if not tops:
        assert solution.next_best is None
        return
    assert solution.next_best is not None
    assert key(solution.next_best.at) == max(map(key, tops))
    assert solution.next_best.at in tops


@CHECKED
@given(floors(), st.integers(-99, 99))
def test_moving_the_datum_or_looking_from_the_other_side_changes_no_rip(floor, shift) -> None:
    stops, pitch = floor
    assume(solve(stops, pitch).best.is_ok)
    widths = [rip.narrow for rip in solve(stops, pitch).best.rips]
    moved = [
        StopLine(**(fields(stop) | {"low": stop.low + shift, "high": stop.high + shift})) for stop in stops
    ]
    other = {StopSide.AFTER: StopSide.BEFORE, StopSide.BEFORE: StopSide.AFTER}
    turned = [
        StopLine(
            **(
                fields(stop)
                | {
                    "side": other[stop.side],
                    "low": -stop.high,
                    "high": -stop.low,
                    "phases": tuple(-phase for phase in stop.phases),
                }
            )
        )
        for stop in stops
    ]
    for changed in (moved, turned):
        assert sorted(rip.narrow for rip in solve(changed, pitch).best.rips) == sorted(widths)


# By hand


def test_a_room_balances_its_two_walls() -> None:
    # 4 in boards with 1 in left over: 2-1/2 in at both walls (verydays.com)
    walls = [line("start", 0, after=True), line("end", inch(41))]
    solution = solve(walls, inch(4))
    assert [rip.narrow for rip in solution.best.rips] == [inch("2.5")] * 2
    assert first_row(solution.best.at, 0, inch(4)) == inch("2.5")


def test_a_full_board_at_the_hearth_settles_all_else() -> None:
    # A full board in front of the hearth, 3-1/4 in oak (fcimag.com 84501; the distances are ours)
    stops = [line("hearth", inch("100"), full=True), line("wall", 0, after=True), line("bay", inch(210))]
    solution = solve(stops, inch("3.25"))
    # 100 = 30 x 3-1/4 + 2-1/2; 110 = 33 x 3-1/4 + 2-3/4
    assert [rip.narrow for rip in solution.best.rips] == [inch("3.25"), inch("2.5"), inch("2.75")]
    assert (solution.back, solution.ahead) == (0, 0)
    assert solution.next_best is None


def test_a_tapered_full_row_is_whole_at_its_wide_end() -> None:
    (rip,) = solve([line("hearth", 70, 73, full=True)], 7).best.rips
    assert (rip.wide, rip.narrow, rip.is_ok) == (7, 4, True)


def test_a_taper_of_more_than_a_row_is_never_full_and_always_runs_out() -> None:
    solution = solve([line("hearth", 70, 78, full=True)], 7)
    assert [stop.name for stop in solution.conflict] == ["hearth"]
    assert (solution.best.rips[0].wide, solution.best.rips[0].narrow) == (7, 0)


def test_edge_rows_along_15_ft_at_one_end_and_15_ft_2_in_at_the_other() -> None:
    # widths 180 and 182 in, the taper shared: each edge row loses 1 in (an instructor's example, derived)
    stops = [line("low wall", inch(-1), 0, after=True), line("high wall", inch(180), inch(181))]
    solution = solve(stops, inch(5))
    assert {rip.wide - rip.narrow for rip in solution.best.rips} == {inch(1)}
    # 180 = 36 x 5: the narrow ends come to a row together, 2-1/2 in each
    assert [rip.narrow for rip in solution.best.rips] == [inch("2.5")] * 2


def test_two_hundred_stops() -> None:
    pitch = 10**6
    stops = [
        line(str(nth), 7919 * nth * nth % pitch, after=bool(nth % 2), min_rip=nth % 5) for nth in range(200)
    ]
    solution = solve(stops, pitch)
    assert solution.best.is_ok
    assert solution.best.narrowest is not None
    least = solution.best.narrowest.narrow
    for t in range(0, pitch, 997):
        assert min(narrow(stop, t, pitch) for stop in stops) <= least


def test_no_stops_leave_the_lines_at_the_datum() -> None:
    assert solve([], 7) == StopsSolution(pitch=7, best=solve([], 7).best)
    assert solve([], 7).best.at == 0


@pytest.mark.parametrize(("stops", "pitch"), [([line("a", 2, 1)], 7), ([], 0)])
def test_stops_that_make_no_sense(stops, pitch) -> None:
    with pytest.raises(ValueError, match="low end"):
        solve(stops, pitch)


# Creep


def test_two_inches_gained_in_79_rows() -> None:
    # A diary of a kitchen floor: 5 in boards, 2-1/2 in planned for the last row, about 1/2 in left (about
    # 79 rows: derived from its 33 ft). 0.025 in a row.
    pitch = measured_pitch(79, inch(79 * 5 + 2))
    assert round((pitch - inch(5)) / TICKS_PER_INCH, 3) == Fraction("0.025")
    clear = inch(79 * 5 + 2.5)
    assert last_row(clear=clear, pitch=inch(5)) == LastRow(
        narrowest=Fraction(inch("2.5")), widest=Fraction(inch("2.5")), fewest=80, most=80
    )
    assert last_row(clear=clear, pitch=pitch).narrowest == inch("0.5")


def test_rows_a_sixteenth_over_gain_an_inch_in_sixteen() -> None:
    # woodfloorinstallationguide.com, boards that vary in width; 16 x 1/16 in
    last = last_row(clear=inch(16 * 5 + 3), pitch=inch(5), tolerance=inch("1/16"))
    assert (last.narrowest, last.widest) == (inch(2), inch(4))
    assert not last.may_differ(17)
    assert last.may_differ(16)


def test_a_first_row_ripped_to_a_measure_does_not_vary() -> None:
    last = last_row(clear=inch("140.5"), pitch=inch(7), first=inch("3.75"), tolerance=inch("1/64"))
    assert (last.narrowest, last.widest) == (inch("3.75") - 19 * 127, inch("3.75") + 19 * 127)
    assert (last.fewest, last.most) == (21, 21)


@CHECKED
@given(
    clear=st.integers(2, 500),
    pitch=st.integers(2, 40),
    tolerance=st.integers(0, 4),
    first=st.none() | st.integers(1, 40),
)
def test_the_last_row_is_where_any_pitch_in_the_range_puts_it(clear, pitch, tolerance, first) -> None:
    assume(tolerance < pitch and (first or 0) < clear)
    last = last_row(clear=clear, pitch=pitch, first=first, tolerance=tolerance)
    rest, ripped = clear - (first or 0), int(first is not None)
    seen = []
    for step in range(-20, 21):
        row = pitch + Fraction(tolerance * step, 20)
        whole, over = divmod(rest, row)
        rows, width = (whole + 1, over) if over else (whole, row)
        seen.append((rows + ripped, width))
        assert last.fewest <= rows + ripped <= last.most
        assert last.narrowest <= width <= last.widest
    assert {seen[0][0], seen[-1][0]} == {last.most, last.fewest}
    if last.fewest == last.most:
        assert {last.narrowest, last.widest} == {seen[0][1], seen[-1][1]}
    else:
        # the last row is whole just where a row is gained, and as near to nothing as one likes beyond
        assert last.narrowest == 0
        assert last.widest in (Fraction(rest, last.fewest - ripped), seen[0][1])


@pytest.mark.parametrize(
    "measures",
    [
        {"clear": 10, "pitch": 3, "tolerance": 3},
        {"clear": 10, "pitch": 3, "tolerance": -1},
        {"clear": 3, "pitch": 3, "first": 3},
    ],
)
def test_rows_without_width(measures) -> None:
    with pytest.raises(ValueError, match="rows need a width"):
        last_row(**measures)


# The sheet

INCHES = Lengths(unit=Unit.IN, step=127)


def test_the_sheet_shows_every_stop() -> None:
    stops = [
        line("hearth front", inch(60), full=True),
        line("bay window, the long wall by the garden", inch(142), inch(143), min_rip=inch(2)),
        line("start", 0, after=True, min_rip=inch(2)),
    ]
    assert "\n".join(printed(stops_section(solve(stops, inch(7)), INCHES, datum="wall A-B"))) == SHEET


SHEET = """
STOPS
-----
  A line between rows lies 4" from wall A-B, and every 7" from there.
  stop                    rows      rip  narrow end  wanted
  hearth front            up to it  7"   -           full row
  bay window, the lon...  up to it  6"   5"          2"
  start                   from it   4"   -           2"
  The lines may not move: at once a stop would get less than it wants.
  There is no second best place: away from this one a stop gets less than it
    wants, or the narrowest rip only shrinks."""


def test_the_sheet_names_a_conflict() -> None:
    stops = [
        line("hearth", 0, full=True),
        line("nosing", inch(3), full=True),
        line("wall", inch(9), min_rip=inch(1)),
    ]
    assert "\n".join(printed(stops_section(solve(stops, inch(7)), INCHES))) == CONFLICT


CONFLICT = """
STOPS
-----
  A line between rows lies 3" from the datum, and every 7" from there.
  stop    rows      rip  narrow end  wanted
  hearth  up to it  4"   -           full row !!
  nosing  up to it  7"   -           full row
  wall    up to it  6"   -           1"
  !! Not all can have what they want: "hearth", "nosing". Here the worst falls
    short by least.
  Next best: a line at 0"; its narrowest rip is 2", at "wall"."""


def test_the_sheet_tells_of_the_next_best_and_of_free_lines() -> None:
    stops = [line("hall", inch(3)), line("door\x1b[2J", inch(5), after=True), line("closet", inch(10))]
    text = "\n".join(printed(stops_section(solve(stops, inch(7)), INCHES)))
    assert "The lines may lie anywhere" in text
    assert 'Next best: a line at 1/2"; its narrowest rip is 2-1/2", at "hall".' in text
    assert "\x1b" not in text
    assert all(len(row) <= 80 for row in text.splitlines())
    assert stops_section(solve([], inch(7)), INCHES) == []


def test_the_sheet_tells_of_a_row_that_tapers_out_and_of_how_far_lines_move() -> None:
    stops = [line("hall", inch(3)), line("bowed wall", 0, inch(8)), line("door", inch(9), min_rip=inch(2))]
    text = printed(stops_section(solve(stops, inch(7)), INCHES))
    assert '  bowed wall  up to it  7"   tapers out  any' in text
    # hall alone is full at 3; the door then has 6 in, 4 more than it wants, and a whole row after 1 more
    assert '  The lines may move 1" back or 4" ahead before a stop gets less than it' in text


@given(st.lists(st.integers(0, 10**6), min_size=1, max_size=6), st.sampled_from(Unit))
@settings(derandomize=True, deadline=None, max_examples=60)
def test_the_sheet_keeps_to_80_columns(places, unit) -> None:
    stops = [line("n" * 60, at, at + 777, after=bool(at % 2), min_rip=at % 9999) for at in places]
    lengths = Lengths(unit=unit, step=320 if unit.is_metric else 508)
    text = printed(stops_section(solve(stops, 193_547), lengths, datum="d" * 70))
    assert all(len(row) <= 80 and row.isascii() for row in text)


def test_near_is_a_sixteenth() -> None:
    assert inch("1/16") == APART
