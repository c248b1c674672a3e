"""Many units: every type by itself, what is laid from one heap, and the orders of floors, buildings and phases."""

from collections import Counter
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from cutopt.estimate import figure, same_order, together
from cutopt.model.estimate import Failed, Figure, Outcome, Tally, Task
from cutopt.model.job import Job
from cutopt.model.portfolio import Group, Level, Portfolio, PortfolioTotals, Storey, TypeResult
from cutopt.pipeline._estimate import PlanAll, Search

__all__ = ["Heap", "heaps", "laid_alike", "work_out"]

_LEVELS = (Level.UNIT, Level.FLOOR, Level.BUILDING, Level.PHASE)

_Place = tuple[str, ...]
"""Phase, building and floor; of a building or a phase the first of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Parcel:
    """What is laid by itself: one type of unit on a floor, or all that shares a heap of offcuts."""

    place: _Place
    figure: Figure
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Heap:
    """Units laid from one heap of offcuts: where, and the jobs, each with how many of it."""

    place: _Place
    units: tuple[tuple[Job, int], ...]

    def task(self, search: Search) -> Task:
        (job, times), *beside = self.units
        task = search.task(" / ".join(self.place), job)
        return replace(task, times=times, beside=tuple(beside))

    def figure(self, tally: Tally) -> Figure:
        """Return what the heap comes to."""
        return figure(self.units[0][0], tally)


def work_out(portfolio: Portfolio, search: Search, plan_all: PlanAll) -> PortfolioTotals:
    """Return what a portfolio comes to.

    Types that cannot be planned are told, and left out of the sums; so is a heap that cannot, whole.
    """
    jobs = {one.name: one.job for one in portfolio.types if one.job is not None}
    shared = heaps(portfolio)
    outcomes = plan_all(
        [*(search.task(name, job) for name, job in jobs.items()), *(heap.task(search) for heap in shared)]
    )
    alone = dict(zip(jobs, outcomes, strict=False))
    failures = {one.name: one.failed for one in portfolio.types} | {
        name: found for name, found in alone.items() if isinstance(found, Failed)
    }
    tallies = {name: found for name, found in alone.items() if isinstance(found, Tally)}
    figures = {name: figure(jobs[name], found) for name, found in tallies.items()}
    counts = _counts(portfolio.storeys)
    types = tuple(
        TypeResult(
            name=one.name,
            count=counts[one.name],
            figure=figures.get(one.name),
            tally=tallies.get(one.name),
            failed=failures.get(one.name),
        )
        for one in portfolio.types
    )
    if portfolio.share is Level.UNIT:
        parcels = tuple(_unit_parcels(portfolio.storeys, figures))
    else:
        parcels = tuple(
            _Parcel(place=heap.place, figure=heap.figure(found), count=1)
            for heap, found in zip(shared, _shared(shared, outcomes[len(jobs) :], jobs, tallies), strict=True)
            if isinstance(found, Tally)
        )
    sums = _Sums(portfolio=portfolio, parcels=parcels, missing=frozenset(set(counts) - set(figures)))
    return PortfolioTotals(
        title=portfolio.title, types=types, groups=tuple(sums.groups()), whole=sums.whole()
    )


def _shared(
    shared: Sequence[Heap], outcomes: Sequence[Outcome], jobs: dict[str, Job], tallies: dict[str, Tally]
) -> Iterator[Outcome]:
    """Yield what heaps come to: never more planks than their units laid each by itself, which is a plan too."""
    alone = {laid_alike(jobs[name]): tally for name, tally in tallies.items()}
    for heap, found in zip(shared, outcomes, strict=True):
        apart = [(alone[laid_alike(job)], times) for job, times in heap.units if laid_alike(job) in alone]
        if isinstance(found, Tally) and len(apart) == len(heap.units):
            yield min(found, _sum(apart, found.bound), key=lambda tally: tally.planks)
        else:
            yield found


def laid_alike(job: Job) -> Hashable:
    """Return what decides how a job is laid, whatever it is called and whatever is ordered for it."""
    return job.plank, job.rules, job.rooms, job.doorways, job.stops, job.layout


def _sum(parts: Sequence[tuple[Tally, int]], bound: int) -> Tally:
    """Return what units laid each by itself come to together."""

    def total(name: str) -> int:
        return sum(getattr(tally, name) * times for tally, times in parts)

    return Tally(
        planks=total("planks"),
        bound=bound,
        cuts=total("cuts"),
        pieces=total("pieces"),
        peak_waiting=max(tally.peak_waiting for tally, _ in parts),
        net2=total("net2"),
        slants2=total("slants2"),
        rips2=total("rips2"),
        kerf2=total("kerf2"),
        ends2=total("ends2"),
    )


def heaps(portfolio: Portfolio) -> tuple[Heap, ...]:
    """Return what is laid from one heap of offcuts; nothing where every unit keeps its own."""
    if portfolio.share is Level.UNIT:
        return ()
    return tuple(_heaps_of(portfolio, {one.name: one.job for one in portfolio.types if one.job is not None}))


def _counts(storeys: Sequence[Storey]) -> Counter[str]:
    found: Counter[str] = Counter()
    for storey in storeys:
        found.update(dict(storey.units))
    return found


def _place(storey: Storey, level: Level) -> _Place:
    """Return where a storey is, at a level: a building that is laid in two phases is one in each."""
    return (storey.phase, storey.building, storey.floor)[: _parts(level)]


def _parts(level: Level) -> int:
    return {Level.PHASE: 1, Level.BUILDING: 2}.get(level, 3)


def _unit_parcels(storeys: Sequence[Storey], figures: dict[str, Figure]) -> Iterator[_Parcel]:
    for storey in storeys:
        for name, count in storey.units:
            if name in figures:
                yield _Parcel(place=_place(storey, Level.FLOOR), figure=figures[name], count=count)


def _heaps_of(portfolio: Portfolio, jobs: dict[str, Job]) -> Iterator[Heap]:
    """Yield what shares offcuts: units of one place with the same plank and rules, types in their order."""
    by_place: dict[_Place, Counter[str]] = {}
    for storey in portfolio.storeys:
        by_place.setdefault(_place(storey, portfolio.share), Counter()).update(dict(storey.units))
    for place, units in by_place.items():
        kinds: dict[object, list[tuple[Job, int]]] = {}
        for one in portfolio.types:
            job = jobs.get(one.name)
            if job is not None and units[one.name]:
                kinds.setdefault((job.plank, job.rules, job.order.culls), []).append((job, units[one.name]))
        yield from (Heap(place=place, units=_with_all_spare(alike)) for alike in kinds.values())


def _with_all_spare(units: Sequence[tuple[Job, int]]) -> tuple[tuple[Job, int], ...]:
    """Return units whose first job, which the order goes by, keeps the spare planks of all."""
    (first, times), *others = units
    spare = sum(job.order.spare * count for job, count in units)
    return (replace(first, order=replace(first.order, spare=spare)), times), *others


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sums:
    """Orders of whatever lies within a place."""

    portfolio: Portfolio
    parcels: tuple[_Parcel, ...]
    missing: frozenset[str]

    def groups(self) -> Iterator[Group]:
        """Yield floors, then buildings, then phases, each in the order told; places without a name are none."""
        for level in (Level.FLOOR, Level.BUILDING, Level.PHASE):
            places = dict.fromkeys(_place(storey, level) for storey in self.portfolio.storeys)
            yield from (self._group(level, place) for place in places if place[-1])

    def whole(self) -> Group:
        """Return all of it."""
        return self._group(Level.PHASE, ())

    def _group(self, level: Level, place: _Place) -> Group:
        inside = [one for one in self.portfolio.storeys if _place(one, Level.FLOOR)[: len(place)] == place]
        parcels = [one for one in self.parcels if one.place[: len(place)] == place]
        counts = _counts(inside)
        lots = dict(self.portfolio.lots)
        shared = _LEVELS.index(level) >= _LEVELS.index(self.portfolio.share)
        orders = _orders(parcels, self.portfolio.title) if shared else ()
        bought = self._bought(level, parcels)
        return Group(
            level=level,
            name=", ".join(part for part in place if part) or self.portfolio.title,
            units=sum(counts.values()),
            orders=orders,
            boxes=None if bought is None else sum(order.boxes * times for order, times in bought),
            boxes_each=() if bought is None else tuple(_boxes_like(order, bought) for order in orders),
            price=None if bought is None else _price(bought),
            lot=lots.get(place[0], "") if place and level is Level.PHASE else "",
            missing=tuple(one.name for one in self.portfolio.types if one.name in self.missing & set(counts)),
        )

    def _bought(self, level: Level, parcels: Sequence[_Parcel]) -> list[tuple[Figure, int]] | None:
        """Return the orders of a place, each rounded up by itself, and how often; ``None`` where it is part of one."""
        rounded = max(self.portfolio.round_boxes, self.portfolio.share, key=_LEVELS.index)
        if _LEVELS.index(level) < _LEVELS.index(rounded):
            return None
        if rounded is Level.UNIT:
            return [(one.figure, one.count) for one in parcels]
        apart: dict[_Place, list[_Parcel]] = {}
        for one in parcels:
            apart.setdefault(one.place[: _parts(rounded)], []).append(one)
        return [(order, 1) for part in apart.values() for order in _orders(part, "")]


def _boxes_like(order: Figure, bought: Sequence[tuple[Figure, int]]) -> int:
    """Return the boxes bought of what an order is of."""
    return sum(one.boxes * times for one, times in bought if same_order(one, order))


def _price(bought: Sequence[tuple[Figure, int]]) -> Decimal | None:
    """Return what orders cost with tax, where all have a price."""
    total = Decimal(0)
    for order, times in bought:
        if order.price is None:
            return None
        total += (order.price + (order.tax or 0)) * times
    return total


def _orders(parcels: Sequence[_Parcel], title: str) -> tuple[Figure, ...]:
    """Return what is ordered for some parcels, one order for each plank on the same terms."""
    alike = _gathered(parcels, lambda one, other: same_order(one.figure, other.figure))
    return tuple(together(title, [(one.figure, one.count) for one in order]) for order in alike)


def _gathered(
    parcels: Sequence[_Parcel], same: Callable[[_Parcel, _Parcel], bool]
) -> Sequence[Sequence[_Parcel]]:
    found: list[list[_Parcel]] = []
    for parcel in parcels:
        for one in found:
            if same(one[0], parcel):
                one.append(parcel)
                break
        else:
            found.append([parcel])
    return found
