"""The papers of a plan, and of an estimate, in one call: the library is loaded only then."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from cutopt.model.papers import ClientWords, PaperName, PaperWords
from cutopt.model.words import Block

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

__all__ = ["render_client", "render_lessons", "render_pdf"]


def render_pdf(words: PaperWords, drawings: Sequence["Drawing"], paper: PaperName) -> bytes:
    """Return the papers of a plan as PDF: what is told of it, and its drawings, each a page of its own.

    The same words and drawings give the same bytes. ``drawings`` are as large as the paper, either way up,
    and all alike.
    """
    from cutopt.papers._document import document  # noqa: PLC0415

    return document(words, drawings, paper)


def render_client(words: ClientWords, drawings: Sequence["Drawing"], paper: PaperName) -> bytes:
    """Return what the client is told of an estimate as PDF: always one page, the same bytes for the same words.

    ``drawings`` stand below the answer, as wide as the page. Where the words are many their letters are smaller, down
    to 7 points; what does not fit even so is left out, and the page says how much that is.
    """
    from cutopt.papers._client import client_page  # noqa: PLC0415

    return client_page(words, drawings, paper)


def render_lessons(title: str, sheets: Sequence[Sequence[Block]], paper: PaperName) -> bytes:
    """Return sheets of exercises as PDF, each from a page of its own: the same bytes for the same words."""
    from cutopt.papers._lessons import lesson_pages  # noqa: PLC0415

    return lesson_pages(title, sheets, paper)
