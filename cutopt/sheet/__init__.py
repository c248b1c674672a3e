"""What a person takes to the job: the printed sheet, and the same pieces as a table for a spreadsheet."""

from cutopt.sheet._csv import render_csv
from cutopt.sheet._sheet import BARE, Besides, render_sheet, summary
from cutopt.sheet._text import clean, count

__all__ = ["BARE", "Besides", "clean", "count", "render_csv", "render_sheet", "summary"]
