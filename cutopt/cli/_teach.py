"""The ``teach`` command: rules explained by example, exercises, keys, and answers marked."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from cutopt.cli._errors import UnusableError
from cutopt.cli._output import STDOUT, Target, check_targets, emit
from cutopt.cli._results import hand_over
from cutopt.errors import JobError, Problem
from cutopt.model.papers import PaperName, usual_paper
from cutopt.model.teaching import Exercise, Grade, Mark, Topic
from cutopt.model.words import Block, Line
from cutopt.papers import render_lessons
from cutopt.sheet import printed
from cutopt.teach import class_set, exercise_blocks, explain, key_blocks, make, mark, marked_blocks
from cutopt.units import Unit

__all__ = ["TeachOptions", "run_teach"]

_MOST_TEXT = 100_000
_TOPICS = {
    Topic.CHAIN: "what becomes of rows that each start with the last offcut",
    Topic.STAGGER: "joints of neighbouring rows, and how far apart they are",
    Topic.H_JOINT: "joints that line up two rows apart",
    Topic.STAIR_STEP: "shifts that are alike from row to row",
    Topic.MIN_PIECE: "starters and end pieces that are long enough",
    Topic.HANDS: "which offcut can start a row and which can end one",
    Topic.SHARING: "two pieces out of one plank",
    Topic.RIPS: "first and last rows, ripped, and rows that stop at something",
    Topic.BOXES: "planks, culls and spare to boxes, rounded once",
    Topic.WASTE: "waste factors, and what they consist of",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TeachOptions:
    """What the user asked for."""

    topic: str | None
    exercise: bool
    key: bool
    answers: str | None
    ask: bool
    grade: int
    seed: int
    sheets: int
    unit: Unit
    pdf: str | None
    paper: PaperName | None

    @property
    def wants_exercise(self) -> bool:
        """Whether an exercise is asked for, not the explanation."""
        return bool(self.exercise or self.key or self.ask or self.answers or self.pdf or self.sheets > 1)


def run_teach(options: TeachOptions) -> int:
    """Print what is asked for; return 1 where answers were marked and one is not right."""
    if options.topic is None:
        emit(_listed())
        return 0
    topic = _topic(options.topic)
    if not options.wants_exercise:
        emit(_text(explain(topic.value, options.unit)))
        return 0
    if options.answers is not None or options.ask:
        return _mark(topic, options)
    return _hand_out(topic, options)


def _listed() -> str:
    across = max(len(topic) for topic in Topic)
    lines = [f"  {topic:<{across}}  {about}" for topic, about in _TOPICS.items()]
    return "\n".join(["Topics (cutopt teach TOPIC, and --exercise to practise):", *lines]) + "\n"


def _topic(name: str) -> Topic:
    wanted = name.strip().casefold().replace("_", "-").replace(" ", "-")
    if wanted in tuple(Topic):
        return Topic(wanted)
    close = get_close_matches(wanted, [str(topic) for topic in Topic], 1)
    hint = f'did you mean "{close[0]}"?' if close else f"topics are {', '.join(Topic)}"
    raise UnusableError(Problem(what=f'there is no topic "{name}"', where="TOPIC", remedy=hint))


def _hand_out(topic: Topic, options: TeachOptions) -> int:
    """Print or write exercises, or their keys."""
    sheets = [(key_blocks if options.key else exercise_blocks)(one) for one in _exercises(topic, options)]
    targets = [Target(option="--pdf", file=options.pdf)] if options.pdf is not None else []
    check_targets(targets, STDOUT)
    title = f"{topic}, grade {options.grade}, seed {options.seed}"
    paper = options.paper or usual_paper(options.unit)
    results = [(target, render_lessons(title, sheets, paper)) for target in targets]
    hand_over(results, lambda: "" if results else _text(_parted(sheets)), quiet=False)
    return 0


def _parted(sheets: Sequence[Sequence[Block]]) -> list[Block]:
    found: list[Block] = []
    for sheet in sheets:
        found += [*([Line()] if found else []), *sheet]
    return found


def _exercises(topic: Topic, options: TeachOptions) -> tuple[Exercise, ...]:
    if options.sheets == 1:
        return (make(topic, Grade(options.grade), options.seed, options.unit),)
    try:
        return class_set(topic, Grade(options.grade), options.seed, options.sheets, options.unit)
    except ValueError as error:
        raise UnusableError(
            Problem(
                what=str(error), where=f"--class {options.sheets}", remedy="ask for fewer, or a higher grade"
            )
        ) from error


def _mark(topic: Topic, options: TeachOptions) -> int:
    """Mark answers of a file, or typed one by one."""
    exercise = make(topic, Grade(options.grade), options.seed, options.unit)
    if options.ask:
        emit(_text(exercise_blocks(exercise)))
        answers = [_asked(nth) for nth in range(1, len(exercise.questions) + 1)]
    else:
        answers = _lines(str(options.answers))
    marked = mark(exercise, answers)
    emit(_text(marked_blocks(exercise, marked)))
    return 0 if all(one.mark is Mark.RIGHT for one in marked) else 1


def _asked(nth: int) -> str:
    sys.stderr.write(f"answer {nth}: ")
    sys.stderr.flush()
    return sys.stdin.readline().strip()


def _lines(file: str) -> list[str]:
    """Return the answers of a file, one a line; lines that begin with # are none."""
    try:
        data = sys.stdin.buffer.read(_MOST_TEXT) if file == STDOUT else _head(Path(file))
    except (OSError, ValueError) as error:
        raise JobError(
            Problem(what="the answers cannot be read", where=file, remedy=f"check the name ({_why(error)})")
        ) from error
    lines = data.decode("utf-8", "replace").splitlines()
    return [line.strip() for line in lines if not line.lstrip().startswith("#")]


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(_MOST_TEXT)


def _why(error: OSError | ValueError) -> str:
    return error.strerror if isinstance(error, OSError) and error.strerror else "no name of a file"


def _text(blocks: Sequence[Block]) -> str:
    return "\n".join(printed(blocks)).lstrip("\n") + "\n"
