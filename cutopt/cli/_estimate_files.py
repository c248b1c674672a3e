"""What an estimate is handed over as: words, tables, pictures and the client's page."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from cutopt.cli._errors import UnusableError
from cutopt.cli._output import Target
from cutopt.drawing.charts import loss_drawing, loss_svg, study_svg, waste_svg
from cutopt.errors import Problem
from cutopt.estimate import same_order, together
from cutopt.model.estimate import Figure
from cutopt.model.grids import Grid
from cutopt.model.papers import PaperName, usual_paper
from cutopt.model.portfolio import PortfolioTotals
from cutopt.model.words import Block
from cutopt.papers import render_client
from cutopt.pipeline import Estimate
from cutopt.sheet.estimate import (
    client_words,
    figure_words,
    figures_words,
    grid_csv,
    loss_grid,
    margin_grid,
    margin_words,
    order_grid,
    portfolio_grids,
    portfolio_words,
    render_estimate,
    risk_grid,
    risk_words,
    short_words,
    study_grid,
    study_words,
    timed_words,
    waste_grid,
    waste_table_words,
)
from cutopt.workbook import render_workbook

__all__ = ["Told", "printed", "written"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What is told: estimates of jobs, or the totals of a portfolio; and the exit status it comes to.

    ``made`` says with what it can be made again; ``timed`` counts plans that the clock ended.
    """

    estimates: tuple[Estimate, ...] = ()
    totals: PortfolioTotals | None = None
    status: int = 0
    made: str = ""
    timed: int = 0

    @property
    def nothing(self) -> bool:
        """Whether there is nothing to tell."""
        return not self.estimates and self.totals is None

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The figures of all jobs that have one."""
        return tuple(one.figure for one in self.estimates if one.figure is not None)

    @property
    def orders(self) -> tuple[Figure, ...]:
        """What is ordered in all: jobs with the same plank on the same terms are ordered together."""
        alike: list[list[Figure]] = []
        for figure in self.figures:
            for group in alike:
                if same_order(group[0], figure):
                    group.append(figure)
                    break
            else:
                alike.append([figure])
        return tuple(together("All jobs", [(one, 1) for one in group]) for group in alike)


def printed(told: Told, *, quiet: bool) -> str:
    """Return what is printed: all of it, or a line a job."""
    words = short_words(told.figures, told.totals) if quiet else _words(told)
    return render_estimate((*words, *timed_words(told.timed)))


def _words(told: Told) -> Iterator[Block]:
    """Yield everything that is told, in the order it is read."""
    if told.totals is not None:
        yield from portfolio_words(told.totals)
    if len(told.figures) > 1:
        yield from figures_words(told.figures, told.orders)
    for one in told.estimates:
        yield from _estimate_words(one, alone=len(told.estimates) == 1)


def _estimate_words(one: Estimate, *, alone: bool) -> Iterator[Block]:
    unit = one.job.unit
    if one.figure is not None and alone:
        yield from figure_words(one.figure)
    if one.margins:
        yield from margin_words(one.margins, unit)
    if one.risk is not None and one.figure is not None:
        yield from risk_words(one.risk, one.figure)
    if one.study is not None:
        yield from study_words(one.study, unit)
    if one.cells:
        yield from waste_table_words(one.cells, unit)


def written(target: Target, told: Told, paper: PaperName | None) -> list[tuple[Target, str | bytes]]:
    """Return what goes to the files of one option: one file, or more with names of their own."""
    match target.option:
        case "--xlsx":
            return [(target, render_workbook(tuple(_grids(told))))]
        case "--csv":
            return _named(target, [(grid.name, grid_csv(grid)) for grid in _grids(told)])
        case "--svg":
            return _named(target, list(_pictures(told)))
        case _:
            return [(target, _client(told, paper))]


def _named(target: Target, results: Sequence[tuple[str, str]]) -> list[tuple[Target, str | bytes]]:
    """Return results, the first for the file itself, the others with what they are in the name."""
    if target.is_stdout:
        return [(target, results[0][1])] if results else []
    path = Path(target.file)
    found: list[tuple[Target, str | bytes]] = []
    for nth, (name, text) in enumerate(results):
        own = path if nth == 0 else path.with_name(f"{path.stem}-{name.replace(' ', '-')}{path.suffix}")
        found.append((replace(target, file=str(own)), text))
    return found


def _grids(told: Told) -> Iterator[Grid]:
    if told.totals is not None:
        yield from portfolio_grids(told.totals)
        return
    yield order_grid(told.figures)
    if len(told.figures) > 1:
        yield replace(order_grid(told.orders), name="ordered together")
    yield loss_grid(told.figures)
    for nth, one in enumerate(told.estimates, 1):
        for grid in _own_grids(one):
            yield grid if len(told.estimates) == 1 else replace(grid, name=f"{grid.name} {nth}")


def _own_grids(one: Estimate) -> Iterator[Grid]:
    if one.margins:
        yield margin_grid(one.margins, one.job.unit)
    if one.risk is not None and one.figure is not None:
        yield risk_grid(one.risk, one.figure)
    if one.study is not None:
        yield study_grid(one.study, one.job.unit)
    if one.cells:
        yield waste_grid(one.cells, one.job.unit)


def _pictures(told: Told) -> Iterator[tuple[str, str]]:
    many = len(told.estimates) > 1
    for nth, one in enumerate(told.estimates, 1):
        after = f" {nth}" if many else ""
        if one.study is not None:
            yield f"study{after}", study_svg(one.study, one.job.unit)
        if one.cells:
            yield f"rooms{after}", waste_svg(one.cells, one.job.unit)
        if one.figure is not None:
            yield f"losses{after}", loss_svg(one.figure)


def _client(told: Told, paper: PaperName | None) -> bytes:
    """Return the client's page of the one job there is; without a figure there is none."""
    for one in told.estimates:
        if one.figure is not None:
            page = client_words(one.figure, one.margins, one.risk, one.job, made=told.made)
            return render_client(page, (loss_drawing(one.figure),), paper or usual_paper(one.job.unit))
    raise UnusableError(Problem(what="the job has no figure to write a page of", where="--pdf"))
