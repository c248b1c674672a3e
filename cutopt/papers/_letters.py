"""The letters on paper: two faces every PDF reader has, and one brought along for all they lack."""

from functools import cache
from itertools import groupby
from unicodedata import category

import fontpkg
from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont

__all__ = ["BOLD", "REGULAR", "faces", "lacking"]

REGULAR, BOLD = "Helvetica", "Helvetica-Bold"
_MORE = "cutopt-more-letters"


def faces(text: str, *, bold: bool) -> list[tuple[str, str]]:
    """Return ``text`` in parts, each with the face it is set in; letters no face has are spelled out."""
    main = BOLD if bold else REGULAR
    if text.isascii() and text.isprintable():
        return [(main, text)]
    faced = [(_face(char, main), char) for char in text]
    return [
        (face or main, "".join(char if face else _spelled(char) for _, char in group))
        for face, group in groupby(faced, key=lambda item: item[0])
    ]


def lacking(text: str) -> bool:
    """Say whether ``text`` has letters that no face has, which are spelled out."""
    return not text.isascii() and any(not _face(char, REGULAR) for char in text)


@cache
def _face(char: str, main: str) -> str:
    """Return the face that has a letter, nothing where none has."""
    if not char.isprintable():
        return ""
    try:
        char.encode("cp1252")
    except UnicodeEncodeError:
        # Signs that join or turn letters would be set side by side: better spelled out.
        return _MORE if ord(char) in _more_letters() and category(char) not in {"Mn", "Me", "Cf"} else ""
    return main


def _spelled(char: str) -> str:
    return char.encode("unicode_escape", "surrogatepass").decode("ascii")


@cache
def _more_letters() -> frozenset[int]:
    """Load the face for other letters (Latin, Greek, Cyrillic) and return what it has."""
    font = TTFont(_MORE, str(fontpkg.path("Noto Sans")))
    registerFont(font)
    return frozenset(font.face.charToGlyph)
