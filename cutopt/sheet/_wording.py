"""What is said of a row, a piece and the rest of its plank."""

from collections.abc import Iterator

from cutopt.model.floor import Run
from cutopt.model.job import PlankSpec
from cutopt.model.plan import End, Part
from cutopt.sheet._cuts import Spot
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import shorten

__all__ = [
    "comes_from",
    "goes_to",
    "is_whole",
    "needs_marks",
    "other_parts",
    "part_of_plank",
    "ripped",
    "slants",
    "to_mark",
    "wall",
    "what",
]

_PLACES_NAMED = 3


def is_whole(spot: Spot) -> bool:
    """Say whether a piece is a whole plank as bought."""
    return spot.part is Part.WHOLE and End.CUT not in (spot.piece.left, spot.piece.right)


def ripped(run: Run, plank: PlankSpec, lengths: Lengths) -> str:
    """Return what a row is ripped to: one width, or those of its two ends where it tapers.

    Nothing for a row of a plank's full width.
    """
    show = lengths.show
    wide, narrow = run.width if run.wide is None else run.wide, run.narrow
    if narrow is not None and narrow < wide:
        return f"ripped to a taper: {show(wide)} at the wide end, {show(narrow)} at the narrow one"
    return f"ripped to {show(wide)}" if wide < plank.width else ""


def what(spot: Spot) -> str:
    """Return what a piece is; a whole plank with a slanted end is named by its wall."""
    if spot.part is Part.SINGLE:
        return "single"
    if spot.part is not Part.WHOLE:
        return spot.part
    if is_whole(spot):
        return "whole"
    return Part.STARTER if spot.piece.id.endswith(".1") else Part.END


def part_of_plank(spot: Spot) -> str:
    """Return which part of its plank a piece is."""
    if spot.beside:
        return "strip"
    if spot.uncut:
        return "whole"
    return f"{spot.side} part" if spot.near == 0 else "middle"


def wall(spot: Spot) -> str:
    """Return the wall a piece's cut end goes to, nothing for a whole plank."""
    if spot.part is Part.SINGLE:
        return "both"
    if is_whole(spot):
        return ""
    return "left" if spot.piece.left is End.CUT else "right"


def other_parts(spot: Spot, lengths: Lengths) -> Iterator[str]:
    """Yield where a piece comes from, how it is cut there, and where the rest of its plank goes."""
    show = lengths.show
    if spot.beside:
        yield from _of_strip(spot)
    yield from _of_hand(spot, lengths)
    yield from _strip_to(spot)
    if spot.before:
        yield f"from {spot.before[-1]}" + _how(spot)
    if needs_marks(spot):
        yield f"between marks {show(spot.near)} and {show(spot.far)} from the {spot.side} factory end"
    if spot.turned:
        yield "turn round"
    yield from _rest_to(spot)


def comes_from(spot: Spot, lengths: Lengths) -> Iterator[str]:
    """Yield where the part a piece is cut from lies waiting; nothing for a fresh plank."""
    yield from _of_hand(spot, lengths)
    if spot.beside:
        yield f"take the strip beside {spot.beside}"
    if spot.before:
        yield f"take the rest from {spot.before[-1]}"


def goes_to(spot: Spot) -> Iterator[str]:
    """Yield where the other parts of a piece's plank go."""
    yield from _strip_to(spot)
    yield from _rest_to(spot)


def to_mark(spot: Spot, lengths: Lengths) -> str:
    """Return where to mark a piece on the part it is cut from, nothing where that is laid whole."""
    show = lengths.show
    if spot.uncut:
        return ""
    if spot.exact:
        return "uncut: that rest is the piece"
    if needs_marks(spot):
        return f"between marks {show(spot.near)} and {show(spot.far)} from the {spot.side} factory end"
    if spot.at_cut_end:
        return f"mark {show(spot.piece.length)} from its cut end"
    end = "end of the strip" if spot.beside else "factory end"
    return f"mark {show(spot.piece.length)} from the {spot.side} {end}"


def _strip_to(spot: Spot) -> Iterator[str]:
    if spot.strip_to:
        yield f"strip to {' and '.join(spot.strip_to)}"


def _rest_to(spot: Spot) -> Iterator[str]:
    if spot.after:
        more = len(spot.after) - _PLACES_NAMED
        yield (
            "rest to " + " and ".join(spot.after[:_PLACES_NAMED]) + (f" and {more} more" if more > 0 else "")
        )
    elif spot.over and not spot.before:
        yield "rest left over"


def _of_strip(spot: Spot) -> Iterator[str]:
    """Yield which strip a piece is cut from, and from which end of it, where it is not the whole strip."""
    yield f"the strip beside {spot.beside}"
    if not spot.uncut and spot.near == 0:
        yield f"its {spot.side} part"


def _of_hand(spot: Spot, lengths: Lengths) -> Iterator[str]:
    """Yield which part that was in hand a piece is the first to be cut from."""
    if spot.hand is not None and not spot.before:
        lot = f" of lot {shorten(spot.lot, 20)}" if spot.lot else ""
        yield f"the part in hand{lot}, {lengths.show(spot.hand)} long"


def _how(spot: Spot) -> str:
    """Return how a piece is cut from a rest, where the factory end does not say it."""
    if spot.exact:
        return ", uncut"
    return ", measured from its cut end" if spot.at_cut_end else ""


def needs_marks(spot: Spot) -> bool:
    """Say whether a piece lies away from every end that the plank has when its turn comes."""
    return spot.near > 0 and not (spot.at_cut_end or spot.exact)


def slants(spot: Spot, lengths: Lengths) -> Iterator[str]:
    """Yield what a slanted end takes off one long edge (a slant counts x at the far edge less x at the near).

    And beside which other slanted end it lies on the plank.
    """
    piece, show = spot.piece, lengths.show
    both = piece.left_slant and piece.right_slant
    for side, slant, far_is_shorter in (
        ("left", piece.left_slant, piece.left_slant > 0),
        ("right", piece.right_slant, piece.right_slant < 0),
    ):
        if slant:
            edge = "far" if far_is_shorter else "near"
            short_point = "" if both else f" (short point {show(piece.length - abs(slant))})"
            yield f"{side} end slants: {edge} long edge {show(abs(slant))} shorter than the length given{short_point}"
    if both:
        far = piece.length - max(0, piece.left_slant) - max(0, -piece.right_slant)
        near = piece.length - max(0, -piece.left_slant) - max(0, piece.right_slant)
        yield f"far long edge {show(far)}, near long edge {show(near)}"
    for other in spot.nests:
        yield f"cut on the slant at once, not square first: the slanted end of {other} lies beside it on the plank"
