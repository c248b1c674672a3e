"""A commented job file from a newcomer's few answers.

Strings are written with the standard library's JSON writer: a JSON string is a TOML basic string but for DEL,
which is escaped here. A TOML writer would add a dependency and still not write the comments.
"""

import json
import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from cutopt.jobfile._report import printable
from cutopt.model.job import EdgePolicy, PlankKind
from cutopt.rulebook import PRODUCT_FIRST, RULES, Measure, Rule, UsualValue, usual_rules
from cutopt.units import LengthError, Ticks, Unit, format_length, parse_length

__all__ = [
    "QUESTIONS",
    "ROOM_QUESTIONS",
    "AnswerKind",
    "Answers",
    "Question",
    "RoomAnswer",
    "check_answer",
    "example_answers",
    "render_template",
]

_WIDTH = 100
_MAX_PER_BOX = 10**6
_MAX_TEXT = 200


class AnswerKind(StrEnum):
    """What an answer must be."""

    TEXT = "text"
    CHOICE = "choice"
    LENGTH = "length"
    COUNT = "count"


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question: the field of the answers it fills, its words, and an answer for inches and one for metric."""

    field: str
    asks: str
    kind: AnswerKind
    inch: str
    metric: str
    choices: tuple[str, ...] = ()

    def example(self, unit: Unit) -> str:
        """Return an answer that fits the unit."""
        return self.metric if unit.is_metric else self.inch


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomAnswer:
    """A rectangle, wall to wall, as the lengths were typed."""

    name: str
    along: str
    across: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What ``cutopt new`` knows. Lengths as typed; one without a unit is in ``unit``."""

    title: str
    kind: PlankKind
    unit: Unit
    length: str
    width: str
    per_box: int
    rooms: tuple[RoomAnswer, ...]


QUESTIONS: tuple[Question, ...] = (
    Question(
        field="title",
        asks="What is the job called?",
        kind=AnswerKind.TEXT,
        inch="My floor",
        metric="My floor",
    ),
    Question(
        field="kind",
        asks="What kind of plank is it?",
        kind=AnswerKind.CHOICE,
        choices=tuple(PlankKind),
        inch="click vinyl",
        metric="click vinyl",
    ),
    Question(
        field="unit",
        asks="Which unit does your tape show?",
        kind=AnswerKind.CHOICE,
        choices=tuple(Unit),
        inch="in",
        metric="mm",
    ),
    Question(
        field="length", asks="How long is a plank?", kind=AnswerKind.LENGTH, inch="48 in", metric="1220 mm"
    ),
    Question(
        field="width",
        asks="How wide is its face once laid (cover width, without the tongue)?",
        kind=AnswerKind.LENGTH,
        inch="7 in",
        metric="180 mm",
    ),
    Question(
        field="per_box", asks="How many planks are in a box?", kind=AnswerKind.COUNT, inch="8", metric="10"
    ),
)
"""Asked once, in this order."""

ROOM_QUESTIONS: tuple[Question, ...] = (
    Question(field="name", asks="What is the room called?", kind=AnswerKind.TEXT, inch="Room", metric="Room"),
    Question(
        field="along",
        asks="How long is it along the rows, wall to wall?",
        kind=AnswerKind.LENGTH,
        inch="12' 5\"",
        metric="3.79 m",
    ),
    Question(
        field="across",
        asks="How wide is it across the rows, wall to wall?",
        kind=AnswerKind.LENGTH,
        inch="15' 2\"",
        metric="4.62 m",
    ),
)
"""Asked for every room."""


def example_answers(unit: Unit = Unit.IN, kind: PlankKind = PlankKind.CLICK_VINYL) -> Answers:
    """Return the answers of one who takes every example."""
    said = {question.field: question.example(unit) for question in (*QUESTIONS, *ROOM_QUESTIONS)}
    return Answers(
        title=said["title"],
        kind=kind,
        unit=unit,
        length=said["length"],
        width=said["width"],
        per_box=int(said["per_box"]),
        rooms=(RoomAnswer(name=said["name"], along=said["along"], across=said["across"]),),
    )


def check_answer(question: Question, text: str, unit: Unit | None = None) -> str:
    """Return what is wrong with an answer, as "what - remedy", or nothing when it will do."""
    match question.kind:
        case AnswerKind.LENGTH:
            return _wrong_length(text, unit)
        case AnswerKind.CHOICE:
            return (
                ""
                if text in question.choices
                else "not known here - use one of " + ", ".join(question.choices)
            )
        case AnswerKind.COUNT:
            sound = text.isascii() and text.isdigit() and len(text) < len(str(_MAX_PER_BOX)) and int(text) > 0
            return "" if sound else "not a count - give a whole number of 1 or more"
        case AnswerKind.TEXT:
            sound = bool(text.strip()) and len(text) <= _MAX_TEXT and all(map(printable, text))
            return "" if sound else f"not a name to print - use 1 to {_MAX_TEXT} visible characters"


def _wrong_length(text: str, unit: Unit | None) -> str:
    try:
        return "" if parse_length(text, unit) else "no length - give one above zero"
    except LengthError as error:
        return f"{error}"


def render_template(answers: Answers) -> str:
    """Return a commented job file (TOML) that says what was answered and offers every rule at its usual value.

    The answers must each have passed :func:`check_answer`; a ValueError otherwise.
    """
    length, width = (parse_length(text, answers.unit) for text in (answers.length, answers.width))
    usual = usual_rules(answers.kind, answers.unit, length, width)
    offered = {entry.key: _offered(entry, usual[entry.key], answers.unit) for entry in RULES}
    return "\n".join(
        (
            *_top(answers),
            *_plank(answers, offered),
            *_rules(offered),
            *_order(offered),
            *_price(),
            *_layout(),
            *_rooms(answers),
            "",
        )
    )


def _top(answers: Answers) -> Iterator[str]:
    yield from _comment(
        "A job for cutopt. Lengths are numbers in the job's unit, or texts with their own: "
        '"12\' 5-1/2\\"", "12 ft 5 1/2 in", "3.79 m". A line that starts with #, like #kerf = 0, is not read: '
        "take the # away to set that value."
    )
    yield f"title = {_text(answers.title)}"
    yield f"unit = {_text(answers.unit)}  # in, ft, mm, cm or m"


def _plank(answers: Answers, offered: dict[str, list[str]]) -> Iterator[str]:
    yield from ("", "[plank]")
    yield f"kind = {_text(answers.kind)}"
    yield f"length = {_length(answers.length)}"
    yield f"width = {_length(answers.width)}  # cover width: the face seen once laid"
    yield f"per_box = {answers.per_box}"
    if answers.kind is PlankKind.SOLID_STRIP:
        yield "single_length = true  # every plank has the length above; mixed lengths are not planned yet"
    yield '#box_coverage = "18.67 sq ft"  # as printed on the box, to cross-check the planks'
    yield "#box_price = 61.50"
    yield from _section(offered, "plank.")


def _rules(offered: dict[str, list[str]]) -> Iterator[str]:
    yield from ("", "[rules]")
    yield from _comment(f"What is not set here is taken as shown, as usual for this kind. {PRODUCT_FIRST}")
    yield from _section(offered, "rules.")


def _order(offered: dict[str, list[str]]) -> Iterator[str]:
    yield from ("", "[order]")
    yield from _section(offered, "order.")


def _price() -> Iterator[str]:
    yield from ("", "[price]")
    yield from _comment(
        "For cutopt estimate: the tax on the price of boxes; whether sealed boxes go back, for what fee each, and how "
        "many at least; what it costs to fetch what is missing (trip) and to wait for it (delay)."
    )
    yield '#tax = "0%"'
    yield "#returnable = true"
    yield "#return_fee = 0"
    yield "#return_least = 1"
    yield "#trip = 0"
    yield "#delay = 0"


def _layout() -> Iterator[str]:
    yield from ("", "[layout]")
    yield from _comment(
        "direction: the rows run along x, along y, at so many degrees such as 45, or the best of x, y and the two "
        "diagonals."
    )
    yield '#direction = "x"'
    yield from _comment(
        f"edges: who gets what is left across the rows: {', '.join(EdgePolicy)}. Or give first_width."
    )
    yield '#edges = "auto"'
    yield from _comment(
        "As the product says, if it does: run_limit_along and run_limit_across, the longest floor without a break; "
        "movement, what one row may grow across its width."
    )


def _rooms(answers: Answers) -> Iterator[str]:
    yield ""
    yield from _comment(
        "One [[room]] for each room: size = [along the rows, across the rows], wall to wall; or outline = "
        "[[0, 0], [149, 0], [149, 96]], its corners in order; or rows = [{ length = 97.5, count = 8 }], net of gaps; "
        "or [room.survey], what was taped. Things that stand in a room follow it under [[room.fixed]]: name, kind, at, "
        "size. Openings between rooms go under [[doorway]], places where rows ought to end well under [[stop]]."
    )
    for room in answers.rooms:
        yield "[[room]]"
        yield f"name = {_text(room.name)}"
        yield f"size = [{_length(room.along)}, {_length(room.across)}]"


def _section(offered: dict[str, list[str]], prefix: str) -> Iterator[str]:
    for key, lines in offered.items():
        if key.startswith(prefix):
            yield from lines


def _offered(entry: Rule, usual: UsualValue, unit: Unit) -> list[str]:
    """Return a rule's words and its usual value, the value behind a # to take away."""
    value = _value(entry, usual, unit)
    words = [f"# {line}" for line in _wrapped(f"{entry.name}: {entry.says}")]
    return ["", *words, f"#{entry.key.partition('.')[2]} = {value}  # {usual.source}"]


def _value(entry: Rule, usual: UsualValue, unit: Unit) -> str:
    if isinstance(usual.value, str):
        return _text(usual.value)
    if entry.measure is Measure.LENGTH:
        return _ticks(usual.value, unit)
    return f'"{usual.value}%"' if entry.measure is Measure.SHARE else str(usual.value)


def _ticks(ticks: Ticks, unit: Unit) -> str:
    """Return a usual length: in the tape's small unit, bare where that is the job's."""
    small = Unit.MM if unit.is_metric else Unit.IN
    number = format_length(ticks, small, ticks or None, mark=False)
    if number.startswith(
        "~"
    ):  # a length from a metric plank in an inch job: only millimetres write it exactly
        small, number = Unit.MM, format_length(ticks, Unit.MM, ticks, mark=False)
    return number if small is unit and number.isdigit() else _text(f"{number} {small}")


def _length(typed: str) -> str:
    """Return a length as typed: a plain number bare, anything else as a text."""
    typed = typed.strip()
    return typed if re.fullmatch(r"(0|[1-9]\d*)(\.\d+)?", typed, re.ASCII) else _text(typed)


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _comment(text: str) -> Iterator[str]:
    return (f"# {line}" for line in _wrapped(text))


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, break_on_hyphens=False)
