"""The ``plan`` command and its options."""

from typing import Annotated

import typer

from cutopt.cli.commands._options import BestEffort, Paper, Seed, TimeLimit

__all__ = ["plan"]


def plan(  # noqa: PLR0913 - one parameter an option, as typer reads them
    job: Annotated[str, typer.Argument(metavar="JOB", help="The job file (TOML); - reads it from stdin.")],
    *,
    json: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the plan as JSON; - prints it.")
    ] = None,
    csv: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the pieces for a spreadsheet; - prints them.")
    ] = None,
    order: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the order for a spreadsheet; - prints it.")
    ] = None,
    svg: Annotated[
        str | None,
        typer.Option(
            metavar="FILE",
            help="Draw the floor to scale; sheets after the first go to FILE-2.svg and so on; - prints the first.",
        ),
    ] = None,
    pdf: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Write the papers to work from, ready to print; - prints them."),
    ] = None,
    html: Annotated[
        str | None,
        typer.Option(
            metavar="FILE", help="Write a page for a phone to work from and tick what is laid; - prints it."
        ),
    ] = None,
    paper: Annotated[
        Paper | None,
        typer.Option(
            help="Paper of the drawing and the papers; by default Letter for feet and inches, else A4."
        ),
    ] = None,
    time_limit: TimeLimit = 10.0,
    seed: Seed = 0,
    searches: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            min=0,
            max=10**6,
            help="Searches to make at most; ended by that, the plan is the same on slower machines.",
        ),
    ] = None,
    quiet: Annotated[
        bool, typer.Option("--quiet", help="Print one line in place of the sheet, and no progress.")
    ] = False,
    best_effort: BestEffort = False,
    stock: Annotated[
        str | None,
        typer.Option(
            metavar="FILE",
            help="Plan with what is in hand: planks, boxes, offcuts, by lots if so told (TOML).",
        ),
    ] = None,
    forgiving: Annotated[
        bool,
        typer.Option(
            "--forgiving",
            help="Use the time left to let walls be out by more, with as few planks.",
        ),
    ] = False,
) -> None:
    """Plan a job: print the numbered cut sheet and the boxes to order."""
    from cutopt.cli._plan import PlanOptions, run_plan  # noqa: PLC0415 - the solver is slow to load

    options = PlanOptions(
        job=job,
        json=json,
        csv=csv,
        order=order,
        svg=svg,
        pdf=pdf,
        html=html,
        paper=None if paper is None else paper.value,
        seconds=time_limit,
        seed=seed,
        searches=searches,
        quiet=quiet,
        best_effort=best_effort,
        forgiving=forgiving,
        stock=stock,
    )
    raise typer.Exit(run_plan(options))
