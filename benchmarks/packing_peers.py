"""Ways to pack bins, side by side: the planner's and five others, each from sizes and a time limit to an answer.

None of the others shares code with the planner. Seconds count everything a way does, building its model included.
"""

import time
from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ortools.linear_solver import pywraplp
from ortools.sat.python import cp_model

from cutopt.model.floor import Floor, Run
from cutopt.model.job import Ends, PlankSpec, Rules
from cutopt.planner import Limits, plan_cuts

__all__ = ["METHODS", "Answer", "Instance", "area_bound", "best_fit", "first_fit", "solve"]

WORKERS = 2
LEAST_SECONDS = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    """A published instance: items in the order given, whole sizes, and the fewest bins, where known to be."""

    name: str
    capacity: int
    optimum: int
    items: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """Bins needed (``None``: no answer in time), and whether the way itself proved that fewer will not do."""

    bins: int | None
    proved: bool


@dataclass(frozen=True, slots=True)
class _Graph:
    """An arc-flow graph: nodes are filled lengths; an arc (from, to, size) puts an item (0: nothing) behind."""

    nodes: tuple[int, ...]
    arcs: tuple[tuple[int, int, int], ...]

    def grouped(self, column: int) -> dict[int, list[int]]:
        """Return the places of the arcs, by where they begin (0), end (1), or what they put (2)."""
        groups = defaultdict[int, list[int]](list)
        for place, arc in enumerate(self.arcs):
            groups[arc[column]].append(place)
        return groups


def solve(method: str, instance: Instance, seconds: float) -> tuple[Answer, float]:
    """Return what a way answers and the seconds it took."""
    start = time.perf_counter()
    answer = METHODS[method](instance, seconds)
    return answer, time.perf_counter() - start


def area_bound(instance: Instance) -> int:
    """Return the bins that the sizes fill together."""
    return -(-sum(instance.items) // instance.capacity)


def cutopt(instance: Instance, seconds: float) -> Answer:
    """Plan a floor of single-piece rows, a plank a bin, any number of planks waiting."""
    plank = PlankSpec(length=instance.capacity, width=1, per_box=1, ends=Ends.HANDED)
    rules = Rules(
        stagger=0, min_piece=instance.capacity, h_joint=0, stair_step=0, cut_step=1, max_waiting=None
    )
    runs = tuple(_row(row, item) for row, item in enumerate(instance.items, 1))
    cutting = plan_cuts(Floor(runs=runs), plank, rules, Limits(seconds=seconds))
    loads: Counter[int] = Counter()
    for item, pieces in zip(instance.items, cutting.runs, strict=True):
        if [piece.length for piece in pieces] != [item]:
            raise ValueError(f"{instance.name}: an item of {item} was laid as {pieces}")
        loads[pieces[0].plank] += item
    if max(loads.values()) > instance.capacity:
        raise ValueError(
            f"{instance.name}: a plank of {instance.capacity} was cut into {max(loads.values())}"
        )
    return Answer(len(loads), cutting.bound.proven)


def _row(row: int, length: int) -> Run:
    return Run(
        room="", field="", line=row, row=row, run=1, offset=0, length=length, width=1, area2=2 * length
    )


def first_fit(instance: Instance) -> list[list[int]]:
    """Put items, largest first, each into the first bin with room for it."""
    return _fit(instance, lambda rooms: rooms[0])


def best_fit(instance: Instance) -> list[list[int]]:
    """Put items, largest first, each into the fullest bin with room for it."""
    return _fit(instance, min)


def _fit(instance: Instance, choose: Callable[[list[tuple[int, int]]], tuple[int, int]]) -> list[list[int]]:
    bins: list[list[int]] = []
    rooms: list[int] = []
    for item in sorted(instance.items, reverse=True):
        fitting = [(room, place) for place, room in enumerate(rooms) if room >= item]
        if fitting:
            _, place = choose(fitting)
        else:
            place = len(bins)
            bins.append([])
            rooms.append(instance.capacity)
        bins[place].append(item)
        rooms[place] -= item
    return bins


def _heuristic(pack: Callable[[Instance], list[list[int]]]) -> Callable[[Instance, float], Answer]:
    """Make a way of a heuristic, proved where it needs no more bins than the sizes fill."""

    def answer(instance: Instance, _: float) -> Answer:
        bins = len(pack(instance))
        return Answer(bins, bins == area_bound(instance))

    return answer


def assignment(instance: Instance, seconds: float) -> Answer:
    """Give CP-SAT one boolean an item and bin: bins in order, the area bound, first fit as a hint."""
    start = time.perf_counter()
    hint, model = first_fit(instance), cp_model.CpModel()
    items = sorted(instance.items, reverse=True)
    used = [model.new_bool_var("") for _ in hint]
    # Bins are alike: the i-th item need go into none after the i-th.
    into = [[model.new_bool_var("") for _ in used[: nth + 1]] for nth in range(len(items))]
    for mine in into:
        model.add_exactly_one(mine)
    for place, bin_used in enumerate(used):
        load = sum(item * mine[place] for item, mine in zip(items, into, strict=True) if place < len(mine))
        model.add(load <= instance.capacity * bin_used)
    for earlier, later in pairwise(used):
        model.add_implication(later, earlier)
    model.add(sum(used) >= area_bound(instance))
    model.minimize(sum(used))
    _hint(model, items, into, used, hint)
    return _by_cp_sat(model, seconds - (time.perf_counter() - start))


def _hint(
    model: cp_model.CpModel,
    items: Sequence[int],
    into: Sequence[Sequence[cp_model.IntVar]],
    used: Sequence[cp_model.IntVar],
    bins: Sequence[Sequence[int]],
) -> None:
    """Hint a packing whole: every item's bin, and that all bins are used."""
    places = defaultdict[int, list[int]](list)
    for place, content in enumerate(bins):
        for item in content:
            places[item].append(place)
    for item, mine in zip(items, into, strict=True):
        chosen = places[item].pop(0)
        for place, variable in enumerate(mine):
            model.add_hint(variable, place == chosen)
    for variable in used:
        model.add_hint(variable, 1)


def arc_flow_cp_sat(instance: Instance, seconds: float) -> Answer:
    """Give CP-SAT the arc-flow model of Valério de Carvalho (1999)."""
    start = time.perf_counter()
    graph, demand, model = _graph(instance), Counter(instance.items), cp_model.CpModel()
    bins = model.new_int_var(area_bound(instance), len(first_fit(instance)), "")
    flows = [model.new_int_var(0, demand.get(item, len(instance.items)), "") for *_, item in graph.arcs]
    out_of, into, of_size = map(graph.grouped, range(3))
    for item, count in demand.items():
        model.add(sum(flows[arc] for arc in of_size[item]) == count)
    for node in graph.nodes:
        gain = (node == instance.capacity) - (node == 0)
        stays = sum(flows[arc] for arc in into[node]) - sum(flows[arc] for arc in out_of[node])
        model.add(stays == gain * bins)
    model.minimize(bins)
    return _by_cp_sat(model, seconds - (time.perf_counter() - start))


def _by_cp_sat(model: cp_model.CpModel, seconds: float) -> Answer:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = WORKERS
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = max(LEAST_SECONDS, seconds)
    status = solver.solve(model)
    found = status in {cp_model.OPTIMAL, cp_model.FEASIBLE}
    return Answer(round(solver.objective_value) if found else None, status == cp_model.OPTIMAL)


def arc_flow_mip(instance: Instance, seconds: float) -> Answer:
    """Give the same model to HiGHS, a solver of mixed-integer programs inside OR-Tools."""
    start = time.perf_counter()
    graph, demand = _graph(instance), Counter(instance.items)
    solver = pywraplp.Solver.CreateSolver("HIGHS")
    bins = solver.IntVar(area_bound(instance), len(first_fit(instance)), "")
    flows = [solver.IntVar(0, demand.get(item, len(instance.items)), "") for *_, item in graph.arcs]
    out_of, into, of_size = map(graph.grouped, range(3))
    for item, count in demand.items():
        solver.Add(solver.Sum(flows[arc] for arc in of_size[item]) == count)
    for node in graph.nodes:
        gain = (node == instance.capacity) - (node == 0)
        arrive, leave = ([flows[arc] for arc in arcs[node]] for arcs in (into, out_of))
        solver.Add(solver.Sum(arrive) - solver.Sum(leave) == gain * bins)
    solver.Minimize(bins)
    solver.SetNumThreads(WORKERS)
    solver.SetTimeLimit(round(1000 * max(LEAST_SECONDS, seconds - (time.perf_counter() - start))))
    status = solver.Solve()
    found = status in {solver.OPTIMAL, solver.FEASIBLE}
    return Answer(round(solver.Objective().Value()) if found else None, status == solver.OPTIMAL)


def _graph(instance: Instance) -> _Graph:
    """Build the graph: items behind one another in order of size, nodes only where some can reach."""
    capacity, reached, arcs = instance.capacity, {0}, list[tuple[int, int, int]]()
    for size, count in sorted(Counter(instance.items).items(), reverse=True):
        tails = {
            node + times * size for node in reached for times in range(min(count, (capacity - node) // size))
        }
        arcs += [(tail, tail + size, size) for tail in sorted(tails)]
        reached |= {tail + size for tail in tails}
    nodes = sorted(reached | {capacity})
    # What is lost: from each node to the next, and so to the bin's end.
    arcs += [(node, after, 0) for node, after in pairwise(nodes[1:])]
    return _Graph(tuple(nodes), tuple(arcs))


METHODS: dict[str, Callable[[Instance, float], Answer]] = {
    "cutopt": cutopt,
    "first fit": _heuristic(first_fit),
    "best fit": _heuristic(best_fit),
    "CP-SAT assignment": assignment,
    "CP-SAT arc-flow": arc_flow_cp_sat,
    "HiGHS arc-flow": arc_flow_mip,
}
