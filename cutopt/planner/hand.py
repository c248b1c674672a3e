"""Parts in hand put to use at the end: pieces planned from fresh planks cut from parts where that opens fewer.

The search uses parts with a factory end from the start, where it can (``construct``). What it leaves, or parts
of a floor that is planned without them, is done here: plank by plank, those whose pieces all find a place in
the parts are not opened.
"""

from collections import defaultdict
from dataclasses import dataclass, replace

from cutopt.model.plan import Bound, Cutting, Laid, Part, PieceCut
from cutopt.planner.improve import peak_waiting
from cutopt.planner.parts import fresh_planks, gives_end, gives_starter, is_idle
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["put_parts", "use_parts", "with_parts"]

_Place = tuple[int, int]
"""A piece by its run and its place there, both from 0."""


def use_parts(problem: Problem, cutting: Cutting, least: int = 0) -> Cutting:
    """Return a cutting planned without the parts in hand, parts in place of fresh planks, and a bound on these.

    The bound: put a fresh plank in place of every part, and any plan becomes one without parts; so each part
    that some piece fits saves a plank at the most, and of those that a plan knows only as many as may wait
    are used. At ``least`` so many are fresh by another bound.
    """
    shortest = min(problem.shortest_starter, problem.shortest_end, problem.shortest_single)
    of_use = [part for part in problem.hand if part.length + 2 * problem.steepest >= shortest]
    idle = sum(map(is_idle, of_use))
    known = min(len(of_use) - idle, len(of_use) if (cap := problem.rules.max_waiting) is None else cap)
    bound, planks = cutting.bound, max(least, cutting.bound.planks - idle - known)
    if planks < bound.planks:
        how = "if each part in hand saves a plank" if planks > least else "with every part in hand used up"
        reason = f"{how}, still {planks} (without parts {bound.planks}: {bound.reason})"
        cutting = replace(cutting, bound=Bound(planks=planks, reason=reason))
    return put_parts(problem, cutting)


def put_parts(problem: Problem, cutting: Cutting) -> Cutting:
    """Return the cutting with parts in hand in place of fresh planks as far as pieces find room in them.

    Its bound holds with the parts. No more planks wait than may.
    """
    laid = with_parts(problem, cutting.runs)
    proven = cutting.bound.proven or fresh_planks(laid) == cutting.bound.planks
    return replace(
        cutting,
        runs=laid,
        bound=replace(cutting.bound, proven=proven),
        note="" if proven and not cutting.bound.proven else cutting.note,
    )


def with_parts(problem: Problem, laid: Laid) -> Laid:
    """Return what is laid with parts in hand in place of fresh planks as far as pieces find room in them."""
    if not problem.hand:
        return laid
    bench = _Bench(problem, laid)
    for number in bench.planks_by_need():
        bench.spare(number)
    return bench.laid()


@dataclass(slots=True)
class _Room:
    """What is left of a part: its length, and which pieces it can give besides single ones."""

    length: Ticks
    starter: bool
    end: bool
    cuts: int = 0


class _Bench:
    """The planks of a cutting and the parts in hand, while pieces move from the one to the other."""

    def __init__(self, problem: Problem, laid: Laid) -> None:
        self._problem = problem
        self._pieces = [list(pieces) for pieces in laid]
        self._places: defaultdict[int, list[_Place]] = defaultdict(list)
        for run, pieces in enumerate(laid):
            for nth, piece in enumerate(pieces):
                self._places[piece.plank].append((run, nth))
        self._rooms = [
            _Room(part.length, gives_starter(part, handed=True), gives_end(part, handed=True))
            for part in problem.hand
        ]
        for nth in range(len(self._rooms)):
            for place in self._places.pop(-1 - nth, ()):
                self._take(nth, place)

    def laid(self) -> Laid:
        """Return the pieces of every run with the planks they now come from."""
        return tuple(map(tuple, self._pieces))

    def planks_by_need(self) -> list[int]:
        """Return the fresh planks that parts might stand in for, those with least to cut from them first.

        A plank laid whole is none, nor one that is cut along its length.
        """
        ripped = {piece.beside for pieces in self._pieces for piece in pieces if piece.beside is not None}
        need = {
            number: sum(self._piece(place).length for place in places)
            for number, places in self._places.items()
            if not any(
                place in ripped or self._piece(place).beside or self._piece(place).part is Part.WHOLE
                for place in places
            )
        }
        return sorted(need, key=lambda number: (need[number], number))

    def spare(self, number: int) -> bool:
        """Cut all pieces of a plank from parts, if they find room there and no more planks wait than may."""
        places = self._places[number]
        before = [replace(room) for room in self._rooms]
        for place in sorted(places, key=lambda place: -self._piece(place).length):
            found = self._best(place)
            if found is None:
                break
            self._take(found, place)
        else:
            most = self._problem.rules.max_waiting
            if most is None or peak_waiting(self._problem, self.laid()) <= most:
                return True
        self._rooms = before
        for run, nth in places:
            self._pieces[run][nth] = replace(self._pieces[run][nth], plank=number)
        return False

    def _piece(self, place: _Place) -> PieceCut:
        return self._pieces[place[0]][place[1]]

    def _best(self, place: _Place) -> int | None:
        """Return the shortest part that has room for a piece and the factory end it needs.

        Single pieces need none and lie between those that do: they take no end away.
        """
        piece, field = self._piece(place), self._problem.runs[place[0]].field
        fitting = [
            nth
            for nth, room in enumerate(self._rooms)
            if room.length >= piece.length + (self._problem.loss if room.cuts else 0)
            and self._has_end(room, piece)
            and self._problem.hand[nth].field in {"", field}
        ]
        return min(fitting, key=lambda nth: (self._rooms[nth].length, nth), default=None)

    def _has_end(self, room: _Room, piece: PieceCut) -> bool:
        if piece.part is Part.SINGLE:
            return True
        if not self._problem.handed:
            return room.starter or room.end
        return room.starter if piece.part is Part.STARTER else room.end

    def _take(self, nth: int, place: _Place) -> None:
        piece, room = self._piece(place), self._rooms[nth]
        room.length -= piece.length + (self._problem.loss if room.cuts else 0)
        room.cuts += 1
        if piece.part is not Part.SINGLE:
            if room.starter and (piece.part is Part.STARTER or not room.end):
                room.starter = False
            else:
                room.end = False
        self._pieces[place[0]][place[1]] = replace(piece, plank=-1 - nth)
