"""What is left of the planks, long pieces first."""

from collections import defaultdict
from collections.abc import Sequence

from cutopt.model.plan import Keeps, Plan
from cutopt.model.words import Block, Heading
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import labels, listed, para
from cutopt.units import Ticks

__all__ = ["leftovers"]

_KEPT = {
    Keeps.LEFT: "left end",
    Keeps.RIGHT: "right end",
    Keeps.BOTH: "both ends",
    Keeps.NONE: "no factory end",
}


def leftovers(plan: Plan) -> list[Block]:
    """Return the leftovers with their lengths and the factory end each keeps, the short ones in brief."""
    show = Lengths.of(plan).show
    usable: list[tuple[str, str]] = []
    full = plan.plank.width
    short: defaultdict[str, list[str]] = defaultdict(list)
    for (length, keeps, width), planks in _groups(plan):
        if length >= plan.rules.min_piece:
            narrow = "" if width == full else f"a strip {show(width)} wide, "
            usable.append(
                (f"{len(planks)} x {show(length)}", f"{narrow}keeps {_KEPT[keeps]}, of {_planks(planks)}")
            )
        else:
            many = f"{len(planks)} x " if len(planks) > 1 else ""
            short[_KEPT[keeps]].append(f"{many}{show(length)}")
    blocks: list[Block] = [Heading("Left over"), *([labels(usable)] if usable else [])]
    if short:
        least = show(plan.rules.min_piece)
        blocks += [
            para(f"Under the minimum piece of {least}, by the factory end they keep:", first="  "),
            labels([(kept, listed(lengths)) for kept, lengths in short.items()], indent=4),
        ]
    if not (usable or short):
        blocks.append(para("Nothing: every plank is used up.", first="  "))
    return blocks


def _groups(plan: Plan) -> list[tuple[tuple[Ticks, Keeps, Ticks], list[int]]]:
    """Return the planks by length, kept end and width of their leftover, the longest first."""
    groups: defaultdict[tuple[Ticks, Keeps, Ticks], list[int]] = defaultdict(list)
    for plank in plan.planks:
        for offcut in plank.offcuts:
            width = plan.plank.width if plank.width is None else plank.width
            groups[offcut.length, offcut.keeps, width].append(plank.plank)
    return sorted(groups.items(), key=lambda item: (-item[0][0], item[0][1], -item[0][2]))


def _planks(planks: Sequence[int]) -> str:
    return ("plank " if len(planks) == 1 else "planks ") + ", ".join(map(str, planks))
