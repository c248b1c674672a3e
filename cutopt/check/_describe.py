"""Findings in words."""

from collections.abc import Callable, Iterator

from cutopt.check._finding import Amount, Fault, Finding, Kind
from cutopt.units import TICKS_PER_MM, Ticks

__all__ = ["describe"]

_MM2_TO_TICKS2 = TICKS_PER_MM**2


def describe(finding: Finding, length: Callable[[Ticks], str]) -> str:
    """Return a finding on one line; ``length`` writes ticks in the reader's unit.

    ``stagger: joints of neighbouring rows are too close - rows 3, 4, 48-1/2" along row 4 - found 4", wanted at
    least 6"``
    """
    parts = [
        f"{finding.rule}: {finding.fault.words}",
        ", ".join(_where(finding, length)),
        _figures(finding, length),
    ]
    return " - ".join(part for part in parts if part)


def _where(finding: Finding, length: Callable[[Ticks], str]) -> Iterator[str]:
    if finding.about:
        yield finding.about
    yield from _listed("row", [str(row) for row in finding.rows])
    run = f"run {finding.run} of " if (finding.run or 1) > 1 else ""
    if finding.beside_down:
        yield "beside the floor that is there"
    if finding.place is not None:
        yield f"{length(finding.place)} along {run}row {finding.place_row}"
    elif run:
        yield f"{run}row {finding.place_row}"
    yield from _listed("piece", finding.pieces)
    yield from _listed("plank", [str(plank) for plank in finding.planks])


def _listed(noun: str, names: tuple[str, ...] | list[str]) -> Iterator[str]:
    if names:
        yield f"{noun}{'s' if len(names) > 1 else ''} {', '.join(names)}"


def _figures(finding: Finding, length: Callable[[Ticks], str]) -> str:
    parts = []
    if finding.found is not None:
        parts.append(f"found {_amount(finding.found, finding.fault, length)}")
    if finding.wanted is not None:
        relation = f"{finding.fault.relation.value} ".lstrip()
        parts.append(f"wanted {relation}{_amount(finding.wanted, finding.fault, length)}")
    return ", ".join(parts)


def _amount(amount: Amount, fault: Fault, length: Callable[[Ticks], str]) -> str:
    if isinstance(amount, str) or amount is None:
        return str(amount)
    match fault.kind:
        case Kind.LENGTH:
            return length(int(amount))
        case Kind.AREA2:
            return f"{amount / (2 * _MM2_TO_TICKS2):.2f} mm2"
        case Kind.AREA:
            return f"{amount} mm2"
        case Kind.PERCENT:
            return f"{amount} %"
        case _:
            return str(amount)
