"""How sure an order is."""

from collections.abc import Iterator

from cutopt.model.estimate import Figure, OrderCost, Risk
from cutopt.model.words import Block, Heading, Table
from cutopt.sheet._text import count, para
from cutopt.sheet.estimate._figure import boxes_of

__all__ = ["risk_words"]


def risk_words(risk: Risk, figure: Figure) -> list[Block]:
    """Return the boxes for each confidence, every order that may make sense, and the cheapest."""
    levels = ", ".join(f"{boxes_of(boxes)} for {float(level * 100):g} %" for level, boxes in risk.levels)
    rows = tuple(_row(order, risk) for order in risk.orders)
    priced = any(order.cost is not None for order in risk.orders)
    header = ("boxes", "enough", "sealed over", *(("expected cost",) if priced else ()), "")
    blocks: list[Block] = [
        Heading("How sure"),
        para(f"To lay the floor, spare planks used up if need be: {levels}.", first="  "),
        Table(
            (header, *(_fit(row, priced=priced) for row in rows)),
            frozenset({0, 1, 2, 3} if priced else {0, 1, 2}),
        ),
    ]
    return [*blocks, *(para(text, first="  - ") for text in _notes(risk, figure))]


def _row(order: OrderCost, risk: Risk) -> tuple[str, str, str, str, str]:
    error = f" +- {order.error * 100:.2f}" if order.error else ""
    return (
        str(order.boxes),
        f"{_sure(order.enough)}{error} %",
        f"{order.returned:.2f}",
        "" if order.cost is None else f"{order.cost:.2f}",
        "$ cheapest" if order.boxes == risk.cheapest else "",
    )


def _fit(row: tuple[str, str, str, str, str], *, priced: bool) -> tuple[str, ...]:
    return row if priced else (*row[:3], row[4])


def _sure(probability: float) -> str:
    """Return a probability in percent, never rounded up to certainty."""
    text = f"{probability * 100:.2f}"
    return "99.99" if text == "100.00" and probability < 1 else text


def _notes(risk: Risk, figure: Figure) -> Iterator[str]:
    if risk.simulated:
        yield (
            f"Rooms mismeasured by chance {count(risk.simulated, 'time')}, seeded, each planned anew; "
            "+- is the standard error of that. For each of them the chance of enough planks is exact."
        )
    elif figure.culls or any(order.enough < 1 for order in risk.orders):
        yield "Exact: culls and damage strike each plank by itself (binomial distribution)."
    else:
        yield "Nothing is told that may go wrong: no culls, no damage, rooms as measured."
    if figure.spare:
        yield (
            f"The order of {boxes_of(figure.boxes)} also holds {count(figure.spare, 'spare plank')}; of fewer boxes "
            "some of these would have to be used up, or be bought later."
        )
    if risk.cheapest is not None:
        yield "The expected cost is what is bought, less what goes back, and a trip and a delay for what is missing."
