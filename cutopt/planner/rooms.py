"""Rooms planned one by one, where no plank may be shared between them, and put together again."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import groupby

from cutopt.model.floor import Floor, Run
from cutopt.model.plan import Bound, Cutting, HandPart, PieceCut
from cutopt.planner.limits import Clock
from cutopt.planner.parts import fresh_planks

__all__ = ["room_by_room"]

# Rooms told by name where some are not proven.
NAMED = 4

Parts = tuple[HandPart, ...]
Planner = Callable[[Floor, Parts, Clock], Cutting]


def room_by_room(floor: Floor, hand: Sequence[HandPart], clock: Clock, plan: Planner) -> Cutting:
    """Return the cuttings that ``plan`` makes of each room by itself, as one.

    Parts in hand that may be used in any room are for the first that uses them. The bound is the sum of the
    rooms', less one for each of these that a later room was not offered: it saves a plank there at the most.
    """
    rooms = [_field(floor, name, runs) for name, runs in groupby(floor.runs, key=lambda run: run.field)]
    if hand:
        return _with_hand(rooms, hand, clock, plan)
    # Rooms that are alike are planned once: in a tower of equal flats the time goes to one of them.
    alike = {_but_for_names(room): room for room in reversed(rooms)}
    cuttings = {
        shape: plan(room, (), clock.share(len(alike) - nth))
        for nth, (shape, room) in enumerate(reversed(alike.items()))
    }
    return _joined([(room.runs[0].field, cuttings[_but_for_names(room)]) for room in rooms])


def _with_hand(rooms: list[Floor], hand: Sequence[HandPart], clock: Clock, plan: Planner) -> Cutting:
    known: dict[tuple[Floor, Parts], Cutting] = {}
    shapes = [_but_for_names(room) for room in rooms]
    cuttings: list[tuple[str, Cutting]] = []
    gone: set[int] = set()
    missed = 0
    for nth, (room, shape) in enumerate(zip(rooms, shapes, strict=True)):
        name = room.runs[0].field
        own = [k for k, part in enumerate(hand) if k not in gone and part.field in {"", name}]
        offered = tuple(replace(hand[k], field="") for k in own)
        if (shape, offered) not in known:
            known[shape, offered] = plan(room, offered, clock.share(len(set(shapes[nth:]))))
        cuttings.append((name, _numbered(known[shape, offered], own)))
        missed = sum(not hand[k].field for k in gone)
        gone |= {-1 - piece.plank for run in cuttings[-1][1].runs for piece in run if piece.plank < 0}
    return _joined(cuttings, missed)


def _field(floor: Floor, name: str, runs: Iterable[Run]) -> Floor:
    """Return one field of a floor: a room, or rooms whose rows run through."""
    return Floor(runs=tuple(runs), down=tuple(run for run in floor.down if run.field == name))


def _but_for_names(room: Floor) -> Floor:
    """Return a room as any other of its shape would be: its own names and its place among the rows left out."""
    fields = list(dict.fromkeys(run.field for run in room.runs))
    first = room.runs[0].row
    return Floor(
        runs=tuple(
            replace(run, room="", field=str(fields.index(run.field)), row=run.row - first)
            for run in room.runs
        ),
        down=tuple(replace(run, field=str(fields.index(run.field))) for run in room.down),
    )


def _numbered(cutting: Cutting, own: Sequence[int]) -> Cutting:
    """Return the cutting of a room with parts by their numbers in the whole hand."""
    if not own:
        return cutting
    runs = tuple(
        tuple(replace(piece, plank=-1 - own[-1 - piece.plank]) if piece.plank < 0 else piece for piece in run)
        for run in cutting.runs
    )
    return replace(cutting, runs=runs)


def _joined(rooms: list[tuple[str, Cutting]], missed: int = 0) -> Cutting:
    """Put rooms planned by themselves together, by their names; no plank is shared between them."""
    runs: list[tuple[PieceCut, ...]] = []
    used = 0
    for _, cutting in rooms:
        before = len(runs)
        fresh = {piece.plank for run in cutting.runs for piece in run if piece.plank >= 0}
        shift = used + 1 - min(fresh, default=0)
        runs += [tuple(_after(piece, before, shift) for piece in run) for run in cutting.runs]
        used = max(fresh) + shift if fresh else used
    bound = max(0, sum(cutting.bound.planks for _, cutting in rooms) - missed)
    unproven = [name for name, cutting in rooms if not cutting.bound.proven]
    return Cutting(
        runs=tuple(runs),
        bound=Bound(
            planks=bound,
            reason=f"each room by itself, offcuts staying in their room: {bound} planks in all"
            + (f"; fewest in each but {_named(unproven)}" if unproven else ""),
            proven=not unproven and (not missed or bound == fresh_planks(runs)),
        ),
        note=next((cutting.note for _, cutting in rooms if cutting.note), ""),
    )


def _after(piece: PieceCut, runs: int, planks: int) -> PieceCut:
    """Return a piece of a room planned by itself as it stands after so many runs and planks of others.

    Parts in hand keep their numbers.
    """
    beside = (piece.beside[0] + runs, piece.beside[1]) if piece.beside else None
    return replace(piece, plank=piece.plank + planks if piece.plank >= 0 else piece.plank, beside=beside)


def _named(rooms: list[str]) -> str:
    """Return rooms by name, the first few of them."""
    named = ", ".join(f'"{name}"' for name in rooms[:NAMED])
    return named if len(rooms) <= NAMED else f"{named} and {len(rooms) - NAMED} more"
