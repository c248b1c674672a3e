"""What is cut round things and doorways, what is too large, and the areas."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cutopt.model.cutouts import (
    Axis,
    CutEdge,
    DoorWork,
    NamedArea,
    Notch,
    Passage,
    RowEnd,
    Side,
    Sliver,
    ThingWork,
)
from cutopt.model.plan import End, Plan
from cutopt.model.setout import Caution, Movement, RunLimit, SetOut
from cutopt.model.words import Block, Heading, Para
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import count, labels, para, shorten
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, format_area, format_length

__all__ = ["areas", "doorways", "run_limits", "things", "warnings"]

_NAME = 30


def things(setout: SetOut, plan: Plan) -> list[Block]:
    """Return, thing by thing, the rows it hits and the cut-outs; nothing where nothing stands in the floor."""
    if not setout.things:
        return []
    lengths = Lengths.of(plan)
    blocks: list[Block] = [
        Heading("Round fixed things"),
        para(
            "Sizes are those to cut, the gap taken in: along the row by across it. A row's near edge is the one "
            "towards the first row. Hold every size against the thing itself before you cut."
        ),
    ]
    for thing in setout.things:
        blocks += _thing(thing, lengths)
    return [*blocks, *warnings(setout)]


def warnings(setout: SetOut) -> list[Block]:
    """Return what to mind about things on this kind of floor."""
    return [para(_caution(caution, names), first="  !! ") for caution, names in setout.cautions]


def _thing(thing: ThingWork, lengths: Lengths) -> Iterator[Para]:
    gap = f"gap {lengths.show(thing.gap)}" if thing.gap else "no gap"
    kind = f", {thing.kind}" if thing.kind != thing.name.casefold() else ""
    head = f"{shorten(thing.name, _NAME)} ({shorten(thing.room, _NAME)}{kind}), {gap}: {_hit(thing.rows)}"
    yield para(head, first="  ", rest="    ")
    texts = [*_ends(thing.ends), *(_notch(notch, lengths) for notch in thing.notches)]
    texts += [_sliver(sliver, lengths) for sliver in thing.slivers]
    yield from (para(text, first="    - ", rest="      ") for text in texts)


def _hit(rows: Sequence[int]) -> str:
    return f"hits {_stretches(rows)}" if rows else "hits no row"


def _stretches(rows: Sequence[int]) -> str:
    """Return row numbers with those that follow each other drawn together: ``rows 1 to 4, 7``."""
    groups = [list(group) for _, group in groupby(enumerate(rows), key=lambda item: item[1] - item[0])]
    parts = [f"{group[0][1]} to {group[-1][1]}" if len(group) > 1 else str(group[0][1]) for group in groups]
    return ("row " if len(rows) == 1 else "rows ") + ", ".join(parts)


def _ends(ends: Sequence[RowEnd]) -> Iterator[str]:
    """Yield which rows end at a thing, on its left and on its right."""
    for side in Side:
        found = sorted({end.row for end in ends if end.side is side})
        if found:
            verb = "ends" if len(found) == 1 else "end"
            yield f"{_stretches(found)} {verb} at it on its {side}"


def _notch(notch: Notch, lengths: Lengths) -> str:
    show = lengths.show
    size = f"{show(notch.along)} x {show(notch.across)}"
    if notch.edge is CutEdge.INSIDE:
        place = f"cut-out {size}, {show(notch.from_edge)} from the near edge"
    elif notch.edge is CutEdge.WHOLE:
        place = f"cut {size}, the whole width"
    else:
        place = f"notch {size} out of the {notch.edge}"
    joint = "factory" if notch.made is End.FACTORY else "cut"
    if notch.from_joint:
        return f"piece {notch.piece}: {place}, {show(notch.from_joint)} from its {notch.joint} ({joint}) end"
    return f"piece {notch.piece}: {place}, at its {notch.joint} ({joint}) end"


def _sliver(sliver: Sliver, lengths: Lengths) -> str:
    size, least = lengths.show(sliver.size), lengths.show(sliver.least)
    if sliver.axis is Axis.ACROSS:
        return f"row {sliver.row}: only {size} wide beside it, under the minimum rip of {least}"
    return f"row {sliver.row}: only {size} long beside it, under the minimum piece of {least}"


def _caution(caution: Caution, names: Sequence[str]) -> str:
    told = ", ".join(shorten(name, _NAME) for name in names)
    if caution is Caution.PINNED:
        return (
            f"{told}: what is heavy must not pin a floating floor. It stands on the subfloor with the gap all "
            "round, or as the product's instructions say."
        )
    return (
        f"{told}: the heater's own sheet says what clearance it needs; a higher floor can choke it. Switch off its "
        "power or fuel before you move it."
    )


def doorways(setout: SetOut, plan: Plan) -> list[Block]:
    """Return what to undercut at each doorway; nothing where there is none."""
    if not setout.doors:
        return []
    lengths = Lengths.of(plan)
    rows = [(shorten(door.name, _NAME), "; ".join(_door(door, lengths))) for door in setout.doors]
    blocks: list[Block] = [Heading("Doorways"), labels(rows)]
    if all(door.height is None for door in setout.doors):
        text = "Undercut on a plank and its underlay laid at the jamb: the thickness is not told."
        blocks.append(para(text, first="  "))
    elif any(door.height is not None for door in setout.doors):
        blocks.append(para("Heights are above the subfloor; add the underlay.", first="  "))
    return blocks


def _door(door: DoorWork, lengths: Lengths) -> Iterator[str]:
    yield _passage(door, " and ".join(shorten(room, _NAME) for room in door.rooms))
    height = f" at {_height(door.height, lengths)}" if door.height is not None else ""
    yield f"undercut both jambs and {count(door.legs, 'casing leg')}{height}"
    if door.under:
        yield f"planks go {lengths.show(door.under)} under each jamb"
    if door.last_row is not None:
        yield f"row {door.last_row}, the last, lies in it: it must slide in under the jambs"


def _passage(door: DoorWork, rooms: str) -> str:
    if door.passage is Passage.THROUGH:
        return f"rows run through between {rooms}"
    leads = f"between {rooms}" if len(door.rooms) > 1 else f"leads out of {rooms}"
    return f"{leads}, a transition strip in it: rows end there" if door.passage is Passage.STRIP else leads


def _height(height: Ticks, lengths: Lengths) -> str:
    """Return a height rounded up to what the tape shows: too low, and no plank goes under."""
    grain = TICKS_PER_MM // 2 if lengths.unit.is_metric else TICKS_PER_INCH // 64
    return format_length(-(-height // grain) * grain, lengths.unit)


def run_limits(setout: SetOut, plan: Plan) -> list[Block]:
    """Return where the floor is larger than the product allows and what the rows may grow by."""
    lengths = Lengths.of(plan)
    texts = [
        *(_limit(limit, lengths) for limit in setout.limits),
        *(_movement(movement, lengths) for movement in setout.movements),
    ]
    if not texts:
        return []
    return [Heading("Run limits and movement"), *(para(text, first="  - ") for text in texts)]


def _limit(limit: RunLimit, lengths: Lengths) -> str:
    show, rooms = lengths.show, " + ".join(shorten(room, _NAME) for room in limit.rooms)
    if limit.axis is Axis.ALONG:
        text = f"{rooms}: the longest run is {show(limit.extent)} along the planks"
    else:
        straight = f", {show(limit.straight)} of it straight" if limit.straight < limit.extent else ""
        text = f"{rooms}: {show(limit.extent)} across the planks{straight}"
    text += f", over the run limit of {show(limit.limit)}: at least {count(limit.breaks, 'break')}."
    if limit.doorway is None:
        return f"{text} No doorway on the way would part it: ask for a break elsewhere, or another product."
    parts = " and ".join(show(part) for part in limit.parts[:2])
    within = "" if limit.parts[0] <= limit.limit else ", which is still too much"
    return f'{text} A strip in doorway "{shorten(limit.doorway, _NAME)}" leaves {parts}{within}.'


def _movement(movement: Movement, lengths: Lengths) -> str:
    show, rooms = lengths.show, " + ".join(shorten(room, _NAME) for room in movement.rooms)
    text = (
        f"{rooms}: {count(movement.rows, 'row')} x {show(movement.per_row)} may grow by {show(movement.growth)}, "
        f"both gaps together are {show(movement.gaps)}"
    )
    if movement.excess:
        return f"{text}: {show(movement.excess)} too much. Wider gaps, or a break."
    return f"{text}: enough."


def areas(setout: SetOut, plan: Plan) -> list[Block]:
    """Return the way from gross to net area; nothing where walls are not known."""
    if setout.area is None:
        return []
    area = setout.area
    rows = [(shorten(part.name, _NAME), part.area2) for part in area.rooms]
    rows += [(f"doorway {shorten(part.name, _NAME)}", part.area2) for part in area.doorways]
    rows.append(("gross", area.gross2))
    rows += [(f"- strip {shorten(part.name, _NAME)}", -part.area2) for part in area.strips]
    rows += [(f"- {shorten(part.name, _NAME)}", -part.area2) for part in _standing(area.things)]
    rows += [("- gaps", -area.gaps2), ("net", area.net2)]
    shown = [(label, format_area(_mm2(abs(size)), plan.unit)) for label, size in rows]
    return [Heading("Areas"), labels(shown)]


def _standing(parts: Sequence[NamedArea]) -> Iterator[NamedArea]:
    yield from (part for part in parts if part.area2)


def _mm2(area2: int) -> Fraction:
    return Fraction(area2, 2 * TICKS_PER_MM**2)
