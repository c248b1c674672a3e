"""Text from files as a workbook may hold it."""

__all__ = ["cut", "legal", "units16"]

_LONGEST = 32_767
_CUT = "..."


def legal(text: str) -> str:
    r"""Return ``text`` on one line, what cannot be seen, and XML may not hold, spelled out (``\x1b``).

    A cell holds 32,767 code units of UTF-16; what is longer is cut and ends with ``...``.
    """
    line = " ".join(text.split())
    return cut("".join(char if char.isprintable() else _spelled(char) for char in line), _LONGEST)


def _spelled(char: str) -> str:
    return char.encode("unicode_escape", "surrogatepass").decode("ascii")


def cut(text: str, room: int) -> str:
    """Return ``text``, cut with ``...`` where it is longer than ``room`` code units of UTF-16."""
    if units16(text) <= room:
        return text
    kept = text.encode("utf-16-le")[: 2 * (room - len(_CUT))].decode("utf-16-le", "ignore")
    return kept.rstrip() + _CUT


def units16(text: str) -> int:
    """Return how many code units of UTF-16, in which workbooks count, a text has."""
    return len(text.encode("utf-16-le")) // 2
