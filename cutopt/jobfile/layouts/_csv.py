"""A layout as CSV: a line for each row, and lines that set something.

::

    title = Reading room
    unit = in
    kind = click vinyl, length = 48, width = 7
    # the first row laid
    17, 48, 48, 21
    start = 2, 33@1, 48, 15@2

Cells stand between commas, semicolons or tabs, pieces from left to right; ``@`` and a number tell the plank that
a piece is cut from. A line of nothing but settings holds for the whole layout, by the keys of a job file
(``stagger`` or ``rules.stagger``); ``start``, ``width`` and ``count`` beside pieces are of their row. What follows
a ``#`` is not read. Cells may stand in quotes as spreadsheets write them, with each inch mark doubled.
"""

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from cutopt.jobfile._report import Report, nearest, one_of, shown, visible
from cutopt.jobfile._table import LengthReader, Listed, Table
from cutopt.jobfile.layouts._sections import KEYS, Sections

__all__ = ["csv_sections"]

_CSV_REMEDY = 'mend the line; a cell that begins with " ends with one, and each " within it is doubled'
_KEY_REMEDY = "use the keys of a job file, such as unit, kind, length or stagger"
_ROWS_REMEDY = "write a line for each row, such as 17, 48, 48, 21"
_OF_A_ROW = ("start", "width", "count")
_SETTING = re.compile(r"([a-z_.]+)\s*=\s*(.*)", re.ASCII | re.IGNORECASE | re.DOTALL)
_TITLE = re.compile(r"\s*title\s*=(.*)", re.IGNORECASE)
_WHOLE = re.compile(r"\d{1,12}", re.ASCII)
_DECIMAL = re.compile(r"\d{1,12}\.\d{1,12}", re.ASCII)
_SECTION = {key: section for section, keys in KEYS.items() for key in keys}
_MARKS = ",\t"


@dataclass(frozen=True, slots=True)
class _Cell:
    """A cell, its place in the file, and, where it sets something, the key and the value."""

    place: str
    text: str

    @property
    def setting(self) -> tuple[str, str] | None:
        found = _SETTING.fullmatch(self.text)
        return None if found is None else (found[1].casefold(), _unquoted(found[2].strip()))


@dataclass(frozen=True, slots=True)
class _Told:
    """What a file sets, by section and key, and the place of each key."""

    values: dict[str, dict[str, object]] = field(default_factory=lambda: {section: {} for section in KEYS})
    places: dict[str, str] = field(default_factory=dict)

    def tell(self, key: str, value: str, place: str, report: Report) -> None:
        """Note a setting; one that is not known, or told already, is a problem."""
        short = key.rpartition(".")[2]
        section = _SECTION.get(short)
        if section is None or key not in (short, f"{section}.{short}"):
            report.add(
                f"{shown(key)} is not known here", place, nearest(short, tuple(_SECTION)) + _KEY_REMEDY
            )
        elif short in self.places:
            report.add(
                f"{shown(key)} is told already, at {self.places[short]}", place, "leave one of the two out"
            )
        else:
            self.places[short] = place
            self.values[section][short] = value if short == "title" else _typed(value)


class _Settings(Table):
    """Settings of a section, which may stand on any lines."""

    def __init__(self, told: _Told, section: str, lengths: LengthReader) -> None:
        """Take what is told of a section."""
        super().__init__(told.values[section], section, lengths, None)
        self._places = told.places

    def at(self, key: str) -> str:
        """Return the place of a key in the file."""
        return f"{self._places[key]}, {key}" if key in self._places else key


class _Row(Table):
    """The line of a row as a table."""

    def __init__(
        self, raw: Mapping[str, object], cells: Sequence[_Cell], place: str, lengths: LengthReader
    ) -> None:
        """Take what is told of a row, and the cells of its pieces."""
        super().__init__(raw, place, lengths, None)
        self._cells = cells

    def at(self, key: str) -> str:
        """Return the place of a key in the file."""
        return f"{self.place}, {key}"

    def listed(self, key: str, remedy: str, *, most: int) -> Listed:
        """Return the pieces, or their planks, by their number among the cells that are pieces."""
        found = super().listed(key, remedy, most=most)
        return _Cells(
            [found.raw(number) for number in found], [cell.place for cell in self._cells], self.lengths
        )


class _Cells(Listed):
    """What the cells of pieces hold, one by one."""

    def __init__(self, entries: Sequence[object], places: Sequence[str], lengths: LengthReader) -> None:
        """Take the entries, each with the place of its cell."""
        super().__init__(entries, "", lengths)
        self._places = places

    def at(self, key: str) -> str:
        """Return the place of a cell in the file."""
        return self._places[int(key) - 1]


def csv_sections(text: str, lengths: LengthReader) -> Sections:
    """Return the settings and rows of a CSV text as tables; what is no line of either is noted."""
    report, told, rows = lengths.report, _Told(), []
    for place, cells in _lines(text, told, report):
        settings = {cell: cell.setting for cell in cells if cell.setting is not None}
        of_rows = any(setting[0] in ("start", "count") for setting in settings.values())
        if len(settings) == len(cells) and not of_rows:
            for cell, (key, value) in settings.items():
                told.tell(key, value, cell.place, report)
        else:
            rows.append(_row(place, cells, lengths))
    if not rows:
        report.add("the layout has no rows", "", _ROWS_REMEDY)
    plank, rules, order = (_Settings(told, section, lengths) for section in ("plank", "rules", "order"))
    return Sections(top=_Settings(told, "", lengths), plank=plank, rules=rules, order=order, rows=tuple(rows))


def _lines(text: str, told: _Told, report: Report) -> Iterator[tuple[str, list[_Cell]]]:
    """Yield the cells of every line that holds any, with its place; a title has a line to itself."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    mark = _mark([line for line in lines if not _TITLE.match(line)])
    for number, line in enumerate(lines, start=1):
        place = f"line {number}"
        title = _TITLE.fullmatch(line)
        if title is not None:
            told.tell("title", _unquoted(title[1].strip(f" {_MARKS};")), place, report)
            continue
        try:
            cells = _cells(line.partition("#")[0], mark)
        except csv.Error as error:
            report.add(f"this is not CSV: {visible(str(error))}", place, _CSV_REMEDY)
            continue
        if cells:
            yield place, [_Cell(f"{place}, cell {nth}", cell) for nth, cell in enumerate(cells, start=1)]


def _mark(lines: Sequence[str]) -> str:
    """Return what stands between cells: semicolons if there are any, else tabs or commas, whichever are more."""
    text = "\n".join(line.partition("#")[0] for line in lines)
    return ";" if ";" in text else max(_MARKS, key=text.count)


def _cells(line: str, mark: str) -> list[str]:
    """Return the cells of a line, without the empty ones at its end that spreadsheets write.

    An inch mark within a cell stands for itself. Raises ``csv.Error`` for quotes that do not pair.
    """
    rows = csv.reader([line], delimiter=mark, strict=True, skipinitialspace=True)
    cells = [cell.strip() for cell in next(rows, [])]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _row(place: str, cells: Sequence[_Cell], lengths: LengthReader) -> Table:
    """Return a row as a table; its settings may stand before or after the pieces."""
    raw: dict[str, object] = {}
    pieces = []
    for cell in cells:
        if cell.setting is None:
            pieces.append(cell)
            continue
        key, value = cell.setting
        if key not in _OF_A_ROW:
            remedy = nearest(key, _OF_A_ROW) + one_of(_OF_A_ROW)
            lengths.report.add(f"{shown(key)} is not known here", cell.place, remedy)
        elif key in raw:
            lengths.report.add(f"{shown(key)} is told twice", cell.place, "leave one of the two out")
        raw[key] = _typed(value)
    parted = [cell.text.partition("@") for cell in pieces]
    if pieces:
        raw["pieces"] = [length.strip() for length, _, _ in parted]
    if any(at for _, at, _ in parted):
        raw["planks"] = [_typed(plank.strip()) if at else None for _, at, plank in parted]
    return _Row(raw, pieces, place, lengths)


def _typed(text: str) -> object:
    """Return a setting as TOML would have it: numbers, true and false, all else is text."""
    if _WHOLE.fullmatch(text):
        return int(text)
    if _DECIMAL.fullmatch(text):
        return Decimal(text)
    return {"true": True, "false": False}.get(text.casefold(), text)


def _unquoted(text: str) -> str:
    r"""Return a text without the quotes about it, an inch mark in it perhaps written ``\"``."""
    if len(text) > 1 and text.startswith('"') and text.endswith('"'):
        return text[1:-1].replace('\\"', '"')
    return text
