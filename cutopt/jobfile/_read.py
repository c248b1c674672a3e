"""From the raw TOML document to checked values: one function a section."""

from collections.abc import Mapping

from cutopt.jobfile._estimator import ESTIMATOR_KEYS, read_estimator
from cutopt.jobfile._layout import read_layout
from cutopt.jobfile._openings import read_doorways, read_stops
from cutopt.jobfile._rooms import read_rooms
from cutopt.jobfile._sections import PLANK_KEYS, read_plank, read_rules, read_unit, rule_keys
from cutopt.jobfile._table import LengthReader, Table
from cutopt.jobfile._values import JobValues

__all__ = ["read_values"]

_TOP_KEYS = (
    "title",
    "unit",
    "plank",
    "rules",
    "order",
    "layout",
    "room",
    "doorway",
    "stop",
    *ESTIMATOR_KEYS,
)


def read_values(document: Mapping[str, object], lengths: LengthReader) -> JobValues:
    """Return every value of the document; problems go to the report of ``lengths``."""
    top = Table(document, "", lengths, _TOP_KEYS)
    lengths.unit = read_unit(top)
    lengths.unit_is_wrong = "unit" in top and lengths.unit is None
    title = top.line("title")
    top.require("plank", "describe the plank in a [plank] table: kind, length, width, per_box")
    plank_table = top.table("plank", PLANK_KEYS + rule_keys("plank"), "write a [plank] table")
    plank = read_plank(plank_table, described=top.has_table("plank"))
    sections = [read_rules(plank_table)]
    sections += [
        read_rules(top.table(name, rule_keys(name), f"write a [{name}] table")) for name in ("rules", "order")
    ]
    rules = {key: value for section in sections for key, value in section.items()}
    layout = read_layout(top)
    rooms = read_rooms(top)
    walled = [room for _, room in rooms]
    complete = len(rooms) == top.entries("room")
    doorways = read_doorways(top, walled, complete=complete)
    stops = read_stops(top, walled, doorways, complete=complete and len(doorways) == top.entries("doorway"))
    estimator = read_estimator(top)
    lengths.report_missing_unit()
    unit = lengths.unit or lengths.units_met.get("plank.length")
    return JobValues(
        title=title,
        unit=unit,
        describes_plank=top.has_table("plank"),
        plank=plank,
        rules={key: value for key, value in rules.items() if value is not None},
        keys=frozenset(rules),
        rooms=rooms,
        doorways=doorways,
        stops=stops,
        layout=layout,
        estimator=estimator,
    )
