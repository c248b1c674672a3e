"""How much room a text takes on paper, and text from files shown as text."""

from unicodedata import east_asian_width

from reportlab.pdfbase.pdfmetrics import stringWidth

__all__ = ["BOLD", "REGULAR", "plain", "shortened", "text_width", "wrapped"]

REGULAR, BOLD = "Helvetica", "Helvetica-Bold"
_LONGEST = 500


def plain(text: str) -> str:
    r"""Return ``text`` on one line; what cannot be seen, and XML may not hold, is spelled out (``\x1b``)."""
    line = " ".join(text[:_LONGEST].split())
    return "".join(char if char.isprintable() else _spelled(char) for char in line)


def _spelled(char: str) -> str:
    return char.encode("unicode_escape", "surrogatepass").decode("ascii")


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the points a text takes; letters of full width, which Helvetica lacks, take a square."""
    wide = sum(east_asian_width(char) in "WF" for char in text)
    narrow = "".join(char for char in text if east_asian_width(char) not in "WF")
    return float(stringWidth(narrow, BOLD if bold else REGULAR, size)) + wide * size


def shortened(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """Return cleaned ``text``, cut with ``...`` where it would take more than ``room`` points."""
    line = plain(text)
    if text_width(line, size, bold=bold) <= room:
        return line
    while line and text_width(line + "...", size, bold=bold) > room:
        line = line[:-1]
    return line.rstrip() + "..."


def wrapped(text: str, room: float, size: float) -> list[str]:
    """Return ``text`` in lines of at most ``room`` points, ended between words; a longer word is cut."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(shortened(word, room, size))
    return lines
