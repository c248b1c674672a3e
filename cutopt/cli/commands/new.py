"""The ``new`` command and its options."""

from typing import Annotated

import typer

__all__ = ["new"]


def new(
    file: Annotated[str, typer.Argument(metavar="FILE", help="The job file to write; - prints it.")],
    *,
    yes: Annotated[bool, typer.Option("--yes", help="Ask nothing; write the commented template.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Write over a file that is there.")] = False,
) -> None:
    """Write a commented job file, asking a few questions."""
    from cutopt.cli._new import run_new  # noqa: PLC0415 - loads only when used

    raise typer.Exit(run_new(file, yes=yes, force=force))
