"""JSON Schemas (2020-12) of the files: jobs, catalogues, portfolios, plans and lists of what is laid.

They say what can be said of a file's structure: keys, types, units, closed sets of words. Whether a job makes
sense, or a plan is any good, is for the reader and the check. Job files, catalogues and portfolios are TOML: their
schemas are of the JSON image, tables as objects. Nothing that the reader takes is refused by a schema.
"""

from enum import StrEnum

__all__ = ["SchemaOf", "schema"]


class SchemaOf(StrEnum):
    """The kinds of files that have a schema."""

    JOB = "job"
    PLAN = "plan"
    LAID = "laid"
    CATALOGUE = "catalogue"
    PORTFOLIO = "portfolio"


def schema(of: SchemaOf) -> str:
    """Return the JSON Schema of a kind of file, as JSON text."""
    from importlib.resources import files  # noqa: PLC0415 - only this needs it, and --help is to be quick

    return files(__name__).joinpath(f"{of}.schema.json").read_text(encoding="utf-8")
