"""The floor as one light SVG: a path a piece, named by it, with walls and fixed things."""

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from cutopt.model.plan import Plan
from cutopt.model.work import PieceOutline
from cutopt.units import TICKS_PER_MM

__all__ = ["draw_floor"]

_LETTERS = 0.36
"""Height of a piece's name, of the width of a plank."""

_Point = tuple[float, float]
_Ring = Sequence[_Point]


def draw_floor(plan: Plan, outlines: Sequence[PieceOutline]) -> str:
    """Return the floor as an SVG element, in millimetres, as on the plan: y points up the page."""
    letters = _LETTERS * plan.plank.width / TICKS_PER_MM
    size = _number(letters)
    window = f'viewBox="{_window(plan, outlines)}" data-letters="{size}" font-size="{size}"'
    lines = [f'<svg id="map" role="img" aria-label="Floor with all pieces" {window}>']
    for outline in outlines:
        piece = escape(outline.piece)
        lines.append(f'<path data-piece="{piece}" fill-rule="evenodd" d="{_path(outline.rings)}"/>')
    ground = plan.ground
    lines += [f'<path class="thing" d="{_path([thing.corners])}"/>' for thing in ground.things]
    lines += [f'<path class="door" d="{_path([door.opening])}"/>' for door in ground.doorways]
    lines += [f'<path class="wall" d="{_path([room.corners])}"/>' for room in ground.rooms]
    lines += [_name(outline) for outline in outlines]
    return "\n".join([*lines, "</svg>"])


def _window(plan: Plan, outlines: Iterable[PieceOutline]) -> str:
    """Return the box round everything drawn, with a little air."""
    points = [_on_page(point) for ring in _rings(plan, outlines) for point in ring] or [(0.0, 0.0)]
    left, top = (min(point[axis] for point in points) for axis in (0, 1))
    right, low = (max(point[axis] for point in points) for axis in (0, 1))
    air = max(1.0, 0.02 * max(right - left, low - top))
    box = (left - air, top - air, right - left + 2 * air, low - top + 2 * air)
    return " ".join(map(_number, box))


def _rings(plan: Plan, outlines: Iterable[PieceOutline]) -> Iterator[_Ring]:
    for outline in outlines:
        yield from outline.rings
    for room in plan.ground.rooms:
        yield room.corners
    for thing in plan.ground.things:
        yield thing.corners


def _name(outline: PieceOutline) -> str:
    x, y = map(_number, _on_page(outline.inside))
    turned = f' transform="rotate({_number(-outline.degrees)} {x} {y})"' if outline.degrees else ""
    piece = escape(outline.piece)
    return f'<text data-piece="{piece}" x="{x}" y="{y}"{turned}>{piece}</text>'


def _path(rings: Iterable[_Ring]) -> str:
    return "".join(f"M{'L'.join(_place(point) for point in ring)}Z" for ring in rings)


def _place(point: _Point) -> str:
    return ",".join(map(_number, _on_page(point)))


def _on_page(point: _Point) -> _Point:
    x, y = point
    return x / TICKS_PER_MM, -y / TICKS_PER_MM


def _number(value: float) -> str:
    """Return a number to a tenth, without a needless point or a negative zero."""
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")
