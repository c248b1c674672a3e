"""The work on the floor in words, piece by piece, and where each piece lies on the plan."""

from dataclasses import dataclass

__all__ = ["PieceOutline", "PieceWork", "RestWork", "RowWork", "Work"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceWork:
    """One piece in the job's own lengths: what it is, how it is cut, where it goes.

    ``part`` is the part of its plank, ``take`` where a plank already cut lies by then, ``cut`` where to
    mark, ``wall`` what its ends meet, ``rest`` where the other parts go, ``slants`` what a slanted end takes
    off. A text is empty where there is nothing to say.
    """

    id: str
    what: str
    length: str
    plank: int
    part: str
    take: str
    cut: str
    wall: str
    rest: str
    slants: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RowWork:
    """One run, by the name of its row (``9``, ``9b``), and its pieces in the order laid.

    ``size`` is its length, where its left end lies if its row has several runs, and what it is ripped to.
    ``broken`` says which rules it does not keep, in a plan that cannot keep them all.
    """

    name: str
    room: str
    size: str
    pieces: tuple[PieceWork, ...]
    broken: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RestWork:
    """A plank that gives several pieces, or a strip kept: what waits of it, and for which places.

    ``pieces`` are in the order laid, ``places`` says where each goes, and ``lengths`` how long the
    part is that it is cut from, empty where what is left then is not one part. A strip waits once the piece ``beside`` which it lay is laid, a plank (``beside`` empty) once its
    first piece is.
    """

    name: str
    beside: str
    pieces: tuple[str, ...]
    places: tuple[str, ...]
    lengths: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """All of a plan: its runs in laying order, what waits between them, and in ``notes`` how that is read."""

    rows: tuple[RowWork, ...]
    rests: tuple[RestWork, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceOutline:
    """A piece on the plan, in ticks: its rings, a point well inside, and the rows' ``degrees`` from x.

    A piece that is cut round something may have several rings; the area is what an odd number of them hold.
    """

    piece: str
    rings: tuple[tuple[tuple[float, float], ...], ...]
    inside: tuple[float, float]
    degrees: float
