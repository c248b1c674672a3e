"""The ``replan`` command and its options."""

from typing import Annotated

import typer

from cutopt.cli.commands._options import BestEffort, Seed, TimeLimit

__all__ = ["replan"]


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
    time_limit: TimeLimit = 10.0,
    seed: Seed = 0,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print one line, and no progress.")] = False,
    best_effort: BestEffort = False,
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
