"""The ``teach`` command and its options."""

from typing import Annotated

import typer

from cutopt.cli.commands._options import Paper, Seed
from cutopt.units import Unit

__all__ = ["teach"]


def teach(  # noqa: PLR0913 - one parameter an option, as typer reads them
    topic: Annotated[
        str | None,
        typer.Argument(metavar="[TOPIC]", help="What to learn; without one, the topics are listed."),
    ] = None,
    *,
    exercise: Annotated[
        bool, typer.Option("--exercise", help="An exercise to work on, in place of the explanation.")
    ] = False,
    key: Annotated[
        bool, typer.Option("--key", help="Its answer key, with the working step by step.")
    ] = False,
    answers: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Mark answers, one a line, from a file; - reads stdin."),
    ] = None,
    ask: Annotated[
        bool, typer.Option("--ask", help="Ask the questions one by one and mark the answers.")
    ] = False,
    grade: Annotated[int, typer.Option(metavar="1|2|3", min=1, max=3, help="How hard.")] = 1,
    seed: Seed = 0,
    sheets: Annotated[
        int,
        typer.Option("--class", metavar="N", min=1, max=200, help="So many different sheets, equally hard."),
    ] = 1,
    unit: Annotated[Unit, typer.Option(help="Unit of lengths.")] = Unit.IN,
    pdf: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the sheets (with --key, the keys) to print.")
    ] = None,
    paper: Annotated[Paper | None, typer.Option(help="Paper; by default Letter for feet and inches.")] = None,
) -> None:
    """Explain a rule by example, or give exercises on it, with an answer key."""
    from cutopt.cli._teach import TeachOptions, run_teach  # noqa: PLC0415 - loads only when used

    options = TeachOptions(
        topic=topic,
        exercise=exercise,
        key=key,
        answers=answers,
        ask=ask,
        grade=grade,
        seed=seed,
        sheets=sheets,
        unit=unit,
        pdf=pdf,
        paper=None if paper is None else paper.value,
    )
    raise typer.Exit(run_teach(options))
