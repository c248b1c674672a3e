"""The ``new`` command: a few questions, and a commented job file from the answers."""

from pathlib import Path

import typer

from cutopt.cli._errors import UnusableError
from cutopt.cli._output import STDOUT, Target, check_targets, emit, write_files
from cutopt.errors import Problem
from cutopt.jobfile.template import (
    QUESTIONS,
    ROOM_QUESTIONS,
    AnswerKind,
    Answers,
    Question,
    RoomAnswer,
    check_answer,
    example_answers,
    render_template,
)
from cutopt.model.job import PlankKind
from cutopt.sheet import clean
from cutopt.units import Unit

__all__ = ["run_new"]


def run_new(file: str, *, yes: bool, force: bool) -> int:
    """Ask (unless ``yes``) and write the job file; return the exit status."""
    target = Target(option="FILE", file=file)
    check_targets([target], STDOUT if not target.is_stdout else "")
    if not target.is_stdout and Path(file).exists() and not force:
        raise UnusableError(
            Problem(
                what="there is such a file already", where=file, remedy="choose another name, or add --force"
            )
        )
    answers = example_answers() if yes else _asked()
    text = render_template(answers)
    if target.is_stdout:
        emit(text)
        return 0
    write_files([(target, text)])
    emit(f"wrote {file} - look it through, then: cutopt plan {file}\n")
    return 0


def _asked() -> Answers:
    try:
        return _interview()
    except typer.Abort as abort:
        typer.echo(err=True)
        _raise_if_stopped(abort)
        raise UnusableError(
            Problem(
                what="the answers ended before the last question",
                where="standard input",
                remedy="answer every question, or use --yes for the plain template",
            )
        ) from None


def _interview() -> Answers:
    said: dict[str, str] = {}
    unit = Unit.IN
    for question in QUESTIONS:
        said[question.field] = _ask(question, unit)
        unit = Unit(said.get("unit", unit))
    rooms = [_room(unit)]
    while _another():
        rooms.append(_room(unit))
    return Answers(
        title=said["title"],
        kind=PlankKind(said["kind"]),
        unit=unit,
        length=said["length"],
        width=said["width"],
        per_box=int(said["per_box"]),
        rooms=tuple(rooms),
    )


def _another() -> bool:
    """Ask whether a room follows; answers that end here are complete."""
    try:
        return typer.confirm("Another room?", default=False, err=True)
    except typer.Abort as abort:
        typer.echo(err=True)
        _raise_if_stopped(abort)
        return False


def _raise_if_stopped(abort: typer.Abort) -> None:
    """Tell Ctrl-C from the end of the input, which typer reports alike."""
    if isinstance(abort.__context__, KeyboardInterrupt):
        raise KeyboardInterrupt from None


def _room(unit: Unit) -> RoomAnswer:
    name, along, across = (_ask(question, unit) for question in ROOM_QUESTIONS)
    return RoomAnswer(name=name, along=along, across=across)


def _ask(question: Question, unit: Unit) -> str:
    """Ask until the answer will do; a choice may be named by its number."""
    for number, choice in enumerate(question.choices, 1):
        typer.echo(f"  {number}  {choice}", err=True)
    while True:
        typed = typer.prompt(question.asks, default=question.example(unit), err=True)
        answer = _choice(question, str(typed).strip())
        wrong = check_answer(question, answer, unit)
        if not wrong:
            return answer
        typer.echo(f'  "{clean(answer)}": {wrong}', err=True)


def _choice(question: Question, answer: str) -> str:
    if question.kind is not AnswerKind.CHOICE:
        return answer
    if answer.isascii() and answer.isdigit() and 1 <= int(answer) <= len(question.choices):
        return question.choices[int(answer) - 1]
    return answer.lower()
