"""Plans as JSON files: the text a plan is kept in, and the way back, every problem with its place."""

from cutopt.planfile._laid import LaidFile, read_laid
from cutopt.planfile._read import read_plan
from cutopt.planfile._write import write_plan

__all__ = ["LaidFile", "read_laid", "read_plan", "write_plan"]
