"""Answers as people write them, and as they are printed."""

import re
from collections.abc import Callable, Mapping
from decimal import Decimal

from cutopt.model.teaching import Answer, Kind, Question
from cutopt.units import Unit, format_length, parse_length

__all__ = ["UnreadableAnswerError", "blank", "read_answer", "written"]

_NONE = {"none", "no row", "no rows", "-", "0"}
_COUNT = re.compile(r"(\d{1,9})(?: +[a-z ]+)?", re.ASCII)
_PERCENT = re.compile(r"(\d{1,6}(?:\.\d{1,6})?|\.\d{1,6}) *(?:%|percent|per cent|pct\.?)?", re.ASCII)
_BETWEEN_ROWS = re.compile(r"[,;&+ ]+(?:and\b *)?", re.ASCII)
_SPAN = re.compile(r"(\d{1,6})(?:-(\d{1,6}))?", re.ASCII)
_LONGEST_SPAN = 1000
_LONGEST_TEXT = 500


class UnreadableAnswerError(ValueError):
    """An answer that is none of the question's kind; the message says what would be."""


def read_answer(text: str, question: Question, unit: Unit) -> Answer:
    """Return an answer in any accepted notation as the question's kind has it.

    Lengths are written as anywhere (a bare number is in ``unit``), a count may name what it counts, a percent
    may leave out its sign, a word need only be begun, rows stand in any order (``3, 7``, ``rows 3-5``, ``none``).
    Raises UnreadableAnswerError.
    """
    if len(text) > _LONGEST_TEXT:
        raise UnreadableAnswerError("this is too long for an answer - write the answer alone")
    return _READERS[question.kind](" ".join(text.split()), question, unit)


def written(answer: Answer, kind: Kind, unit: Unit) -> str:
    """Return an answer as text."""
    match answer:
        case str():
            return answer
        case tuple():
            return ", ".join(map(str, answer)) or "none"
        case _ if kind is Kind.LENGTH:
            return format_length(answer, unit)
        case _ if kind is Kind.PERCENT:
            return f"{(Decimal(answer) / 100).normalize():f} %"
        case _:
            return str(answer)


def blank(question: Question, unit: Unit) -> str:
    """Return the line on which a learner writes the answer."""
    match question.kind:
        case Kind.CHOICE:
            return "   ".join(f"[ ] {word}" for word in question.choices)
        case Kind.ROWS:
            return 'rows ____________ (or "none")'
        case Kind.PERCENT:
            return "____________ %"
        case Kind.LENGTH if unit.is_metric or unit is Unit.IN:
            return f"____________ {unit}"
        case _:
            return "____________"


def _length(text: str, _: Question, unit: Unit) -> int:
    try:
        return parse_length(text, unit)
    except ValueError as error:
        raise UnreadableAnswerError(f"this {error}") from error


def _count(text: str, _: Question, __: Unit) -> int:
    found = _COUNT.fullmatch(text.casefold())
    if found is None:
        raise UnreadableAnswerError("this is to be counted - write a whole number in figures, such as 12")
    return int(found[1])


def _percent(text: str, _: Question, __: Unit) -> int:
    found = _PERCENT.fullmatch(text.casefold())
    if found is None:
        raise UnreadableAnswerError("this is no percent - write it like 8.3 %")
    return round(Decimal(found[1]) * 100)


def _choice(text: str, question: Question, _: Unit) -> str:
    begun = text.casefold()
    words = [word for word in question.choices if word.casefold().startswith(begun)]
    exact = [word for word in words if word.casefold() == begun]
    if len(exact or words) != 1:
        raise UnreadableAnswerError(
            f"this is none of the choices - write one of: {', '.join(question.choices)}"
        )
    return (exact or words)[0]


def _rows(text: str, _: Question, __: Unit) -> tuple[int, ...]:
    plain = text.casefold()
    if plain in _NONE:
        return ()
    bare = re.sub(r" *(?:-|\bto\b) *", "-", re.sub(r"^rows?\b", "", plain).strip())
    spans = [_SPAN.fullmatch(part) for part in _BETWEEN_ROWS.split(bare)]
    if not all(spans):
        raise UnreadableAnswerError('these are no row numbers - write them like 3, 7 (or "none")')
    rows = {row for span in spans if span for row in _span(int(span[1]), int(span[2] or span[1]))}
    return tuple(sorted(rows))


def _span(first: int, last: int) -> range:
    if not first <= last < first + _LONGEST_SPAN:
        raise UnreadableAnswerError(
            f"rows {first}-{last} are no rows in order - write the first before the last"
        )
    return range(first, last + 1)


_READERS: Mapping[Kind, Callable[[str, Question, Unit], Answer]] = {
    Kind.LENGTH: _length,
    Kind.COUNT: _count,
    Kind.PERCENT: _percent,
    Kind.CHOICE: _choice,
    Kind.ROWS: _rows,
}
