"""A catalogue of planks of the user's own, TOML or CSV: what a study may compare."""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from cutopt.jobfile._checks import MAX_ROWS, row_count
from cutopt.jobfile._report import Report, nearest, one_of, shown, visible
from cutopt.jobfile._table import LengthReader, Table
from cutopt.jobfile._text import contents, decoded, document
from cutopt.model.job import CataloguePlank, Ends, Job, PlankSpec
from cutopt.model.pricing import Varied, Vary
from cutopt.model.rooms import Room
from cutopt.units import Ticks, Unit

__all__ = ["PlankEntry", "plank_entries", "read_catalogue", "with_catalogue"]

_NEEDED = {
    "name": "give the plank a name, by which it is told",
    "length": 'give the length of a plank, such as 48 or "1220 mm"',
    "width": "give the cover width of a plank (the exposed face)",
    "per_box": "give the number of planks in a box",
}
_KEYS = (*_NEEDED, "kerf", "ends", "box_price", "box_coverage")
_PLANK_REMEDY = "write each plank under a [[plank]] line, in double brackets"
_TITLES_REMEDY = f"begin with a line of column titles: {', '.join(_KEYS)}"
_CSV_REMEDY = 'mend the line; a text that begins with " ends with one, and each " within it is doubled'
_SEPARATORS = ",;\t"
_MOST_PLANKS = 500
_WHOLE = re.compile(r"\d{1,12}", re.ASCII)
_MONEY = re.compile(r"\d{1,12}(\.\d{1,12})?", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlankEntry:
    """A plank as the catalogue tells it; ``None`` for what it leaves out. ``place`` is where in the file."""

    place: str
    name: str
    length: Ticks
    width: Ticks
    per_box: int
    kerf: Ticks | None
    ends: Ends | None
    box_price: Decimal | None
    box_coverage_mm2: Fraction | None

    def beside(self, plank: PlankSpec) -> CataloguePlank:
        """Return the plank whole: kind, and kerf and ends where left out, are those of the job's."""
        spec = PlankSpec(
            length=self.length,
            width=self.width,
            per_box=self.per_box,
            ends=plank.ends if self.ends is None else self.ends,
            kerf=plank.kerf if self.kerf is None else self.kerf,
            kind=plank.kind,
            single_length=plank.single_length,
            box_coverage_mm2=self.box_coverage_mm2,
            box_price=self.box_price,
        )
        return CataloguePlank(name=self.name, plank=spec)


def read_catalogue(path: Path, job: Job) -> tuple[CataloguePlank, ...]:
    """Return the planks of a catalogue (TOML or CSV, by the ending of its name), to be laid in a job.

    A length without a unit takes the job's. What is known of the job's plank alone (rows measured, tolerance,
    thickness) holds for none of them. Raises ``JobError`` with every problem found.
    """
    report = Report(visible(str(path)))
    entries = plank_entries(path, job.unit, job.rooms, report)
    report.raise_if_any()
    return tuple(entry.beside(job.plank) for entry in entries)


def with_catalogue(job: Job, entries: Sequence[PlankEntry]) -> Job:
    """Return a job with the planks of a catalogue; its study varies them all where it varies planks."""
    names = tuple(entry.name for entry in entries)
    varied = (
        Vary(what=one.what, choices=names) if one.what is Varied.PLANK else one for one in job.study.vary
    )
    return replace(
        job,
        catalogue=tuple(entry.beside(job.plank) for entry in entries),
        study=replace(job.study, vary=tuple(varied)),
    )


def plank_entries(
    path: Path, unit: Unit | None, rooms: Sequence[Room], report: Report
) -> tuple[PlankEntry, ...]:
    """Return the planks of a catalogue that could be read, and note what is wrong with the others.

    ``unit`` is the job's; ``None`` where that is wrong, and told already.
    """
    reader = LengthReader(report)
    reader.unit, reader.unit_is_wrong = unit, unit is None
    tables = list(_tables(path, reader))
    if len(tables) > _MOST_PLANKS:
        report.refuse(f"{len(tables)} planks are too many", "", f"compare at most {_MOST_PLANKS}")
    entries = tuple(entry for entry in map(_entry, tables) if entry is not None)
    _check_names(entries, report)
    for entry in entries:
        _check_rows(entry, rooms, report)
    return entries


def _tables(path: Path, reader: LengthReader) -> Iterator[Table]:
    """Yield each plank of a file as a table; the ending of its name says how it is written."""
    report = reader.report
    match path.suffix.casefold():
        case ".toml":
            yield from _toml_tables(document(contents(path, report, "catalogue"), report), reader)
        case ".csv":
            yield from _csv_tables(decoded(contents(path, report, "catalogue"), report), reader)
        case _:
            report.refuse("this is no catalogue", "", "name a file that ends in .toml or .csv")


def _toml_tables(raw: dict[str, object], reader: LengthReader) -> Iterator[Table]:
    top = Table(raw, "", reader, ("unit", "plank"))
    word = top.choice("unit", tuple(Unit))
    if word is not None:
        reader.unit = Unit(word)
    top.require("plank", _PLANK_REMEDY)
    return top.tables("plank", _KEYS, _PLANK_REMEDY)


class _Line(Table):
    """A line of a CSV file as a table."""

    def at(self, key: str) -> str:
        """Return the place of a cell in the file."""
        return f"{self.place}, {key}"


def _csv_tables(text: str, reader: LengthReader) -> Iterator[Table]:
    lines = _csv_lines(text, reader.report)
    place, titles = next(lines, ("", []))
    keys = [" ".join(title.split()).casefold().replace(" ", "_") for title in titles]
    if not _sound_titles(keys, place, reader.report):
        return
    for place, cells in lines:
        if len(cells) > len(keys):
            reader.report.add(
                f"found {len(cells)} cells under {len(keys)} titles",
                place,
                'put a text that holds the mark between columns in quotes: "..."',
            )
            continue
        told = {key: _cell(key, cell.strip()) for key, cell in zip(keys, cells, strict=False) if cell.strip()}
        yield _Line(told, place, reader, None)


def _csv_lines(text: str, report: Report) -> Iterator[tuple[str, list[str]]]:
    """Yield the lines that hold anything, each with its place; the first one tells what stands between columns."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(_SEPARATORS, key=first.count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 1
    try:
        for cells in rows:
            while cells and not cells[-1].strip():
                cells.pop()
            if cells:
                yield f"line {number}", cells
            number = rows.line_num + 1
    except csv.Error as error:
        report.refuse(f"this is not CSV: {visible(str(error))}", f"line {number}", _CSV_REMEDY)


def _sound_titles(keys: Sequence[str], place: str, report: Report) -> bool:
    """Whether the column titles are those of a catalogue; what is wrong with them is noted."""
    if not keys:
        report.add("the file is empty", "", _TITLES_REMEDY)
        return False
    missing = [key for key in _NEEDED if key not in keys]
    for key in missing:
        report.add(f'the column "{key}" is missing', place, _TITLES_REMEDY)
    for number, key in enumerate(keys):
        if key not in _KEYS:
            report.add(f"{shown(key)} is not known here", place, nearest(key, _KEYS) + one_of(_KEYS))
        elif key in keys[:number]:
            report.add(f'the column "{key}" stands there twice', place, "leave one of the two out")
    return not missing


def _cell(key: str, text: str) -> object:
    """Return a cell as TOML would have it: a count and a price are numbers, all else is text."""
    if key == "per_box" and _WHOLE.fullmatch(text):
        return int(text)
    return Decimal(text) if key == "box_price" and _MONEY.fullmatch(text) else text


def _entry(table: Table) -> PlankEntry | None:
    for key, remedy in _NEEDED.items():
        table.require(key, remedy)
    name, ends = table.line("name"), table.choice("ends", tuple(Ends))
    length, width, per_box = table.length("length"), table.length("width"), table.count("per_box", least=1)
    kerf, price = table.length("kerf", above_zero=False), table.price("box_price")
    coverage = table.area("box_coverage")
    if name is None or length is None or width is None or per_box is None:
        return None
    if kerf is not None and kerf > length:
        table.wrong("kerf", "is over the plank's length", "make it shorter, or check the plank's length")
    return PlankEntry(
        place=table.at("name"),
        name=name,
        length=length,
        width=width,
        per_box=per_box,
        kerf=kerf,
        ends=None if ends is None else Ends(ends),
        box_price=price,
        box_coverage_mm2=coverage,
    )


def _check_names(entries: Sequence[PlankEntry], report: Report) -> None:
    first: dict[str, str] = {}
    for entry in entries:
        if entry.name in first:
            report.add(
                f"{shown(entry.name)} is told already, at {first[entry.name]}",
                entry.place,
                "give every plank a name of its own",
            )
        first.setdefault(entry.name, entry.place)


def _check_rows(entry: PlankEntry, rooms: Sequence[Room], report: Report) -> None:
    rows = row_count(rooms, entry.width)
    if rows > MAX_ROWS:
        report.add(
            f"{rows} rows of {shown(entry.name)} are too many",
            entry.place,
            f"plan at most {MAX_ROWS} rows: check the plank's width and its unit",
        )
