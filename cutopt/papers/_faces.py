"""A drawing whose letters are all set in faces that have them."""

from reportlab.graphics.shapes import Drawing, Group, String

from cutopt.papers._letters import BOLD, faces
from cutopt.papers._type import text_width

__all__ = ["refaced"]

_LEAST = 0.8
_CUT = "..."


def refaced(drawing: Drawing) -> Drawing:
    """Set the texts of a drawing that need other faces, in the room they take; the drawing itself is changed."""
    _reface(drawing)
    return drawing


def _reface(group: Group) -> None:
    for nth, node in enumerate(group.contents):
        if isinstance(node, Group):
            _reface(node)
        elif isinstance(node, String) and not node.text.isascii():
            group.contents[nth] = _string(node)


def _string(string: String) -> Group:
    """Return a text as strings, one for each face; set smaller, or cut short, where these faces are wider."""
    bold, size, text = string.fontName == BOLD, string.fontSize, string.text
    if room := getattr(string, "_svgAttrs", {}).get("textLength"):
        size *= max(_LEAST, min(1, room / text_width(text, size, bold=bold)))
        while len(text) > 1 and text_width(text, size, bold=bold) > room:
            text = f"{text.removesuffix(_CUT)[:-1]}{_CUT}" if text != _CUT else ""
    parts, x = Group(), string.x
    for face, letters in faces(text, bold=bold):
        part = String(x, string.y, letters, fontName=face, fontSize=size, fillColor=string.fillColor)
        parts.add(part)
        x += text_width(letters, size, bold=bold)
    return parts
