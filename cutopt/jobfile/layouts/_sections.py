"""A layout's file as tables, however it is written."""

from collections.abc import Mapping
from dataclasses import dataclass

from cutopt.jobfile._sections import PLANK_KEYS, rule_keys
from cutopt.jobfile._table import LengthReader, Table

__all__ = ["KEYS", "ROW_KEYS", "Sections", "toml_sections"]

KEYS = {
    "": ("title", "unit"),
    "plank": PLANK_KEYS + rule_keys("plank"),
    "rules": rule_keys("rules"),
    "order": rule_keys("order"),
}
"""What may be told, by section; those on top stand in none."""

ROW_KEYS = ("start", "width", "pieces", "planks", "count")
_ROW_REMEDY = "write each row under a [[row]] line, in double brackets"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """What stands on top of a layout's file, what it says of the plank, the rules and the order, and its rows."""

    top: Table
    plank: Table
    rules: Table
    order: Table
    rows: tuple[Table, ...]


def toml_sections(document: Mapping[str, object], lengths: LengthReader) -> Sections:
    """Return the tables of a TOML document."""
    named = [section for section in KEYS if section]
    top = Table(document, "", lengths, (*KEYS[""], *named, "row"))
    top.require("row", "add the rows, the first laid first: a [[row]] line, then pieces")
    plank, rules, order = (top.table(name, KEYS[name], f"write a [{name}] table") for name in named)
    rows = tuple(top.tables("row", ROW_KEYS, _ROW_REMEDY))
    return Sections(top=top, plank=plank, rules=rules, order=order, rows=rows)
