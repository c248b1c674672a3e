"""What stands before and after the cut sheet: the answer, what was assumed, rooms, order and result."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import groupby
from math import ceil

from cutopt.model.floor import Floor, RoomEdges, Run
from cutopt.model.job import Assumption, Job, SourceKind
from cutopt.model.plan import Plan
from cutopt.model.words import Block, Heading, Labels, Line
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import WIDTH, clean, count, labels, listed, para, shorten
from cutopt.units import TICKS_PER_MM, format_area

__all__ = [
    "assumed",
    "notes",
    "order",
    "product_first",
    "result",
    "rooms",
    "summary",
    "title",
    "unkept",
]

_PRODUCT_FIRST = (
    "The product's own instructions, local codes and licensed trades always come first: where they say "
    "otherwise, change the job file and plan again."
)


def title(plan: Plan, breaches: Mapping[int, Sequence[str]]) -> list[Block]:
    """Return the title, the answer in short, and whose word counts."""
    name = shorten(plan.title, WIDTH) or "Floor plan"
    answer = para(summary(plan, broken=bool(breaches)))
    return [Line(name), Line("=" * WIDTH), *unkept(breaches), answer, Line(), product_first()]


def unkept(breaches: Mapping[int, Sequence[str]]) -> list[Block]:
    """Return the warning that a plan breaks rules, nothing where it keeps them all."""
    return [para(_breached(breaches), first="!! ")] if breaches else []


def product_first() -> Block:
    """Return whose word counts."""
    return para(_PRODUCT_FIRST)


def summary(plan: Plan, *, broken: bool = False) -> str:
    """Return the answer on one line; ``broken``: the plan does not keep all its rules."""
    totals, bound = plan.totals, plan.bound
    proof = "proven fewest" if bound.proven and not broken else f"at least {bound.planks} needed"
    boxes = f"{count(totals.boxes, 'box', 'boxes')} to order"
    return (
        f"{boxes if plan.supply is None else f'{plan.supply} in hand'}, "
        f"{count(totals.planks, 'plank')} to open ({proof}), "
        f"waste {totals.waste_factor_percent:.1f} %"
    )


def _breached(breaches: Mapping[int, Sequence[str]]) -> str:
    many = sum(len(texts) for texts in breaches.values())
    return (
        f"BEST EFFORT: this plan breaks the rules in {count(many, 'place')}, each marked !! in the cut sheet. "
        "It is not a plan that keeps the rules."
    )


def assumed(plan: Plan, job: Job) -> list[Block]:
    """Return the plank, and every rule with its value and where that comes from."""
    show, plank = Lengths.of(plan).show, plan.plank
    kind = f"{plank.kind}, " if plank.kind else ""
    size = f"plank: {kind}{show(plank.length)} x {show(plank.width)} (cover width), {plank.per_box} a box"
    items = [item for item in job.assumptions if _is_told(item, plan)]
    told = [item for item in items if item.source is SourceKind.JOB]
    blocks: list[Block] = [Heading("Assumed"), para(size, first="  ", rest="    ")]
    if told:
        values = listed([f"{clean(item.name)} {clean(item.value)}" for item in told])
        blocks.append(para(["by the job file:", *values], first="  ", rest="    "))
    others = [item for item in items if item.source is not SourceKind.JOB]
    if others:
        blocks += [para("not set there, so as usual:", first="  "), _usual(others)]
    return blocks


def _is_told(item: Assumption, plan: Plan) -> bool:
    """Say whether a value concerns this plan: that rips may be shared does where some are, or where it is set."""
    shared = any(plank.strip is not None for plank in plan.planks)
    return item.key != "rules.share_rips" or shared or item.source is SourceKind.JOB


def _usual(items: Sequence[Assumption]) -> Labels:
    """Return values that the job file does not set, each with its source beside it."""
    name_width = max(len(clean(item.name)) for item in items)
    rows = []
    for item in items:
        source = f"{item.source}: {clean(item.citation)}" if item.citation else str(item.source)
        rows.append((f"{clean(item.name):<{name_width}}  {clean(item.value)}", source))
    return labels(rows, indent=4)


def rooms(plan: Plan, floor: Floor) -> list[Block]:
    """Return each room's rows, the widths of its first and last row, and its net area.

    Rooms whose rows run through are told of together.
    """
    edges = {edge.room: edge for edge in floor.edges}
    blocks: list[Block] = [Heading("Rooms")]
    runs = [row.run for row in plan.rows]
    for field, group in groupby(runs, key=lambda run: run.field):
        texts = [*_room(list(group), edges.get(field), plan)]
        blocks.append(para(f"{shorten(field, 60)}: {'; '.join(texts)}.", first="  ", rest="    "))
    net = Fraction(sum(run.area2 for run in runs), 2 * TICKS_PER_MM**2)
    return [*blocks, para(f"Net area: {format_area(net, plan.unit)}", first="  ")]


def _room(runs: Sequence[Run], edge: RoomEdges | None, plan: Plan) -> Iterator[str]:
    show = Lengths.of(plan).show
    yield count(len({run.row for run in runs}), "row")
    net = Fraction(sum(run.area2 for run in runs), 2 * TICKS_PER_MM**2)
    yield format_area(net, plan.unit)
    if edge is None:
        return
    yield f"{show(edge.clear)} across the rows inside the gaps"
    if edge.rows == 1:
        yield f"the row is {show(edge.first_width)} wide"
    elif edge.first_width == edge.last_width == plan.plank.width:
        yield "all rows full width"
    else:
        balanced = " (both ripped, so that neither is a sliver)" if edge.balanced else ""
        yield f"first row {show(edge.first_width)} wide, last row {show(edge.last_width)}{balanced}"


def order(plan: Plan) -> list[Block]:
    """Return the way from the net need to the boxes, rounded once, and what stays in them."""
    return [Heading("Order"), labels(_order_rows(plan))]


def _order_rows(plan: Plan) -> Iterator[tuple[str, str]]:
    planks, boxes, per_box = plan.totals.planks, plan.totals.boxes, plan.plank.per_box
    culls, spare = plan.order.culls, plan.order.spare
    with_culls = planks / (1 - culls)
    need = with_culls + spare
    yield "net need", count(planks, "plank")
    if culls:
        yield (
            "culls",
            f"{float(culls * 100):g} % expected: {planks} / {float(1 - culls):g} = {_number(with_culls)}",
        )
    else:
        yield "culls", "none expected"
    yield "spare", count(spare, "plank") + (" kept for repairs" if spare else "")
    bought = f"{count(boxes, 'box', 'boxes')} ({count(boxes * per_box, 'plank')})"
    yield "order", f"{_number(need)} planks / {per_box} a box, rounded up: {bought}"
    if plan.plank.box_price is not None:
        price = plan.plank.box_price
        yield "price", f"{boxes} x {price:.2f} = {boxes * price:.2f}"
    yield "unopened", _unopened(boxes * per_box - planks, ceil(with_culls) - planks, spare)


def _number(value: Fraction | int) -> str:
    return str(value) if isinstance(value, int) or value.denominator == 1 else f"{float(value):.2f}"


def _unopened(left: int, culls: int, spare: int) -> str:
    beyond = left - culls - spare
    parts = [f"{culls} for culls"] * bool(culls) + [f"{spare} spare"] * bool(spare)
    parts += [f"{beyond} to fill the last box"] * bool(parts and beyond)
    return f"{count(left, 'plank')} not needed by this plan" + (f": {', '.join(parts)}" if parts else "")


def result(plan: Plan, *, broken: bool = False) -> list[Block]:
    """Return what the plan comes to, its lower bound, and whether it is proven fewest."""
    totals, bound = plan.totals, plan.bound
    waiting = (
        f"at most {count(totals.peak_waiting, 'cut plank')} lying by for a later row"
        if totals.peak_waiting
        else "no cut plank lies by for a later row"
    )
    gap = totals.planks - bound.planks
    if broken:
        verdict = "best effort: the rules cannot all be kept, so fewest planks under them means nothing here"
    elif bound.proven:
        verdict = "proven fewest: no plan under these rules opens fewer"
    else:
        verdict = f"not proven fewest: at most {count(gap, 'plank')} might still be saved"
    rows = [
        ("planks", f"{totals.planks} opened"),
        ("waste factor", f"{totals.waste_factor_percent:.1f} % (planks opened over net area, as laid)"),
        ("cuts", str(totals.cuts)),
        ("waiting", waiting),
        *_strips(plan),
        ("lower bound", f"{count(bound.planks, 'plank')}: {clean(bound.reason)}"),
        ("verdict", verdict),
    ]
    return [Heading("Result"), labels(rows)]


def _strips(plan: Plan) -> Iterator[tuple[str, str]]:
    """Yield how many pieces come from strips of planks ripped for other rows, where any do."""
    pieces = [piece for plank in plan.planks if plank.strip is not None for piece in plank.pieces]
    if pieces:
        verb = "is" if len(pieces) == 1 else "are"
        yield (
            "rips shared",
            f"{count(len(pieces), 'piece')} {verb} cut from strips of planks ripped for other rows",
        )


def notes(plan: Plan, job: Job, floor: Floor) -> list[Block]:
    """Return how the search ended when that matters, and the warnings about the job and its rooms."""
    texts = [text for text in (plan.note, *job.warnings, *floor.warnings) if text]
    head = [Heading("Notes")] if texts else []
    return [*head, *(para(clean(text), first="  - ") for text in texts)]
