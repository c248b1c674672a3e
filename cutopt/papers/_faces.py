"""A drawing whose letters are all set in faces that have them."""

from reportlab.graphics.shapes import Drawing, Group, String

from cutopt.papers._letters import BOLD, faces
from cutopt.papers._type import text_width

__all__ = ["refaced"]


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
    """Return a text as strings, one for each face; set smaller where these faces are wider."""
    bold, size = string.fontName == BOLD, string.fontSize
    told = getattr(string, "_svgAttrs", {}).get("textLength")
    if told:
        size *= min(1, told / max(told, text_width(string.text, size, bold=bold)))
    parts, x = Group(), string.x
    for face, letters in faces(string.text, bold=bold):
        part = String(x, string.y, letters, fontName=face, fontSize=size, fillColor=string.fillColor)
        parts.add(part)
        x += text_width(letters, size, bold=bold)
    return parts
