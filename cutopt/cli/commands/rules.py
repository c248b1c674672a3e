"""The ``rules`` command and its options; what it needs loads only when it runs."""

from enum import StrEnum
from typing import Annotated

import typer

__all__ = ["rules"]


class BookUnit(StrEnum):
    """The unit of lengths in the rule book."""

    IN = "in"
    MM = "mm"


def rules(
    names: Annotated[
        list[str] | None,
        typer.Argument(metavar="[RULE]...", help="Rules by name or job key; by default all of them."),
    ] = None,
    *,
    kind: Annotated[
        str | None, typer.Option(metavar="KIND", help='Usual values of one kind of plank: "click vinyl".')
    ] = None,
    unit: Annotated[
        BookUnit | None, typer.Option(help="Unit of usual lengths; by default inches and millimetres.")
    ] = None,
    listed: Annotated[bool, typer.Option("--list", help="A line for each rule, and no more.")] = False,
    json: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the rules as JSON; - prints it.")
    ] = None,
) -> None:
    """Tell the rules: what each says, what is usual, why it exists, and what sources say."""
    from cutopt.cli._rules import RulesOptions, run_rules  # noqa: PLC0415 - loads only when used

    options = RulesOptions(
        names=tuple(names or ()),
        kind=kind,
        unit=None if unit is None else unit.value,
        listed=listed,
        json=json,
    )
    raise typer.Exit(run_rules(options))
