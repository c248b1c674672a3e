"""The job file: TOML in, an immutable Job out, every problem named with its place."""

from cutopt.jobfile._open import parse_job, read_job
from cutopt.jobfile._stock import read_stock

__all__ = ["parse_job", "read_job", "read_stock"]
