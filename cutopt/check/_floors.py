"""Runs against the floor they are laid on.

The floor of a line is what of the field's areas lies between its two lines; its parts are what hangs
together there by more than a point. Every run owns one part of its line, and every part has one run:
the one that spans from the part's leftmost to its rightmost point. A wall that lies across the row on a
slant may leave two runs of a line with spans that overlap, even with one and the same: of those with
the same span the area tells which is whose.

A span begins at the leftmost point rounded down to a tick. Its length is either what lies between the
outermost points, rounded up, or reaches to the rightmost point rounded up; both are outwards. Of an
area twice its size is kept, as a whole number rounded either way. Beyond that only the noise of floats
is let pass.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise
from math import ceil, floor

from cutopt.check._finding import Amount, Fault, Finding
from cutopt.check._ground import Part, beyond_ends2, pieces_area2
from cutopt.model.floor import Run
from cutopt.model.plan import LaidRun
from cutopt.units import TICKS_PER_MM, Ticks

__all__ = ["CRUMB2", "Owned", "about", "check_floors", "own"]

CRUMB2 = 2 * TICKS_PER_MM**2
"""Twice a square millimetre: what may lie bare in a field, too small to lay a piece on."""

_ROUNDING2 = 1
"""How far ``area2`` may be out, as it is a whole number."""

Owned = list[tuple[LaidRun, Part]]
"""Runs of one line, each with the part of the floor that it owns."""


def about(run: Run, fault: Fault, *, found: Amount, wanted: Amount, place: Ticks | None = None) -> Finding:
    """Return a finding about a run on its floor."""
    return Finding(
        fault=fault,
        rows=(run.row,),
        place_row=run.row,
        run=run.run,
        place=place,
        found=found,
        wanted=wanted,
    )


def own(runs: Sequence[LaidRun], parts: Sequence[Part]) -> tuple[Owned, list[LaidRun], list[Part]]:
    """Match the runs of a line to its parts by span, then by area; return who is left on either side."""
    pairs = sorted(
        (abs(laid.run.area2 - part.area2), mine, its)
        for mine, laid in enumerate(runs)
        for its, part in enumerate(parts)
        if _spans(laid.run, part)
    )
    part_of: dict[int, int] = {}
    taken: set[int] = set()
    for _, mine, its in pairs:
        if mine not in part_of and its not in taken:
            part_of[mine] = its
            taken.add(its)
    owned = [(runs[mine], parts[its]) for mine, its in sorted(part_of.items())]
    homeless = [laid for mine, laid in enumerate(runs) if mine not in part_of]
    return owned, homeless, [part for its, part in enumerate(parts) if its not in taken]


def _spans(run: Run, part: Part) -> bool:
    return run.offset in _lefts(part) and run.right in _rights(part, run.offset)


def _lefts(part: Part) -> range:
    """Return where a run on the part may begin; one place, unless noise hides which."""
    return range(floor(_less(part.left, part.noise)), floor(_more(part.left, part.noise)) + 1)


def _rights(part: Part, left: Ticks) -> range:
    """Return where a run on the part that begins at ``left`` may end."""
    shortest = left + ceil(_less(part.right - part.left, part.noise))
    return range(shortest, max(shortest, ceil(_more(part.right, part.noise))) + 1)


def _less(place: float, noise: float) -> float:
    """Return a place as low as it may truly be; whole ticks are corners, and true."""
    return place if place.is_integer() else place - noise


def _more(place: float, noise: float) -> float:
    return place if place.is_integer() else place + noise


def check_floors(owned: Owned, homeless: Sequence[LaidRun], bare: Sequence[Part]) -> Iterator[Finding]:
    """Yield what is wrong between the runs of a line and its parts, matched by :func:`own`."""
    for laid, part in owned:
        yield from _area(laid.run, part)
        yield from _pieces(laid, part)
        yield from _slants(laid.run, part)
        yield from _mitres(laid.run, part)
        yield from _rips(laid.run, part)
    free = list(bare)
    for laid in homeless:
        nearest = _nearest(laid.run, free)
        if nearest is None:
            yield about(laid.run, Fault.NO_FLOOR, found=laid.run.area2, wanted=0)
        else:
            free.remove(nearest)
            yield from _misplaced(laid.run, nearest)


def _nearest(run: Run, parts: Sequence[Part]) -> Part | None:
    """Return the part that lies under most of a run's span, if any does."""

    def common(part: Part) -> float:
        return min(part.right, run.right) - max(part.left, run.offset)

    return max((part for part in parts if common(part) > 0), key=common, default=None)


def _misplaced(run: Run, part: Part) -> Iterator[Finding]:
    lefts = _lefts(part)
    if run.offset not in lefts:
        yield about(run, Fault.RUN_LEFT, found=run.offset, wanted=lefts[0], place=0)
    rights = _rights(part, lefts[0])
    if run.right not in rights:
        yield about(run, Fault.RUN_RIGHT, found=run.right, wanted=rights[0], place=run.length)
    elif run.offset in lefts:
        # Both ends are possible, but not together: the span is a tick too short.
        yield about(run, Fault.RUN_RIGHT, found=run.right, wanted=_rights(part, run.offset)[0])


def _area(run: Run, part: Part) -> Iterator[Finding]:
    if abs(run.area2 - part.area2) > _ROUNDING2 + part.noise2:
        yield about(run, Fault.RUN_AREA, found=run.area2, wanted=round(part.area2))


def _pieces(laid: LaidRun, part: Part) -> Iterator[Finding]:
    """Hold the pieces, as rectangles cut to the walls, against the floor of their run.

    Each must have some of it, and all together all of it, once. The outer two are cut to the walls
    wherever these are within the tick that a span is rounded to.
    """
    if not laid.pieces:
        return
    places = list(accumulate((piece.length for piece in laid.pieces), initial=laid.run.offset))
    for joint in places[1:-1]:
        if not part.left < joint < part.right:
            place = joint - laid.run.offset
            yield about(laid.run, Fault.JOINT_OUTSIDE, found=None, wanted=None, place=place)
    ends = [places[0] - 1, *places[1:-1], places[-1] + 1]
    laid2 = sum(pieces_area2(part, list(pairwise(ends))))
    if abs(laid2 - part.area2) > _ROUNDING2 + len(laid.pieces) * part.noise2:
        yield about(laid.run, Fault.PIECES_AREA, found=round(laid2), wanted=round(part.area2))


def _slants(run: Run, part: Part) -> Iterator[Finding]:
    """Hold the slants against how far the long edges stay behind the outermost points.

    A slant of 0 is always right: where pieces are ripped or notched to a wall, it takes nothing off.
    """
    behind_left = tuple(
        min((left for left, _ in edges), default=part.left) - part.left for edges in (part.lower, part.upper)
    )
    behind_right = tuple(
        part.right - max((right for _, right in edges), default=part.right)
        for edges in (part.lower, part.upper)
    )
    for slant, (lower, upper), lean, place in (
        (run.left_slant, behind_left, 1, 0),
        (run.right_slant, behind_right, -1, run.length),
    ):
        noise = 2 * part.noise
        sizes = ceil(_less(max(lower, upper), noise)), ceil(_more(max(lower, upper), noise))
        turned = abs(lower - upper) > noise and (slant * lean < 0) != (lower > upper)
        if slant and (turned or not sizes[0] <= abs(slant) <= sizes[1]):
            wanted = -lean * sizes[0] if lower > upper else lean * sizes[0]
            yield about(run, Fault.SLANT_WALL, found=slant, wanted=wanted, place=place)


def _mitres(run: Run, part: Part) -> Iterator[Finding]:
    """Hold ends that are called mitres against the floor: none of it lies beyond the line from edge to edge."""
    if not (run.left_mitre or run.right_mitre):
        return
    across = abs(part.high - part.low - run.width) <= 2 * part.noise
    for mitre, beyond2, place in zip(
        (run.left_mitre, run.right_mitre), beyond_ends2(part), (0, run.length), strict=True
    ):
        if mitre and not (across and beyond2 <= part.noise2):
            yield about(run, Fault.MITRE, found="a mitre", wanted="none", place=place)


def _rips(run: Run, part: Part) -> Iterator[Finding]:
    """Hold the widths of a ripped run against each other, and against its floor."""
    wide = run.width if run.wide is None else run.wide
    narrow = wide if run.narrow is None else run.narrow
    most = ceil(_more(part.high - part.low, part.noise))
    if run.wide is not None and wide > most:
        yield about(run, Fault.RIP_WIDE, found=wide, wanted=most)
    if not 0 <= narrow <= wide:
        yield about(run, Fault.RIP_NARROW, found=narrow, wanted=wide)
