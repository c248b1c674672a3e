"""The papers of a plan in one call: the library is loaded only then."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from cutopt.model.papers import PaperName, PaperWords

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

__all__ = ["render_pdf"]


def render_pdf(words: PaperWords, drawings: Sequence["Drawing"], paper: PaperName) -> bytes:
    """Return the papers of a plan as PDF: what is told of it, and its drawings, each a page of its own.

    The same words and drawings give the same bytes. ``drawings`` are as large as the paper, either way up,
    and all alike.
    """
    from cutopt.papers._document import document  # noqa: PLC0415

    return document(words, drawings, paper)
