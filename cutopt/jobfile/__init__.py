"""The job file: TOML in, an immutable Job out, every problem named with its place."""

from cutopt.jobfile._catalogue import read_catalogue
from cutopt.jobfile._named import files_named
from cutopt.jobfile._open import parse_job, read_job
from cutopt.jobfile._portfolio import read_portfolio
from cutopt.jobfile._stock import read_stock
from cutopt.jobfile._vary import vary
from cutopt.jobfile.layouts import is_layout, parse_layout, read_layout

__all__ = [
    "files_named",
    "is_layout",
    "parse_job",
    "parse_layout",
    "read_catalogue",
    "read_job",
    "read_layout",
    "read_portfolio",
    "read_stock",
    "vary",
]
