"""Where one is with a plan, and how it goes on: what is left, what is in hand, whether it is enough."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cutopt.model.floor import Run
from cutopt.model.hand import LotShare
from cutopt.model.plan import Plan
from cutopt.model.work import RestWork, RowWork
from cutopt.sheet._cautions import cautions
from cutopt.sheet._leftovers import leftovers
from cutopt.sheet._rows import cut_sheet
from cutopt.sheet._stock import boxes_to_buy, lot_rows, verdict
from cutopt.sheet._text import WIDTH, clean, count, heading, labels, printed, shorten, wrap
from cutopt.sheet._work import rests_to_lay, rows_to_lay

__all__ = ["OnSite", "enough", "render_onsite"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OnSite:
    """Where a plan stands: ``laid`` runs stay, ``fresh`` planks are still to open, at least ``fewest``.

    ``have`` whole planks are in hand, ``None`` where nobody counted; ``ordered`` are the boxes of the plan gone
    on with. ``same``: it goes on as it was. ``shares`` are what is taken of each lot.
    """

    plan: Plan
    laid: frozenset[Run]
    fresh: int
    fewest: int
    have: int | None
    ordered: int | None = None
    same: bool = False
    notes: tuple[str, ...] = ()
    shares: tuple[LotShare, ...] = ()


def render_onsite(here: OnSite, marks: dict[int, list[str]], *, brief: bool) -> str:
    """Return what to know now: enough or short, what waits, the next row; then, unless ``brief``, all rows left.

    ``marks`` are what a best-effort plan breaks, by row. Plain lines of at most 80 columns.
    """
    plan = here.plan
    lines = [
        shorten(plan.title, WIDTH) or "Floor plan",
        "=" * WIDTH,
        *wrap(enough(here)),
        *heading("Where you are"),
        *printed([labels(_state(here))]),
        *_waiting(here),
        *_next_row(here),
    ]
    lines += [line for text in here.notes for line in wrap(clean(text), first="  - ")]
    if not brief:
        lines += [*cut_sheet(plan, marks, here.laid), *printed([*leftovers(plan), *cautions(plan)])]
    return "\n".join(lines) + "\n"


def enough(here: OnSite) -> str:
    """Return on one line whether what is in hand is enough, and how sure that is."""
    return verdict(_shares(here), here.fewest, here.plan.plank.per_box)


def _shares(here: OnSite) -> tuple[LotShare, ...]:
    return here.shares or (LotShare(lot="", fresh=here.fresh, have=here.have),)


def _state(here: OnSite) -> Iterator[tuple[str, str]]:
    rows = {row.run.row for row in here.plan.rows}
    left = {row.run.row for row in here.plan.rows if row.run not in here.laid}
    yield "rows", f"{len(rows) - len(left)} laid or begun, {len(left)} left"
    opened, spoiled = here.plan.totals.planks - here.fresh, len(here.plan.spoiled)
    lost = f" ({spoiled} of them spoiled)" if spoiled else ""
    yield "planks", f"{opened} opened so far{lost}, {here.fresh} fresh ones to come"
    if here.ordered is not None and here.have is not None:
        boxes = boxes_to_buy(_shares(here), here.plan.plank.per_box)
        buy = count(boxes, "box", "boxes") if boxes else "nothing"
        yield "boxes", f"{here.ordered} in the order before; still to buy: {buy}"
    yield from lot_rows(here.shares)
    yield (
        "waste",
        f"{here.plan.totals.waste_factor_percent:.1f} % (planks and parts cut over net area, spoiled ones too)",
    )
    if here.same:
        yield "plan", "goes on as it was"


def _waiting(here: OnSite) -> list[str]:
    """Return the part-used planks, and strips kept, that wait for a place."""
    laid = {piece.id for row in here.plan.rows if row.run in here.laid for piece in row.pieces}
    rows = [row for rest in rests_to_lay(here.plan) if (row := _rest(rest, laid))]
    return [*heading("Waiting"), *printed([labels(rows)])] if rows else []


def _rest(rest: RestWork, laid: set[str]) -> tuple[str, str] | None:
    """Return what waits of a plank and where it goes; ``None`` for one untouched or used up."""
    begun = rest.beside in laid if rest.beside else not laid.isdisjoint(rest.pieces)
    to_come = [nth for nth, piece in enumerate(rest.pieces) if piece not in laid]
    if not begun or not to_come:
        return None
    places = ", then ".join(rest.places[nth] for nth in to_come)
    length = rest.lengths[to_come[0]]
    return rest.name, f"{length} left, for {places}" if length else f"for {places}"


def _next_row(here: OnSite) -> list[str]:
    names = {row.pieces[0].id.rpartition(".")[0] for row in here.plan.rows if row.run not in here.laid}
    work = next((row for row in rows_to_lay(here.plan) if row.name in names), None)
    if work is None:
        return ["", "Every row is laid."]
    return [*heading(f"Next: row {work.name}"), *_pieces(work)]


def _pieces(work: RowWork) -> Sequence[str]:
    lines = wrap(f"{work.room}, {work.size}", first="  ")
    for piece in work.pieces:
        parts = [
            piece.what,
            piece.length,
            f"plank {piece.plank}",
            piece.take,
            piece.cut,
            piece.wall,
            piece.rest,
        ]
        lines += wrap("; ".join(filter(None, parts)), first=f"  {piece.id:<6}  ")
    return lines
