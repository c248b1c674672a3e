"""Strips: the other part of a piece ripped lengthwise, used in a row at the other wall.

The first row of a field, laid along a wall, keeps the long edge that the second row joins; the last row
keeps the other one. A plank has one of each, so one strip may go to a first row and one to a last row.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from enum import StrEnum

from cutopt.check._finding import Amount, Fault, Finding
from cutopt.check._ledger import Ledger, Used
from cutopt.model.floor import Run
from cutopt.model.job import Pattern, ShareRips
from cutopt.model.plan import CutPlank, End, Keeps, Piece
from cutopt.units import Ticks

__all__ = ["check_strips"]

_SECOND = 2


class _Edge(StrEnum):
    """The long edge that a ripped row needs whole."""

    OPEN = "the open edge"
    START = "the start edge"


def check_strips(ledger: Ledger) -> Iterator[Finding]:
    """Yield what is wrong with any strip: where it comes from, its measures, and the edge it has."""
    rules = ledger.plan.rules
    if ledger.strips and (rules.share_rips is ShareRips.NO or rules.pattern is not Pattern.RANDOM):
        yield Finding(fault=Fault.SHARED_RIPS, found=len(ledger.strips), wanted=0)
    for name, times in Counter(strip.beside for strip in ledger.strips).items():
        if times > 1:
            yield Finding(fault=Fault.STRIP_TWICE, found=times, wanted=1, pieces=(name,))
    edges = _edges(ledger)
    for strip in ledger.strips:
        yield from _origin(strip, ledger)
        host = ledger.by_id.get(strip.beside)
        fed = [ledger.by_id[name] for name in strip.pieces if name in ledger.by_id]
        if host:
            yield from _measures(strip, host, fed, ledger)
            yield from _edge(strip, host, fed, edges)


def _of(fault: Fault, strip: CutPlank, found: Amount, wanted: Amount) -> Finding:
    pieces = (strip.beside, *strip.pieces)
    return Finding(fault=fault, found=found, wanted=wanted, pieces=pieces, planks=(strip.plank,))


def _origin(strip: CutPlank, ledger: Ledger) -> Iterator[Finding]:
    if strip.strip != _SECOND:
        yield _of(Fault.STRIP_NUMBER, strip, strip.strip, _SECOND)
    whole = ledger.listed.get(strip.plank)
    if whole is None:
        yield _of(Fault.STRIP_WHOLE, strip, 0, 1)
    elif strip.beside not in whole.pieces:
        yield _of(Fault.STRIP_BESIDE, strip, strip.beside, f"a piece listed under plank {strip.plank}")


def _measures(strip: CutPlank, host: Used, fed: Sequence[Used], ledger: Ledger) -> Iterator[Finding]:
    if strip.length != host.piece.length:
        yield _of(Fault.STRIP_LENGTH, strip, strip.length, host.piece.length)
    if strip.factory is not _ends(host.piece):
        yield _of(Fault.STRIP_ENDS, strip, strip.factory.value, _ends(host.piece).value)
    wanted = max((_width(used.laid.run) for used in fed), default=0)
    if strip.width != wanted:
        yield _of(Fault.STRIP_WIDTH, strip, strip.width, wanted)
    spec, fit = ledger.plan.plank, ledger.plan.rules.fit
    across = _width(host.laid.run) + spec.kerf + fit + wanted
    if across > spec.width:
        yield _of(Fault.STRIPS_TOO_WIDE, strip, across, spec.width)


def _width(run: Run) -> Ticks:
    """Return what a run takes of the width of its planks: its wider end."""
    return run.width if run.wide is None else run.wide


def _ends(piece: Piece) -> Keeps:
    match piece.left, piece.right:
        case End.FACTORY, End.FACTORY:
            return Keeps.BOTH
        case End.FACTORY, _:
            return Keeps.LEFT
        case _, End.FACTORY:
            return Keeps.RIGHT
    return Keeps.NONE


def _edges(ledger: Ledger) -> dict[tuple[str, int], _Edge]:
    """Return the edge that a ripped run needs, by field and line.

    A row between others needs both. So does a first row that is laid on to rows that were there before;
    a field of one row tells nothing of its edges.
    """
    joined = {down.field for down in ledger.plan.down}
    edges: dict[tuple[str, int], _Edge] = {}
    for field in {field for field, _ in ledger.lines}:
        lines = [line for of, line in ledger.lines if of == field]
        if min(lines) == max(lines):
            continue
        edges[field, max(lines)] = _Edge.START
        if field not in joined:
            edges[field, min(lines)] = _Edge.OPEN
    return edges


def _edge(
    strip: CutPlank, host: Used, fed: Sequence[Used], edges: dict[tuple[str, int], _Edge]
) -> Iterator[Finding]:
    """Yield every piece that needs both edges, or the one that the piece beside it has."""
    kept = edges.get((host.laid.run.field, host.laid.run.line))
    if kept is None:
        yield _of(Fault.STRIP_EDGE, strip, "a piece that needs both edges", "a piece of a first or last row")
        return
    left = _Edge.START if kept is _Edge.OPEN else _Edge.OPEN
    for used in fed:
        needed = edges.get((used.laid.run.field, used.laid.run.line))
        if needed is not left:
            yield _of(Fault.STRIP_EDGE, strip, left.value, needed.value if needed else "both edges")
