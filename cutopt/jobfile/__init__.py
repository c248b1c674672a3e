"""The job file: TOML in, an immutable Job out, every problem named with its place."""

from cutopt.jobfile._catalogue import read_catalogue
from cutopt.jobfile._open import parse_job, read_job
from cutopt.jobfile._portfolio import read_portfolio
from cutopt.jobfile._stock import read_stock
from cutopt.jobfile._vary import vary

__all__ = ["parse_job", "read_catalogue", "read_job", "read_portfolio", "read_stock", "vary"]
