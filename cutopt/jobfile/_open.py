"""The way in: a file or a text becomes a Job, or one error with everything that is wrong."""

from pathlib import Path

from cutopt.jobfile._build import build_job
from cutopt.jobfile._catalogue import PlankEntry, plank_entries, with_catalogue
from cutopt.jobfile._checks import check_values
from cutopt.jobfile._read import read_values
from cutopt.jobfile._report import Report, visible
from cutopt.jobfile._table import LengthReader
from cutopt.jobfile._text import contents, document
from cutopt.jobfile._values import JobValues
from cutopt.model.job import Job

__all__ = ["parse_job", "read_job"]


def read_job(path: Path) -> Job:
    """Return the job of a TOML file; a file of planks that it names is looked for in its folder.

    Raises JobError with every problem found, UnsupportedError when the job asks for what is not built.
    """
    where = visible(str(path))
    return parse_job(contents(path, Report(where)), where, path.parent)


def parse_job(text: str | bytes, where: str = "job file", folder: Path = Path()) -> Job:
    """Return the job of a TOML text (bytes are UTF-8); ``where`` names it in messages.

    A file of planks that it names is looked for in ``folder``. Places count from 1: ``room[2].rows[1].length`` is
    the first row of the second room.
    Raises JobError with every problem found, UnsupportedError when the job asks for what is not built.
    """
    report = Report(where)
    values = read_values(document(text, report), LengthReader(report))
    check_values(values, report)
    entries = _planks(values, folder, report)
    report.raise_if_any()
    return with_catalogue(build_job(values, where), entries)


def _planks(values: JobValues, folder: Path, report: Report) -> tuple[PlankEntry, ...]:
    """Return the planks of the file that the job names, if any."""
    if values.estimator.planks is None:
        return ()
    path = folder / values.estimator.planks
    rooms = [room for _, room in values.rooms]
    return plank_entries(path, values.unit, rooms, report.beside(visible(str(path))))
