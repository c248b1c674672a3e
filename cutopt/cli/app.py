"""The commands and their options; each loads what it needs only when it runs."""

from typing import Annotated

import typer

from cutopt import __version__
from cutopt.cli._errors import guarded
from cutopt.cli.commands import check, estimate, new, plan, replan, rules, schema, teach

__all__ = ["app", "main"]


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


for _command in (plan, estimate, replan, check, rules, teach, schema, new):
    app.command()(_command)
