"""What a person takes to the job: the printed sheet, the pieces as a table, and the work row by row as data."""

from cutopt.sheet._csv import render_csv
from cutopt.sheet._onsite import OnSite, enough, render_onsite
from cutopt.sheet._order_csv import render_order
from cutopt.sheet._papers import paper_words
from cutopt.sheet._sections import product_first
from cutopt.sheet._sheet import BARE, Besides, render_sheet, summary
from cutopt.sheet._stock import verdict
from cutopt.sheet._text import clean, count, printed
from cutopt.sheet._work import work_of

__all__ = [
    "BARE",
    "Besides",
    "OnSite",
    "clean",
    "count",
    "enough",
    "paper_words",
    "printed",
    "product_first",
    "render_csv",
    "render_onsite",
    "render_order",
    "render_sheet",
    "summary",
    "verdict",
    "work_of",
]
