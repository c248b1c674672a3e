"""The survey section: every measure against the shape that fits them all."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from cutopt.model.survey import MeasureReport, Size, SurveyReport
from cutopt.model.words import Block, Heading, Table
from cutopt.sheet._text import clean, count, listed, para, shorten
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit, format_length

__all__ = ["survey"]

_INDENT = "    "
_NAME_WIDTH = 24
_MEASURE_COLUMNS = ("measure", "taped", "adjusted", "out by")
_CORNER_COLUMNS = ("corner", "along", "across", "sure to")


def survey(reports: Sequence[SurveyReport], unit: Unit) -> list[Block]:
    """Return the survey of each room ; nothing without a report.

    "Out by" is above zero where a measure reads too much. "Sure to" is one standard deviation.
    """
    blocks: list[Block] = [Heading("Survey")] if reports else []
    for report in reports:
        blocks += [
            para(_headline(report), first="  ", rest=_INDENT),
            _table(_MEASURE_COLUMNS, (_measure_row(measure, unit) for measure in report.measures)),
            _table(_CORNER_COLUMNS, _corner_rows(report, unit)),
            *(para(text, first="  - ") for text in _findings(report, unit)),
        ]
    return blocks


def _headline(report: SurveyReport) -> str:
    many = count(len(report.measures), "measure")
    if not report.redundancy:
        return f"{shorten(report.room, 60)}: {many}, as few as fix the shape."
    return f"{shorten(report.room, 60)}: {many}, {report.redundancy} more than it takes to fix the shape."


def _table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> Table:
    """Return a table with its first column to the left, the others to the right."""
    return Table((columns, *rows), frozenset(range(1, len(columns))), indent=len(_INDENT))


def _measure_row(measure: MeasureReport, unit: Unit) -> tuple[str, ...]:
    mark = " !!" if measure.flagged else ""
    return (
        shorten(measure.name, _NAME_WIDTH) + mark,
        _size(measure.measured, unit),
        _size(measure.adjusted, unit),
        _signed(measure.residual, unit),
    )


def _corner_rows(report: SurveyReport, unit: Unit) -> Iterator[tuple[str, ...]]:
    for corner in report.corners:
        x, y = corner.at
        yield (
            shorten(corner.name, _NAME_WIDTH),
            _size(x, unit),
            _size(y, unit),
            _size(max(corner.spread), unit),
        )


def _findings(report: SurveyReport, unit: Unit) -> Iterator[str]:
    if report.closing_error is not None:
        yield f"Walked with the angles as measured, the walls miss their start by {_size(report.closing_error, unit)}."
    if report.flagged is not None:
        yield _misread(report.flagged, unit)
    elif report.suspects:
        yield _one_of(report)
    yield from _checks(report)
    if report.unlike:
        yield f"{_named('Corner', report.unlike)} turns the other way than told: check the turns and the measures there."
    if report.elsewhere:
        yield (
            f"{_named('Corner', report.elsewhere)} could lie elsewhere by the same measures: "
            "take one more diagonal from there."
        )


def _misread(measure: MeasureReport, unit: Unit) -> str:
    """Say which measure is out, by how much, and what would fit."""
    fitting = measure.measured if measure.fitting is None else measure.fitting
    off: Size = measure.measured - fitting
    return (
        f"{_capital(measure.name)} reads {_size(max(off, -off), unit)} {'more' if off > 0 else 'less'} than the "
        f"other measures allow: measure it again ({_size(fitting, unit)} would fit)."
    )


def _one_of(report: SurveyReport) -> str:
    names = ", ".join(clean(measure.name) for measure in report.suspects)
    which = "any measure" if len(report.suspects) == len(report.measures) else f"one of {names}"
    return (
        f"The measures do not fit together: {which} may be misread, and nothing tells which. "
        "Measure them again, and take one more diagonal."
    )


def _checks(report: SurveyReport) -> Iterator[str]:
    """Say how well the measures agree, and which of them nothing checks."""
    alone = [clean(measure.name) for measure in report.measures if measure.standardised is None]
    if not report.redundancy:
        yield "Nothing checks these measures: a misread one would not show. Take one more diagonal."
        return
    if report.sigma0 is not None:
        yield f"The measures agree to {report.sigma0:.1f} times the accuracy given (about 1 is as expected)."
    if alone:
        yield f"No other measure checks {' '.join(listed(alone))}."


def _named(noun: str, names: Sequence[str]) -> str:
    return f"{noun} {' or '.join(map(clean, names))}"


def _capital(text: str) -> str:
    return clean(text[:1].upper() + text[1:])


def _signed(size: Size, unit: Unit) -> str:
    text = _size(size, unit)
    return f"+{text}" if size > 0 and text != _size(0 * size, unit) else text


def _size(size: Size, unit: Unit) -> str:
    """Return an angle to a tenth of a degree, a length to what the tape shows: these are estimates."""
    if isinstance(size, Fraction):
        return f"{float(size):.1f} deg".replace("-0.0 ", "0.0 ")
    grid: Ticks = TICKS_PER_MM // 10 if unit.is_metric else TICKS_PER_INCH // 64
    return format_length(round(Fraction(size, grid)) * grid, unit)
