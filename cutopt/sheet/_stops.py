"""Where the lines between rows lie, and what that makes of the rows at every stop."""

from collections.abc import Iterator, Sequence

from cutopt.model.rooms import StopSide
from cutopt.model.stops import LinePlace, StopRip, StopsSolution
from cutopt.model.words import Block, Heading, Table
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import clean, listed, para, shorten

__all__ = ["stops"]

_NAME = 22
_TITLES = ("stop", "rows", "rip", "narrow end", "wanted")
_SIDES = {StopSide.BEFORE: "up to it", StopSide.AFTER: "from it"}


def stops(solution: StopsSolution, lengths: Lengths, *, datum: str = "the datum") -> list[Block]:
    """Return the place of the lines, the table stop to rip, the next best, and how far the lines may move.

    Nothing without stops. ``datum`` names what all places are measured from.
    """
    rips = solution.best.rips
    if not rips:
        return []
    return [
        Heading("Stops"),
        para(_where(solution, lengths, datum), first="  ", rest="    "),
        _table(rips, lengths),
        *(para(text, first="  ", rest="    ") for text in _remarks(solution, lengths)),
    ]


def _where(solution: StopsSolution, lengths: Lengths, datum: str) -> str:
    at, pitch = lengths.show(solution.best.at), lengths.show(solution.pitch)
    return f"A line between rows lies {at} from {clean(datum)}, and every {pitch} from there."


def _table(rips: Sequence[StopRip], lengths: Lengths) -> Table:
    """Return a row for each stop, marked ``!!`` where it gets less than it wants."""
    return Table((_TITLES, *(_cells(rip, lengths) for rip in rips)))


def _cells(rip: StopRip, lengths: Lengths) -> tuple[str, ...]:
    return (
        shorten(rip.stop.name, _NAME),
        _SIDES[rip.stop.side],
        lengths.show(rip.wide),
        _narrow_end(rip, lengths),
        _wanted(rip, lengths) + (" !!" if not rip.is_ok else ""),
    )


def _wanted(rip: StopRip, lengths: Lengths) -> str:
    if rip.stop.full:
        return "full row"
    return lengths.show(rip.wanted) if rip.wanted else "any"


def _narrow_end(rip: StopRip, lengths: Lengths) -> str:
    if not rip.is_tapered:
        return "-"
    return lengths.show(rip.narrow) if rip.narrow else "tapers out"


def _remarks(solution: StopsSolution, lengths: Lengths) -> Iterator[str]:
    if solution.conflict:
        names = listed([f'"{shorten(stop.name, 40)}"' for stop in solution.conflict])
        yield f"!! Not all can have what they want: {' '.join(names)}. Here the worst falls short by least."
    else:
        yield f"The lines {_play(solution, lengths)}."
    if solution.next_best is not None:
        yield f"Next best: {_other(solution.next_best, lengths)}."
    elif not solution.conflict:
        yield (
            "There is no second best place: away from this one a stop gets less than it wants, or the narrowest "
            "rip only shrinks."
        )


def _play(solution: StopsSolution, lengths: Lengths) -> str:
    if solution.back is None or solution.ahead is None:
        return "may lie anywhere: no stop can get less than it wants"
    if solution.back == solution.ahead == 0:
        return "may not move: at once a stop would get less than it wants"
    back, ahead = lengths.show(solution.back), lengths.show(solution.ahead)
    return f"may move {back} back or {ahead} ahead before a stop gets less than it wants"


def _other(place: LinePlace, lengths: Lengths) -> str:
    narrowest = place.narrowest
    at = f"a line at {lengths.show(place.at)}"
    if narrowest is None:
        return at
    width = lengths.show(narrowest.narrow) if narrowest.narrow else "one that tapers out"
    return f'{at}; its narrowest rip is {width}, at "{shorten(narrowest.stop.name, 40)}"'
