"""What an estimator reads: figures, margins, studies, risks and tables in words, and the same for spreadsheets."""

from collections.abc import Iterable

from cutopt.model.words import Block
from cutopt.sheet._text import printed
from cutopt.sheet.estimate._client import client_words
from cutopt.sheet.estimate._figure import figure_words
from cutopt.sheet.estimate._grids import grid_csv, loss_grid, margin_grid, order_grid, risk_grid
from cutopt.sheet.estimate._grids_of_many import portfolio_grids, study_grid, waste_grid
from cutopt.sheet.estimate._margins import margin_words
from cutopt.sheet.estimate._portfolio import portfolio_words
from cutopt.sheet.estimate._risk import risk_words
from cutopt.sheet.estimate._rooms import waste_table_words
from cutopt.sheet.estimate._several import figures_words
from cutopt.sheet.estimate._short import short_words, timed_words
from cutopt.sheet.estimate._study import study_words

__all__ = [
    "client_words",
    "figure_words",
    "figures_words",
    "grid_csv",
    "loss_grid",
    "margin_grid",
    "margin_words",
    "order_grid",
    "portfolio_grids",
    "portfolio_words",
    "render_estimate",
    "risk_grid",
    "risk_words",
    "short_words",
    "study_grid",
    "study_words",
    "timed_words",
    "waste_grid",
    "waste_table_words",
]


def render_estimate(blocks: Iterable[Block]) -> str:
    """Return words as plain lines of at most 80 columns, ended by a line feed."""
    return "\n".join(printed(blocks)).lstrip("\n") + "\n"
