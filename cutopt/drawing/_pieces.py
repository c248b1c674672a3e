"""The pieces on paper: outlines, joints, hatching of cut ones, and their numbers."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._board import Box, boxed, upright
from cutopt.drawing._draft import SMALLEST, Draft
from cutopt.drawing._hatch import hatch
from cutopt.drawing._laid import FloorField, FloorPiece, FloorRun, polygons
from cutopt.drawing._scene import Style

__all__ = ["CUT_HATCH", "JOINT", "PIECE", "PaperPiece", "draw_pieces", "number_pieces", "pieces_on", "places"]

PIECE = Style(width=0.35, stroke=0.25)
JOINT = Style(width=1.1)
CUT_HATCH = Style(width=0.3, stroke=0.55)
_HATCH_APART = 5.0
_LARGEST = 8.0
_PLACES = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperPiece:
    """What a page shows of a piece, in points; its run is ``high`` points wide and lies at ``degrees``."""

    piece: FloorPiece
    shape: BaseGeometry
    high: float
    degrees: float


def pieces_on(draft: Draft, fields: Sequence[FloorField]) -> list[PaperPiece]:
    """Return the pieces that the window shows, in laying order."""
    view, window = draft.view, draft.window
    shapely.prepare(window)
    found = []
    for field in fields:
        for run in field.runs:
            if not window.intersects(view.shape(run.shape, field.frame)):
                continue
            for piece in run.pieces:
                shape = view.shape(piece.shape, field.frame)
                if not window.covers(shape):
                    shape = shapely.intersection(shape, window)
                if any(polygons(shape)):
                    high = (run.high - run.low) * view.factor
                    degrees = upright(float(field.frame.degrees))
                    found.append(PaperPiece(piece=piece, shape=shape, high=high, degrees=degrees))
    return found


def draw_pieces(draft: Draft, fields: Sequence[FloorField], pieces: Sequence[PaperPiece]) -> None:
    """Draw the outlines of pieces and, heavier, their end joints."""
    for piece in pieces:
        draft.shape("pieces", piece.shape, PIECE)
    for field in fields:
        for run in field.runs:
            draft.stroke("joints", draft.view.shape(_joints(run), field.frame), JOINT)


def _joints(run: FloorRun) -> BaseGeometry:
    lines = [((joint, run.low), (joint, run.high)) for joint in run.joints]
    return shapely.intersection(shapely.MultiLineString(lines), run.shape)


def number_pieces(draft: Draft, pieces: Sequence[PaperPiece]) -> None:
    """Put numbers on the pieces where there is room, and hatch the cut ones round their numbers.

    A number stands in its piece, or beside the floor next to a row too narrow for it; else the page's
    notes name the piece.
    """
    for piece in pieces:
        box = _numbered(draft, piece)
        if piece.piece.is_cut:
            rest = piece.shape if box is None else shapely.difference(piece.shape, box.shape)
            lines = hatch(rest, degrees=piece.degrees + 45, apart=_HATCH_APART)
            draft.stroke("pieces", lines, CUT_HATCH)


def _numbered(draft: Draft, piece: PaperPiece) -> Box | None:
    """Put down a piece's number; return its box."""
    name, plank = piece.piece.piece.id, piece.piece.piece.plank
    size = max(SMALLEST, min(_LARGEST, round(0.6 * piece.high, 1)))
    marked = draft.is_marked(piece.shape)
    both = f"{name} / p{plank}"
    for lines, letters in (
        ((both,), size),
        ((both,), SMALLEST),
        ((name, f"p{plank}"), SMALLEST),
        ((name,), size),
        ((name,), SMALLEST),
    ):
        boxes = places(piece, lines, letters)
        if marked:
            boxes = iter(sorted(boxes, key=lambda box: draft.is_marked(box.shape)))
        if box := draft.board.first_free(boxes, within=piece.shape):
            _put(draft, box, lines, letters)
            return box
    box = draft.outside(_beside(piece, name))
    if box is not None:
        _put(draft, box, (name,), SMALLEST)
    elif draft.window.contains_properly(piece.shape):  # what the window cuts is whole on another sheet
        draft.unnumbered.append(name)
    return box


def _put(draft: Draft, box: Box, lines: Sequence[str], size: float) -> None:
    """Put a number down in one line or two, on bare paper where a line runs through it."""
    if draft.is_marked(box.shape):
        draft.bare("numbers", box)
    for nth, line in enumerate(lines):
        across = ((len(lines) - 1) / 2 - nth) * box.height / len(lines)
        draft.add("numbers", box.moved(0, across).text(line, size))


def _level(piece: PaperPiece) -> shapely.Polygon:
    """Return the largest part of a piece, turned level."""
    largest = max(polygons(piece.shape), key=lambda part: part.area)
    return rotate(largest, -piece.degrees, origin=(0, 0))


def places(piece: PaperPiece, lines: Sequence[str], size: float) -> Iterator[Box]:
    """Yield boxes for lines of text within a piece, the middle first."""
    left, low, right, high = _level(piece).bounds
    box = max((boxed(line, size) for line in lines), key=lambda box: box.width)
    box = replace(box, height=len(lines) * box.height)
    slack, rise = right - left - box.width, high - low - box.height
    if slack < 0 or rise < 0:
        return
    flat = Box(centre=(0, 0), width=box.width, height=box.height, degrees=piece.degrees)
    for across in (0.5, 0.1, 0.9) if rise > 1 else (0.5,):
        for along in _PLACES:
            x = left + box.width / 2 + along * slack
            yield flat.moved(x, low + box.height / 2 + across * rise)


def _beside(piece: PaperPiece, text: str) -> Iterator[Box]:
    """Yield boxes next to a piece: before and behind its row, and beyond its ends."""
    left, low, right, high = _level(piece).bounds
    box = boxed(text, SMALLEST)
    flat = Box(centre=(0, 0), width=box.width, height=box.height, degrees=piece.degrees)
    for away in (0.8, 3.0, 5.0):
        if box.width <= max(right - left, 2 * SMALLEST):
            for y in (low - away - box.height / 2, high + away + box.height / 2):
                yield flat.moved((left + right) / 2, y)
        for x in (left - away - box.width / 2, right + away + box.width / 2):
            yield flat.moved(x, (low + high) / 2)
