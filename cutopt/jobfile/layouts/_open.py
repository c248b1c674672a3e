"""The way in: a file or a text becomes a Layout, or one error with everything that is wrong."""

import re
from pathlib import Path

from cutopt.jobfile._checks import check_plank
from cutopt.jobfile._report import Report, visible
from cutopt.jobfile._sections import read_plank, read_rules, read_unit
from cutopt.jobfile._table import LengthReader
from cutopt.jobfile._text import contents, decoded, document
from cutopt.jobfile._values import JobValues
from cutopt.jobfile.layouts._build import build_layout
from cutopt.jobfile.layouts._csv import csv_sections
from cutopt.jobfile.layouts._rows import read_rows
from cutopt.jobfile.layouts._sections import Sections, toml_sections
from cutopt.model.layouts import Layout

__all__ = ["is_layout", "parse_layout", "read_layout"]

_TOML_LINE = re.compile(r"^\s*(\[|row\s*=\s*\[)", re.MULTILINE)


def is_layout(text: str | bytes) -> bool:
    """Whether a text is a layout, if a plan or a layout: plan files are JSON, and begin with a brace."""
    if isinstance(text, bytes):
        text = text[:1000].decode("utf-8-sig", "replace")
    return text.lstrip("\ufeff \t\r\n")[:1] not in ("{", "")


def read_layout(path: Path) -> Layout:
    """Return the layout of a TOML or CSV file, told apart as by :func:`parse_layout`.

    Raises JobError with every problem found.
    """
    where = visible(str(path))
    return parse_layout(contents(path, Report(where), "layout"), where)


def parse_layout(data: str | bytes, where: str = "layout") -> Layout:
    """Return the layout of a text (bytes are UTF-8); ``where`` names it in messages.

    TOML has its rows under ``[[row]]``; any other text is CSV, one row a line. Places count from 1:
    ``row[3].pieces[2]`` or ``line 7, cell 2``. Lengths without a unit take the layout's, which is that of the
    first length to name one where the file does not say. Raises JobError with every problem found.
    """
    report = Report(where)
    text = decoded(data, report) if isinstance(data, bytes) else data.removeprefix("\ufeff")
    lengths = LengthReader(report)
    return _layout(_sections(text, lengths), lengths)


def _sections(text: str, lengths: LengthReader) -> Sections:
    if _TOML_LINE.search(text):
        return toml_sections(document(text, lengths.report), lengths)
    return csv_sections(text, lengths)


def _layout(sections: Sections, lengths: LengthReader) -> Layout:
    report, top = lengths.report, sections.top
    lengths.unit = read_unit(top)
    lengths.unit_is_wrong = "unit" in top and lengths.unit is None
    title, plank = top.line("title"), read_plank(sections.plank, described=False)
    rules = read_rules(sections.plank) | read_rules(sections.rules) | read_rules(sections.order)
    rows = read_rows(sections.rows, report)
    lengths.report_missing_unit()
    values = JobValues(
        title=title,
        unit=lengths.unit or next(iter(lengths.units_met.values()), None),
        describes_plank=True,
        plank=plank,
        rules={key: value for key, value in rules.items() if value is not None},
        keys=frozenset(rules),
        rooms=(),
    )
    check_plank(values, report)
    report.raise_if_any()
    return build_layout(values, rows, starts_told=all("start" in row for row in sections.rows))
