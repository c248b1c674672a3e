"""The ``check`` command and its options."""

from typing import Annotated

import typer

from cutopt.cli.commands._options import Seed, TimeLimit

__all__ = ["check"]


def check(  # noqa: PLR0913 - one parameter an option, as typer reads them
    file: Annotated[
        str,
        typer.Argument(metavar="FILE", help="A plan file (JSON), or a layout (CSV, TOML); - reads stdin."),
    ],
    *,
    explain: Annotated[
        bool,
        typer.Option("--explain", help="Of a plan file too: why each rule exists, a mend, and a picture."),
    ] = False,
    strict: Annotated[
        bool, typer.Option("--strict", help="Remarks count as breaches: short single pieces, slivers.")
    ] = False,
    best: Annotated[
        bool | None,
        typer.Option(help="Beside the fewest planks; by default where it is told what was cut from what."),
    ] = None,
    json: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the judgement as JSON; - prints it.")
    ] = None,
    svg: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Draw the layout with every breach marked; - prints it."),
    ] = None,
    time_limit: TimeLimit = 10.0,
    seed: Seed = 0,
) -> None:
    """Judge a plan file or a layout: every rule, what breaks it and what would mend it."""
    from cutopt.cli._check import CheckOptions, run_check  # noqa: PLC0415 - loads only when used

    options = CheckOptions(
        file=file,
        explain=explain,
        strict=strict,
        best=best,
        json=json,
        svg=svg,
        seconds=time_limit,
        seed=seed,
    )
    raise typer.Exit(run_check(options))
