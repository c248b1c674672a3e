"""Sheets and charts handed to ReportLab's drawing model, and from there to SVG (or PDF)."""

from collections.abc import Iterable
from io import StringIO

from reportlab.graphics.renderSVG import SVGCanvas, draw
from reportlab.graphics.shapes import Drawing, Group, Path, String
from reportlab.lib.colors import Color

from cutopt.drawing._letters import BOLD, REGULAR
from cutopt.drawing._scene import Item, Layer, Line, Sheet, Text
from cutopt.model.papers import PaperName

__all__ = ["as_svg", "drawing_of", "to_drawing", "to_svg"]

_SIZES: dict[PaperName, tuple[str, str]] = {"a4": ("210mm", "297mm"), "letter": ("8.5in", "11in")}
_FAMILY = "Helvetica, Arial, sans-serif"
_FONTS = {REGULAR: {"family": _FAMILY}, BOLD: {"family": _FAMILY, "weight": "bold"}}


def to_svg(sheet: Sheet) -> str:
    """Return a sheet as SVG: the same text for the same sheet, letters as letters, in the paper's size."""
    short, long = _SIZES[sheet.paper]
    size = (long, short) if sheet.width > sheet.height else (short, long)
    return as_svg(to_drawing(sheet), size=size, title=sheet.title, about="Plan of a plank floor, to scale")


def to_drawing(sheet: Sheet) -> Drawing:
    """Return a sheet as a ReportLab drawing, which ``reportlab.graphics`` renders in other formats too."""
    return drawing_of(sheet.width, sheet.height, sheet.layers)


def as_svg(drawing: Drawing, *, size: tuple[str, str], title: str, about: str) -> str:
    """Return a drawing as SVG, ``size`` its width and height with their unit; ``about`` says what it shows."""
    width, height = size
    attributes = {"width": width, "height": height, "version": "1.1"}
    canvas = SVGCanvas((drawing.width, drawing.height), fontHacks=_FONTS, svgAttrs=attributes)
    for name, text in (("title", title), ("desc", about)):
        canvas.svg.getElementsByTagName(name)[0].firstChild.data = text
    draw(drawing, canvas)  # type: ignore[arg-type]  # the stubs know PDF canvases only
    out = StringIO()
    canvas.save(out)
    return out.getvalue()


def drawing_of(width: float, height: float, layers: Iterable[Layer]) -> Drawing:
    """Return layers as a ReportLab drawing of so many points."""
    drawing = Drawing(width, height)
    for layer in layers:
        if layer.items:
            drawing.add(Group(*map(_node, layer.items)))
    return drawing


def _node(item: Item) -> Path | Group:
    return _path(item) if isinstance(item, Line) else _string(item)


def _path(line: Line) -> Path:
    """Return all parts of a line as one path (the renderer closes its ``Line``, which spoils dashes)."""
    style = line.style
    path = Path(
        strokeWidth=style.width,
        strokeColor=_grey(style.stroke),
        fillColor=_grey(style.fill),
        strokeDashArray=list(style.dash) or None,  # type: ignore[arg-type]  # None: no dashes
    )
    for part in line.parts:
        for nth, (x, y) in enumerate(part):
            (path.lineTo if nth else path.moveTo)(_rounded(x), _rounded(y))
        if line.closed:
            path.closePath()
    return path


def _grey(lightness: float | None) -> Color | None:
    return None if lightness is None else Color(lightness, lightness, lightness)


def _string(text: Text) -> Group:
    """Return a text at the origin of a group (the renderer sets texts themselves on whole points only)."""
    string = String(
        0, 0, text.text, fontName=BOLD if text.bold else REGULAR, fontSize=text.size, fillColor=_grey(0)
    )
    # Where a viewer has other letters they are set as wide as these, so that no two texts ever meet.
    string._svgAttrs = {"textLength": _rounded(text.width), "lengthAdjust": "spacingAndGlyphs"}  # type: ignore[attr-defined]  # noqa: SLF001
    group = Group(string)
    group.translate(_rounded(text.at[0]), _rounded(text.at[1]))
    if text.degrees:
        group.rotate(_rounded(text.degrees))
    return group


def _rounded(number: float) -> float:
    """Return a number with two decimals, 1/100 point (4 micrometres), and no negative zero."""
    return round(number, 2) + 0.0
