"""The portfolio file: types of unit with their jobs, and where how many of them are."""

import os.path
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from cutopt.errors import CutoptError
from cutopt.jobfile._open import read_job
from cutopt.jobfile._report import Report, nearest, one_of, shown, visible
from cutopt.jobfile._table import LengthReader, Table
from cutopt.jobfile._text import contents, document
from cutopt.model.estimate import Failed, Why
from cutopt.model.job import Job
from cutopt.model.portfolio import Level, Portfolio, Storey, UnitType

__all__ = ["read_portfolio"]

_TOP_KEYS = ("title", "share", "boxes", "type", "phase", "building")
_TYPE_KEYS = ("name", "job", "count")
_PHASE_KEYS = ("name", "lot")
_BUILDING_KEYS = ("name", "phase", "floor")
_FLOOR_KEYS = ("name", "phase", "units")
_TYPE_REMEDY = "write each type of unit under a [[type]] line, in double brackets"
_PHASE_REMEDY = "write each phase under a [[phase]] line, in double brackets"
_BUILDING_REMEDY = "write each building under a [[building]] line, in double brackets"
_FLOOR_REMEDY = "write each floor under a [[building.floor]] line, in double brackets"
_UNITS_REMEDY = 'write how many units of each type there are: units = { "A" = 4, "B" = 2 }'
_COUNT_REMEDY = "give the number of units of this type, or write [[building]] with its floors"

_UNTITLED = "Portfolio"
_MOST_TYPES = 10_000
_MOST_UNITS = 100_000
_MOST_NAMED = 20
"""So many names are listed where one of them is meant, and the likeliest of many sought for so many wrong ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Type:
    """A type of unit as the file tells it; what is missing or wrong is empty or 0."""

    name: str
    job: str
    count: int


def read_portfolio(path: Path) -> Portfolio:
    """Return what a portfolio file (TOML) says, with the job of every type of unit.

    Job files are looked for in the folder of the portfolio. One that is wrong fails its own type alone: its ``failed``
    has every problem. Without buildings, all units are on one floor without a name.
    Raises ``JobError`` with every problem found in the portfolio file itself.
    """
    report = Report(visible(str(path)))
    raw = document(contents(path, report, "portfolio file"), report)
    top = Table(raw, "", LengthReader(report), _TOP_KEYS)
    title = top.line("title")
    share, boxes = top.choice("share", tuple(Level)), top.choice("boxes", tuple(Level))
    types, lots = _types(top), tuple(_phases(top))
    storeys = tuple(_storeys(top, [one.name for one in types], [name for name, _ in lots]))
    if "building" not in top:
        storeys = (_only_storey(types),)
    _check_sizes(types, storeys, report)
    report.raise_if_any()
    return Portfolio(
        title=title or _UNTITLED,
        types=tuple(_with_jobs(types, path.parent)),
        storeys=storeys,
        share=Level.UNIT if share is None else Level(share),
        round_boxes=Level.UNIT if boxes is None else Level(boxes),
        lots=tuple((name, lot) for name, lot in lots if lot),
    )


def _named(tables: Iterable[Table], remedy: str) -> Iterator[tuple[Table, str]]:
    """Yield tables with their names; a name that is missing, wrong or another's is noted."""
    first: dict[str, str] = {}
    for table in tables:
        table.require("name", remedy)
        name = table.line("name") or ""
        if name and name in first:
            table.wrong("name", f"is the name of {first[name]} too", "give each a name of its own")
        first.setdefault(name, table.place)
        yield table, name


def _types(top: Table) -> tuple[_Type, ...]:
    top.require("type", "add at least one type of unit: a [[type]] line, then name and job")
    tables = top.tables("type", _TYPE_KEYS, _TYPE_REMEDY)
    return tuple(
        _type(top, table, name) for table, name in _named(tables, "give the type of unit a name, such as A")
    )


def _type(top: Table, table: Table, name: str) -> _Type:
    table.require("job", "name the job file of this type")
    job, count = table.text("job"), table.count("count", least=1)
    if job is not None and not job.strip():
        table.wrong("job", "names no file", "name the job file of this type")
    if "building" not in top:
        table.require("count", _COUNT_REMEDY)
    elif "count" in table:
        table.wrong("count", "stands beside buildings", "count units on the floors of the buildings alone")
    return _Type(name=name, job=job or "", count=count or 0)


def _phases(top: Table) -> Iterator[tuple[str, str]]:
    """Yield the name of each phase with its lot, or nothing."""
    tables = top.tables("phase", _PHASE_KEYS, _PHASE_REMEDY)
    for table, name in _named(tables, "give the phase a name"):
        yield name, table.line("lot") or ""
    if "phase" in top and "building" not in top:
        top.report.add("phases stand there without buildings", "phase", _BUILDING_REMEDY)


def _only_storey(types: Sequence[_Type]) -> Storey:
    return Storey(building="", floor="", phase="", units=tuple((one.name, one.count) for one in types))


def _storeys(top: Table, types: Sequence[str], phases: Sequence[str]) -> Iterator[Storey]:
    """Yield the floors of all buildings in the order told."""
    known = _Known(types)
    buildings = top.tables("building", _BUILDING_KEYS, _BUILDING_REMEDY)
    for building, name in _named(buildings, "give the building a name"):
        building.require("floor", _FLOOR_REMEDY)
        whole = _phase(building, phases)
        floors = building.tables("floor", _FLOOR_KEYS, _FLOOR_REMEDY)
        for floor, floor_name in _named(floors, "give the floor a name"):
            phase = _phase(floor, phases) or whole
            if phases and "phase" not in floor and "phase" not in building:
                floor.require("phase", "name the phase of the building, or of each of its floors")
            yield Storey(building=name, floor=floor_name, phase=phase, units=tuple(_units(floor, known)))


def _phase(table: Table, phases: Sequence[str]) -> str:
    if phases or "phase" not in table:
        return table.choice("phase", tuple(phases)) or ""
    table.wrong("phase", "is no phase told", 'add a [[phase]] line, then name = "..."')
    return ""


class _Known:
    """The types told; what is said of a name that is none of them is found once."""

    def __init__(self, types: Sequence[str]) -> None:
        """Take the names in the order told."""
        self._order = tuple(types)
        self._names = frozenset(types)
        self._remedies: dict[str, str] = {}

    def __contains__(self, name: str) -> bool:
        """Whether a type has this name."""
        return name in self._names

    def remedy(self, name: str) -> str:
        """Return which types there are, the likeliest first."""
        if name not in self._remedies:
            near = nearest(name, self._order) if len(self._remedies) < _MOST_NAMED else ""
            few = len(self._order) <= _MOST_NAMED
            self._remedies[name] = near + (one_of(self._order) if few else "use the name of a [[type]]")
        return self._remedies[name]


def _units(floor: Table, known: _Known) -> Iterator[tuple[str, int]]:
    floor.require("units", _UNITS_REMEDY)
    units = floor.table("units", None, _UNITS_REMEDY)
    if floor.has_table("units") and not list(units):
        floor.wrong("units", "names no type", _UNITS_REMEDY)
    for name in units:
        count = units.count(name, least=1)
        if name not in known:
            units.report.add(f"{shown(name)} is no type told", units.at(name), known.remedy(name))
        if count is not None:
            yield name, count


def _check_sizes(types: Sequence[_Type], storeys: Sequence[Storey], report: Report) -> None:
    if len(types) > _MOST_TYPES:
        report.add(f"{len(types)} types are too many", "type", f"tell at most {_MOST_TYPES}")
    units = sum(count for storey in storeys for _, count in storey.units)
    if units > _MOST_UNITS:
        report.add(f"{units} units are too many", "", f"tell at most {_MOST_UNITS}: check the counts")


def _with_jobs(types: Sequence[_Type], folder: Path) -> Iterator[UnitType]:
    """Yield every type with its job; a file that several name is read once."""
    read: dict[str, Job | Failed] = {}
    for one in types:
        path = os.path.normpath(folder / one.job)
        if path not in read:
            read[path] = _job(Path(path))
        match read[path]:
            case Failed() as failed:
                yield UnitType(name=one.name, job=None, failed=failed)
            case Job() as job:
                yield UnitType(name=one.name, job=job)


def _job(path: Path) -> Job | Failed:
    try:
        return read_job(path)
    except CutoptError as error:
        return Failed(why=Why.FILE, problems=tuple(str(problem) for problem in error.problems))
