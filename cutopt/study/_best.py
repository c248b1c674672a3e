"""The best of what a study tried."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutopt.model.estimate import Figure, Study, StudyRow

__all__ = ["best"]

_Measure = int | Fraction | Decimal


def best(rows: Sequence[StudyRow]) -> Study:
    """Return a study with the places of its cheapest rows and of those with the least waste, ties and all.

    Rows that could not be planned win nothing. Cheapest goes by the price of the boxes where every planned row has
    one, else by boxes where all are of one plank (however it is cut: the kerf may differ), else nothing is.
    """
    planned = {nth: row.figure for nth, row in enumerate(rows) if row.figure is not None}
    return Study(
        rows=tuple(rows),
        cheapest=_least(_costs(planned)),
        least_waste=_least({nth: figure.as_laid for nth, figure in planned.items()}),
    )


def _costs(planned: Mapping[int, Figure]) -> dict[int, _Measure]:
    """Return what can be compared of all of them; nothing where nothing can."""
    prices: dict[int, _Measure] = {
        nth: figure.price for nth, figure in planned.items() if figure.price is not None
    }
    if len(prices) == len(planned):
        return prices
    same = len({replace(figure.plank, kerf=0) for figure in planned.values()}) == 1
    return {nth: figure.boxes for nth, figure in planned.items()} if same else {}


def _least(measured: Mapping[int, _Measure]) -> tuple[int, ...]:
    least = min(measured.values(), default=None)
    return tuple(nth for nth, measure in measured.items() if measure == least)
