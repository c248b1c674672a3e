"""The ``schema`` command and its options."""

from typing import Annotated

import typer

from cutopt.schema import SchemaOf

__all__ = ["schema"]


def schema(
    of: Annotated[
        SchemaOf, typer.Argument(metavar="job|plan|laid|catalogue|portfolio", help="The kind of file.")
    ],
) -> None:
    """Print the JSON Schema of a kind of file."""
    from cutopt.cli._output import emit  # noqa: PLC0415 - loads only when used
    from cutopt.schema import schema as schema_of  # noqa: PLC0415 - its name is the command's

    emit(schema_of(of))
