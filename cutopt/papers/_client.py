"""The client's page: what an estimate comes to, always on one page."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from io import BytesIO
from itertools import accumulate, chain

from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing
from reportlab.platypus import Flowable

from cutopt.model.papers import PAPER_SIZES, ClientWords, PaperName
from cutopt.model.words import Block as Told
from cutopt.model.words import Heading, Labels, Line, Para, Table
from cutopt.papers._bands import Block, Space, Text
from cutopt.papers._blocks import answer, set_blocks, spelled, title
from cutopt.papers._faces import refaced
from cutopt.papers._pages import Pages, Size, space_on

__all__ = ["client_page"]

_HEAD = "Estimate of a plank floor"
_SCALES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65)
"""Of the type; the smallest sets running text in 7 points, which is still read with ease."""

_TITLE_LINES = 2
_BELOW_PICTURE = 8.0
_WARNING = "!!"


def client_page(words: ClientWords, drawings: Sequence[Drawing], paper: PaperName) -> bytes:
    """Return the page as PDF."""
    size = PAPER_SIZES[paper]
    out = BytesIO()
    named = words.title.encode("utf-8", "backslashreplace").decode()
    pages = Pages(out, title=named, size=size, floor_size=size, total=1)
    pages.head = _HEAD
    pages.build([_fitted(words, drawings, space_on(size))])
    return out.getvalue()


class _Page(Flowable):
    """Blocks, one below the other, ``scale`` times as large as they are set, on one page."""

    def __init__(self, blocks: Sequence[Flowable], scale: float) -> None:
        super().__init__()
        self.blocks, self.scale = blocks, scale

    def wrap(self, aW: float, aH: float) -> Size:  # noqa: N803 - reportlab's names
        """Take the whole page."""
        self.width, self.height = aW, aH
        return aW, aH

    def draw(self) -> None:
        """Draw the blocks from the top."""
        top = self.height / self.scale
        self.canv.scale(self.scale, self.scale)
        for block in self.blocks:
            top -= _height(block)
            block.drawOn(self.canv, 0, top)


class _Picture(Flowable):
    """A drawing set as wide as the page, whatever the size of the type."""

    def __init__(self, drawing: Drawing, space: Space) -> None:
        super().__init__()
        self.drawing, self.scale = drawing, space.width / drawing.width

    def wrap(self, aW: float, aH: float) -> Size:  # noqa: ARG002, N803 - reportlab's names
        """Return the room it takes."""
        return self.drawing.width * self.scale, self.drawing.height * self.scale + _BELOW_PICTURE

    def draw(self) -> None:
        """Draw it."""
        self.canv.scale(self.scale, self.scale)
        renderPDF.draw(refaced(self.drawing), self.canv, 0, _BELOW_PICTURE / self.scale)


def _height(block: Flowable) -> float:
    return float(block.wrap(0, 0)[1])


def _fitted(words: ClientWords, drawings: Sequence[Drawing], space: Space) -> _Page:
    """Return the page in the largest type that everything fits in, else in the smallest, cut, warnings first."""
    for scale in _SCALES:
        larger = Space(space.width / scale, space.height / scale)
        blocks = list(_story(words, drawings, larger))
        if sum(map(_height, blocks)) <= larger.height:
            return _Page(blocks, scale)
    return _Page(_cut(list(_story(_warned(words), drawings, larger)), larger), scale)


def _warned(words: ClientWords) -> ClientWords:
    """Return words with all warnings before the rest: what is left out is none of them."""
    warnings = tuple(block for block in words.blocks if isinstance(block, Para) and block.sign == _WARNING)
    others = tuple(block for block in words.blocks if block not in warnings)
    return replace(words, blocks=(*warnings, *others))


def _story(words: ClientWords, drawings: Sequence[Drawing], space: Space) -> Iterator[Flowable]:
    yield _title(words.title, space)
    yield answer(words.answer, space)
    yield from (_Picture(drawing, space) for drawing in drawings)
    texts = chain([words.title, words.answer], *map(_texts, words.blocks))
    yield from set_blocks((*words.blocks, *spelled(texts)), space)


def _title(text: str, space: Space) -> Block:
    """Return the title, cut short where it would take many lines."""
    while len((block := title(text, space)).bands) > _TITLE_LINES:
        text = text.removesuffix(" ...")[: -1 - len(text) // 20] + " ..."
    return block


def _texts(block: Told) -> Iterator[str]:
    match block:
        case Heading(text) | Line(text):
            yield text
        case Para(words):
            yield from words
        case Labels(rows):
            for label, words in rows:
                yield from (label, *words)
        case Table(rows):
            yield from chain.from_iterable(rows)


def _cut(blocks: Sequence[Flowable], space: Space) -> list[Flowable]:
    """Return what fits of the blocks, and below it how many lines are left out."""
    room = space.height - _height(_notice(10**6, space))
    kept = list[Flowable]()
    for block in blocks:
        high = _height(block)
        if high > room:
            kept += _begun(block, room)
            break
        kept.append(block)
        room -= high
    while isinstance(last := kept[-1], Block) and last.keepWithNext:
        kept.pop()
    return [*kept, _notice(_lines(blocks) - _lines(kept), space)]


def _begun(block: Flowable, room: float) -> Iterator[Block]:
    """Yield as many bands of a block as there is room for, if any."""
    if isinstance(block, Block):
        heights = accumulate((band.height for band in block.bands), initial=_height(Block(block.head)))
        fitting = sum(height <= room for height in heights) - 1
        if fitting > 0:
            yield Block(block.bands[:fitting], head=block.head)


def _lines(blocks: Sequence[Flowable]) -> int:
    """Return how many lines of text the blocks have."""
    bands = (band for block in blocks if isinstance(block, Block) for band in (*block.head, *block.bands))
    return sum(len({mark.y for mark in band.marks if isinstance(mark, Text)}) for band in bands)


def _notice(lines: int, space: Space) -> Block:
    """Return the word on what is left out."""
    told = f"This page is full. Left out here, told in the full estimate: {lines} {'line' if lines == 1 else 'lines'}."
    (block,) = set_blocks([Para(tuple(told.split()), _WARNING)], space)
    return block
