"""What a study is to vary, as texts on the command line tell it."""

import re
from collections.abc import Iterator, Sequence
from decimal import Decimal

from cutopt.jobfile._estimator import VARIED, read_choices
from cutopt.jobfile._estimator_checks import check_choices
from cutopt.jobfile._report import Report, nearest, one_of, shown
from cutopt.jobfile._table import LengthReader, Table
from cutopt.model.job import Job
from cutopt.model.pricing import Varied, Vary

__all__ = ["vary"]

_REMEDY = "write it like stagger=6,8,12"
_NUMBER = re.compile(r"\d{1,12}(\.\d{1,12})?", re.ASCII)


def vary(texts: Sequence[str], job: Job, where: str = "--vary") -> tuple[Vary, ...]:
    """Return what texts such as ``stagger=6,8,12 in`` ask to be varied; a length without a unit takes the job's.

    Raises ``JobError`` with every problem found, at ``where``; the second value of a text is ``stagger[2]``.
    """
    report = Report(where)
    reader = LengthReader(report)
    reader.unit = job.unit
    table = Table(dict(_told(texts, report)), "", reader, None)
    told = [(Varied(key), read_choices(table, Varied(key))) for key in table]
    for what, choices in told:
        check_choices(what, choices, (job.plank.length, job.plank.width), job.unit, report)
    report.raise_if_any()
    return tuple(Vary(what=what, choices=tuple(choice for _, choice in choices)) for what, choices in told)


def _told(texts: Sequence[str], report: Report) -> Iterator[tuple[str, list[object]]]:
    """Yield what each text names, with its values as a job file would have them."""
    met: set[str] = set()
    for text in texts:
        name, mark, values = text.partition("=")
        key = name.strip().replace("-", "_")
        if not mark:
            report.add(f"{shown(text)} has no =", "", _REMEDY)
        elif key not in VARIED:
            report.add(f"{shown(key)} cannot be varied", "", nearest(key, VARIED) + one_of(VARIED))
        elif key in met:
            report.add(
                f"{shown(key)} is told twice", "", f"name all its values at once, with commas: {_REMEDY}"
            )
        else:
            met.add(key)
            yield key, [_value(value.strip()) for value in values.split(",")]


def _value(text: str) -> object:
    return Decimal(text) if _NUMBER.fullmatch(text) else text
