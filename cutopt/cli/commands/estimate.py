"""The ``estimate`` command and its options."""

from typing import Annotated

import typer

from cutopt.cli.commands._options import Paper, Seed, seconds_above_zero

__all__ = ["estimate"]


def estimate(  # noqa: PLR0913 - one parameter an option, as typer reads them
    jobs: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB]...", help="Job files (TOML); - reads one from stdin."),
    ] = None,
    *,
    portfolio: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Many units: types with counts, buildings, phases (TOML)."),
    ] = None,
    study: Annotated[bool, typer.Option("--study", help="Try choices that may move the figure.")] = False,
    vary: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT=A,B,...",
            help="Choices to try: stagger, min_piece, pattern, direction, first_width, kerf, share_rips, share_offcuts.",
        ),
    ] = None,
    every: Annotated[
        bool, typer.Option("--every", help="Try every choice with every other, not one change at a time.")
    ] = False,
    planks: Annotated[
        str | None, typer.Option(metavar="FILE", help="Planks to compare: your own catalogue (CSV, TOML).")
    ] = None,
    table: Annotated[
        bool, typer.Option("--table", help="Waste factors of rooms of many sizes, with this plank and rules.")
    ] = False,
    risk: Annotated[
        bool, typer.Option("--risk", help="How sure an order is; always told for a single job.")
    ] = False,
    margins: Annotated[
        bool | None,
        typer.Option(
            help="How far rooms and the plank may grow before another box is needed; by default for a job of one room."
        ),
    ] = None,
    csv: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Write the order; further tables go to FILE-losses.csv and so on."),
    ] = None,
    xlsx: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write all tables as one workbook; - prints it.")
    ] = None,
    svg: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Draw the study, the table of rooms and the losses."),
    ] = None,
    pdf: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write one page for the client (single job).")
    ] = None,
    paper: Annotated[
        Paper | None, typer.Option(help="Paper of that page; by default Letter for feet and inches, else A4.")
    ] = None,
    sheets: Annotated[
        str | None,
        typer.Option(metavar="FOLDER", help="Write one cut sheet for each type of a portfolio there."),
    ] = None,
    store: Annotated[
        str | None,
        typer.Option(
            metavar="FOLDER", help="Keep what is done there: stopped and started again, it is not done twice."
        ),
    ] = None,
    workers: Annotated[
        int | None, typer.Option(metavar="N", min=1, max=1024, help="Jobs at a time; by default one a core.")
    ] = None,
    scheduler: Annotated[
        str | None,
        typer.Option(metavar="ADDRESS", help="Plan on a cluster of machines (Dask): tcp://HOST:PORT."),
    ] = None,
    time_limit: Annotated[
        float,
        typer.Option(metavar="S", callback=seconds_above_zero, help="Seconds that any one plan may take."),
    ] = 60.0,
    seed: Seed = 0,
    searches: Annotated[
        int,
        typer.Option(
            metavar="N",
            min=0,
            max=10**6,
            help="Searches for each plan; ended by that, figures are repeatable.",
        ),
    ] = 2,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print one line a job, and no progress.")] = False,
) -> None:
    """Work out waste factor, boxes and price of jobs, and what moves them."""
    from cutopt.cli._estimate import EstimateOptions, run_estimate  # noqa: PLC0415 - slow to load

    options = EstimateOptions(
        jobs=tuple(jobs or ()),
        portfolio=portfolio,
        study=study,
        vary=tuple(vary or ()),
        every=every,
        planks=planks,
        table=table,
        risk=risk,
        margins=margins,
        csv=csv,
        xlsx=xlsx,
        svg=svg,
        pdf=pdf,
        paper=None if paper is None else paper.value,
        sheets=sheets,
        store=store,
        workers=workers,
        scheduler=scheduler,
        seconds=time_limit,
        seed=seed,
        searches=searches,
        quiet=quiet,
    )
    raise typer.Exit(run_estimate(options))
