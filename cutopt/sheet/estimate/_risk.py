"""How sure an order is, and which costs least."""

from collections.abc import Iterator
from math import ceil

from cutopt.model.estimate import Figure, OrderCost, Risk
from cutopt.model.words import Block, Heading, Table
from cutopt.sheet._text import count, para
from cutopt.sheet.estimate._told import boxes_of

__all__ = ["doubts", "risk_words", "sureness"]

_HUNDREDTHS = 10_000
_CENT = 0.005
_LIKELY = 0.9


def risk_words(risk: Risk, figure: Figure) -> list[Block]:
    """Return the boxes for each confidence, every order that may make sense, and the cheapest."""
    blocks: list[Block] = [Heading("How sure")]
    if risk.levels:
        levels = ", ".join(f"{boxes_of(boxes)} for {float(level * 100):g} %" for level, boxes in risk.levels)
        blocks.append(para(f"To lay the floor, spare planks used up if need be: {levels}."))
    if risk.orders:
        blocks.append(_table(risk, figure))
    blocks += [para(text, first="  !! ") for text in doubts(risk, figure)]
    return [*blocks, *(para(text, first="  - ") for text in _notes(risk, figure))]


def doubts(risk: Risk, figure: Figure) -> Iterator[str]:
    """Yield a warning where the boxes figured are likely to be too few."""
    enough = next((order.enough for order in risk.orders if order.boxes == figure.boxes), 1.0)
    if enough < _LIKELY:
        surer = next((boxes for level, boxes in risk.levels if level > _LIKELY), 0)
        more = f": order {surer} to be sure in 95 of 100 cases" if surer > figure.boxes else ""
        yield f"{boxes_of(figure.boxes)} are enough with a chance of only {sureness(enough)} %{more}."


def sureness(probability: float) -> str:
    """Return a probability in percent, never rounded up to certainty."""
    text = f"{probability * 100:.2f}"
    return "99.99" if text == "100.00" and probability < 1 else text


def _table(risk: Risk, figure: Figure) -> Table:
    """Return the orders; columns that would tell nothing are left out."""
    columns = [
        ("boxes", [str(order.boxes) for order in risk.orders]),
        ("enough", [f"{sureness(order.enough)} %" for order in risk.orders]),
    ]
    if any(order.error for order in risk.orders):
        columns.append(("std error", [_error(order) for order in risk.orders]))
    if any(order.returned for order in risk.orders):
        columns.append(("goes back", [f"{order.returned:.2f}" for order in risk.orders]))
    if any(order.cost is not None for order in risk.orders):
        costs = ["" if order.cost is None else f"{order.cost:.2f}" for order in risk.orders]
        columns.append(("expected cost", costs))
    numbers = frozenset(range(len(columns)))
    columns.append(("", [_mark(order, risk, figure) for order in risk.orders]))
    header = tuple(title for title, _ in columns)
    return Table((header, *zip(*(cells for _, cells in columns), strict=True)), numbers)


def _error(order: OrderCost) -> str:
    """Return a standard error in percent, never rounded down to none."""
    return f"+-{ceil(order.error * _HUNDREDTHS) / 100:.2f} %" if order.error else ""


def _mark(order: OrderCost, risk: Risk, figure: Figure) -> str:
    marks = [("$ cheapest", order.boxes == risk.cheapest), ("as figured", order.boxes == figure.boxes)]
    return ", ".join(mark for mark, holds in marks if holds)


def _notes(risk: Risk, figure: Figure) -> Iterator[str]:
    if risk.simulated:
        yield (
            f"Simulated: rooms mismeasured by chance {count(risk.simulated, 'time')}, seeded, each planned anew. "
            "For each of them the chance that planks are enough is exact; the error is that of having tried no more."
        )
    elif figure.culls or any(order.enough < 1 for order in risk.orders):
        yield "Exact: culls and damage strike each plank by itself (binomial distribution)."
    else:
        yield "Nothing is told that may go wrong: no culls, no damage, rooms as measured."
    if risk.cheapest is not None:
        yield from _cheapest(risk, figure)


def _cheapest(risk: Risk, figure: Figure) -> Iterator[str]:
    yield (
        "Expected cost: what is bought, less what goes back; where planks are missing a trip, a delay and what is "
        "needed; and what is missing of the spare planks, bought later."
    )
    costs = {order.boxes: order.cost for order in risk.orders}
    least, here = costs.get(risk.cheapest or 0), costs.get(figure.boxes)
    if least is not None and here is not None and here - least >= _CENT:
        keeps = (
            ", which leave the spare planks unused"
            if figure.spare and figure.boxes > (risk.cheapest or 0)
            else ""
        )
        yield (
            f"{boxes_of(risk.cheapest or 0)} may be expected to cost {here - least:.2f} less than the "
            f"{boxes_of(figure.boxes)} figured{keeps}."
        )
