"""The ``check`` command and its options."""

from typing import Annotated

import typer

__all__ = ["check"]


def check(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A plan file (JSON); - reads it from stdin.")],
) -> None:
    """Judge a plan file: every rule and every total, recomputed."""
    from cutopt.cli._check import run_check  # noqa: PLC0415 - loads only when used

    raise typer.Exit(run_check(file))
