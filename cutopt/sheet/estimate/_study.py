"""What other choices come to, in figures and in bars."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cutopt.model.estimate import Figure, Study, StudyRow
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.sheet._text import WIDTH, count, listed, para, shorten, width_of
from cutopt.sheet.estimate._told import fitted, money, per_cent, percent, total_price
from cutopt.units import Unit

__all__ = ["study_words"]

_BAR = 24
_REASON = 200

_Planned = Sequence[tuple[int, str, Figure]]
"""Choices that could be planned: their place in the study, name and figure."""


def study_words(study: Study, unit: Unit) -> list[Block]:  # noqa: ARG001 - lengths are in the names of choices
    """Return every choice with what it comes to, the best of them marked, and what could not be planned."""
    planned = [(nth, row.name, row.figure) for nth, row in enumerate(study.rows) if row.figure is not None]
    blocks: list[Block] = [Heading("What moves it")]
    if planned:
        table = _table(study, planned)
        if any(row[0].endswith("...") for row in table.rows):
            planned = [(nth, f"{nth + 1}. {name}", figure) for nth, name, figure in planned]
            table = _table(study, planned)
        blocks += [para(_legend(study, planned)), Line(), table, Line(), *_bars(study, planned)]
    return [*blocks, *_failed(study.rows)]


def _legend(study: Study, planned: _Planned) -> list[str]:
    """Return what columns and marks mean, in parts between which a line may end."""
    price = "; price with tax" if any(figure.tax for _, _, figure in planned) else ""
    text = f"Planks to lay, and the least that any plan needs; waste as laid and as bought{price}."
    best = ["* least waste as laid"] if study.least_waste else []
    if study.cheapest:
        best.append("$ cheapest" if _priced(planned) else "$ fewest boxes")
    return [*text.split(), *listed([*best[:-1], *(f"{mark}." for mark in best[-1:])])]


def _priced(planned: _Planned) -> bool:
    return any(figure.price is not None for _, _, figure in planned)


def _table(study: Study, planned: _Planned) -> Table:
    header = ("choice", "planks", "least", "boxes", "laid %", "bought %", "price", "")
    rows = [header, *(_row(study, *one) for one in planned)]
    priced = _priced(planned)
    marks = len(header) - 1 if priced else len(header) - 2
    return fitted(rows if priced else [(*row[:6], row[7]) for row in rows], left=[marks])


def _row(study: Study, nth: int, name: str, figure: Figure) -> tuple[str, ...]:
    total = total_price(figure)
    return (
        name,
        str(figure.planks),
        str(figure.bound),
        str(figure.boxes),
        per_cent(figure.as_laid),
        per_cent(figure.as_bought),
        "" if total is None else money(total),
        _marks(study, nth),
    )


def _marks(study: Study, nth: int) -> str:
    return ("*" if nth in study.least_waste else "") + ("$" if nth in study.cheapest else "")


def _bars(study: Study, planned: _Planned) -> Iterator[Block]:
    """Yield the waste as laid as bars, what is not proven to be needed in dots."""
    most = max(figure.as_laid for _, _, figure in planned)
    open_yet = any(not figure.proven for _, _, figure in planned)
    yield para("Waste as laid" + (" (dots: might still be saved, the least is lower):" if open_yet else ":"))
    longest = max(width_of(percent(figure.as_laid)) for _, _, figure in planned)
    room = WIDTH - 2 - _BAR - longest - 2 - 3 * 2
    rows = [
        (shorten(name, room), _bar(figure, most), percent(figure.as_laid), _marks(study, nth))
        for nth, name, figure in planned
    ]
    yield Table(tuple(rows), frozenset({2}))


def _bar(figure: Figure, most: Fraction) -> str:
    """Return a bar, as long beside the longest as the waste beside the ``most``; any waste shows."""
    if not most:
        return ""
    least = max(Fraction(0), figure.losses.opened * figure.bound / figure.planks / figure.losses.net - 1)
    sure, whole = (-int(-_BAR * share / most // 1) for share in (least, figure.as_laid))
    return "#" * sure + "." * (whole - sure)


def _failed(rows: Sequence[StudyRow]) -> Iterator[Block]:
    failed = [(row.name, row.failed) for row in rows if row.failed is not None]
    if failed:
        yield Line()
        yield para(f"{count(len(failed), 'choice')} could not be planned:")
    for name, found in failed:
        why = shorten("; ".join(found.problems[:1]), _REASON)
        yield para(f"{shorten(name, 60)}: {found.why}" + (f" ({why})" if why else ""), first="  - ")
