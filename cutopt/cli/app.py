"""The commands and their options; each loads what it needs only when it runs."""

import math
from enum import StrEnum
from typing import Annotated

import typer

from cutopt import __version__
from cutopt.cli._errors import guarded
from cutopt.schema import SchemaOf

__all__ = ["app", "main"]


class Paper(StrEnum):
    """Paper to draw on."""

    A4 = "a4"
    LETTER = "letter"


app = typer.Typer(
    name="cutopt",
    help="Plan the cuts of a plank floor: fewest planks under the trade's rules, proved and checked.",
    epilog="Exit status: 0 done, 1 the rules cannot all be met, check found breaches or too little is in hand, 2 wrong usage, "
    "3 a file is wrong, 4 no plan found in time, 70 a bug of ours, 130 stopped by Ctrl-C.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


def main() -> None:
    """Run the command line and leave with its exit status."""
    guarded(app)


def _show_version(wanted: bool) -> None:  # noqa: FBT001 - typer hands an option to its callback so
    if wanted:
        typer.echo(f"cutopt {__version__}")
        raise typer.Exit


@app.callback()
def _common(
    *,
    version: Annotated[
        bool, typer.Option("--version", callback=_show_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Take the options that come before a command."""


def _seconds(seconds: float) -> float:
    if not (math.isfinite(seconds) and seconds > 0):
        raise typer.BadParameter(f"{seconds:g} is no time to search; give seconds above zero, such as 10.")
    return seconds


_TimeLimit = Annotated[
    float, typer.Option(metavar="S", callback=_seconds, help="Seconds the search may take.")
]
_Seed = Annotated[int, typer.Option(metavar="N", min=0, max=2**31 - 1, help="Start of the random choices.")]
_BestEffort = Annotated[
    bool,
    typer.Option(
        "--best-effort",
        help="Where the rules cannot all be met, plan with the fewest and smallest breaches.",
    ),
]


@app.command()
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
    time_limit: _TimeLimit = 10.0,
    seed: _Seed = 0,
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
    best_effort: _BestEffort = False,
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


@app.command()
def check(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A plan file (JSON); - reads it from stdin.")],
) -> None:
    """Judge a plan file: every rule and every total, recomputed."""
    from cutopt.cli._check import run_check  # noqa: PLC0415 - loads only when used

    raise typer.Exit(run_check(file))


@app.command()
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
        bool,
        typer.Option(help="How far rooms and the plank may grow before another box is needed (single job)."),
    ] = True,
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
        float, typer.Option(metavar="S", callback=_seconds, help="Seconds that any one plan may take.")
    ] = 60.0,
    seed: _Seed = 0,
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


@app.command()
def replan(  # noqa: PLR0913 - one parameter an option, as typer reads them
    plan: Annotated[str, typer.Argument(metavar="PLAN", help="The plan file (JSON); - reads it from stdin.")],
    *,
    laid: Annotated[int, typer.Option(metavar="N", min=0, help="Rows 1 to N are laid.")] = 0,
    done: Annotated[
        str | None, typer.Option(metavar="FILE", help="What is laid, as saved from the phone page.")
    ] = None,
    spoiled: Annotated[
        list[str] | None,
        typer.Option(metavar="ID", help="A piece (12.3) or plank (p7) that is lost; may be given again."),
    ] = None,
    row: Annotated[
        list[str] | None,
        typer.Option(
            metavar="N=LENGTH",
            help="What the tape says of a row: 14=+1/2, 14=-1/4, or 14=98-1/2; may be given again.",
        ),
    ] = None,
    rest: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="All other rows left are so much longer: +1/2, -1/4.")
    ] = None,
    left_across: Annotated[
        str | None,
        typer.Option(metavar="LENGTH", help="Left across the rows, inside the gap, from the last row laid."),
    ] = None,
    stock: Annotated[
        str | None,
        typer.Option(
            metavar="FILE", help="Whole planks, boxes and offcuts in hand (TOML), besides the plan's own."
        ),
    ] = None,
    show: Annotated[
        bool, typer.Option("--show", help="Say where you are and what comes next; plans nothing.")
    ] = False,
    json: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the new plan as JSON; - prints it.")
    ] = None,
    csv: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write its pieces for a spreadsheet; - prints them.")
    ] = None,
    time_limit: _TimeLimit = 10.0,
    seed: _Seed = 0,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print one line, and no progress.")] = False,
    best_effort: _BestEffort = False,
) -> None:
    """Go on with a plan: from what is laid, spoiled, measured and in hand to the rest of it."""
    from cutopt.cli._replan import ReplanOptions, run_replan  # noqa: PLC0415 - the solver is slow to load

    options = ReplanOptions(
        plan=plan,
        laid=laid,
        done=done,
        spoiled=tuple(spoiled or ()),
        row=tuple(row or ()),
        rest=rest,
        left_across=left_across,
        stock=stock,
        show=show,
        json=json,
        csv=csv,
        seconds=time_limit,
        seed=seed,
        quiet=quiet,
        best_effort=best_effort,
    )
    raise typer.Exit(run_replan(options))


@app.command()
def schema(
    of: Annotated[
        SchemaOf, typer.Argument(metavar="job|plan|laid|catalogue|portfolio", help="The kind of file.")
    ],
) -> None:
    """Print the JSON Schema of a kind of file."""
    from cutopt.cli._output import emit  # noqa: PLC0415 - loads only when used
    from cutopt.schema import schema as schema_of  # noqa: PLC0415 - its name is the command's

    emit(schema_of(of))


@app.command()
def new(
    file: Annotated[str, typer.Argument(metavar="FILE", help="The job file to write; - prints it.")],
    *,
    yes: Annotated[bool, typer.Option("--yes", help="Ask nothing; write the commented template.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Write over a file that is there.")] = False,
) -> None:
    """Write a commented job file, asking a few questions."""
    from cutopt.cli._new import run_new  # noqa: PLC0415 - loads only when used

    raise typer.Exit(run_new(file, yes=yes, force=force))
