"""The whole floor given to CP-SAT in one plain model, to compare with: a pure function from a job to a plan.

One starter variable a run, whose domain holds the cut step and the minimum pieces; the end piece
follows from it, with one boolean for the wrap past a whole plank. One boolean a pair says that the
rest of a run's last plank gives the first piece of a run up to ``WINDOW`` rows later. Joints are
compared by their phase: the difference of two starters lies in a domain of intervals, once a plank.
Planks are the pieces less the pairs, at least as many as the area fills. No hint, no cuts of our own.

It speaks of all rules, more strictly than they are in places, so that its plans are legal but its
bound holds for this model alone: only the rest of an end piece (or single piece) is used again, and
not further than the window; runs up to a plank long are laid in one piece; starters lie on the cut
step; and where two runs have only a short stretch in common, all of their joints are kept apart.

Only random patterns laid from left to right, with offcuts free to move through the whole job: of other
jobs the answer is ``None``.
"""

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count
from math import gcd

from ortools.sat.python import cp_model

from cutopt.check import Finding, check_plan
from cutopt.layout import lay_out
from cutopt.model.floor import Run
from cutopt.model.job import Job, Lay, Pattern, Rules, ShareOffcuts
from cutopt.model.plan import Bound, Cutting, Laid, Part, PieceCut
from cutopt.numbering import number
from cutopt.units import Ticks

__all__ = ["WINDOW", "Answer", "findings", "plain_model"]

WINDOW = 6
"""How many rows an offcut may wait."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The plan found and its planks (``None``: none in time, or none in this model), and the model's own bound."""

    planks: int | None
    bound: int | None
    seconds: float
    laid: Laid | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scaled:
    """What the model is of, in the largest unit in which every length is whole."""

    runs: tuple[Run, ...]
    rules: Rules
    plank: int
    loss: int
    unit: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laying:
    """One run in the model.

    ``first`` is the length of its first piece, ``rest`` what the plank of its last piece can still give,
    ``wrap`` whether starter and end piece are more than a plank together (``None``: a single piece).
    """

    run: Run
    first: cp_model.LinearExpr
    rest: cp_model.LinearExpr
    shortest: int
    most_rest: int
    wrap: cp_model.IntVar | None

    @property
    def phase(self) -> cp_model.LinearExpr:
        """A joint's place from the field's origin."""
        return self.run.offset + self.first


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    """The plank of one run's last piece gives another's first, where ``used``."""

    giver: int
    taker: int
    used: cp_model.IntVar


def plain_model(job: Job, seconds: float, workers: int = 2) -> Answer | None:
    """Solve the plain model of a job within a time limit, building it included."""
    rules = job.rules
    told = (rules.pattern, rules.lay, rules.share_offcuts)
    if told != (Pattern.RANDOM, Lay.LEFT_TO_RIGHT, ShareOffcuts.JOB):
        return None
    start = time.perf_counter()
    floor = _scaled(job)
    model = cp_model.CpModel()
    layings = [_laying(model, floor, run) for run in floor.runs]
    pairs = list(_pairs(model, floor, layings))
    _keep_joints(model, floor, layings)
    _keep_waiting(model, floor, pairs)
    _fewest(model, floor, layings, pairs)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = max(0.1, seconds - (time.perf_counter() - start))
    status = solver.solve(model)
    took = time.perf_counter() - start
    if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return Answer(planks=None, bound=None, seconds=took)
    return Answer(
        planks=round(solver.objective_value),
        bound=math.ceil(solver.best_objective_bound - 1e-6),
        seconds=took,
        laid=_read(solver, floor, layings, pairs),
    )


def findings(job: Job, laid: Laid) -> tuple[Finding, ...]:
    """Return what the independent check holds against a plan of the model."""
    cutting = Cutting(runs=laid, bound=Bound(planks=1, reason="none"))
    return check_plan(number(lay_out(job), cutting, job, 0))


def _scaled(job: Job) -> _Scaled:
    runs, rules, plank, loss = lay_out(job).runs, job.rules, job.plank.length, job.plank.kerf + job.rules.fit
    measures = ("stagger", "min_piece", "h_joint", "stair_step", "cut_step")
    walls = ("offset", "length", "left_slant", "right_slant")
    unit = gcd(
        plank,
        loss,
        *(getattr(rules, name) for name in measures),
        *(getattr(run, name) for run in runs for name in walls),
    )
    return _Scaled(
        runs=tuple(replace(run, **{name: getattr(run, name) // unit for name in walls}) for run in runs),
        rules=replace(rules, **{name: getattr(rules, name) // unit for name in measures}),
        plank=plank // unit,
        loss=loss // unit,
        unit=unit,
    )


def _laying(model: cp_model.CpModel, floor: _Scaled, run: Run) -> _Laying:
    plank, loss = floor.plank, floor.loss
    if run.length <= plank:
        most = plank - run.length - loss
        rest = model.new_int_var(-loss, most, "")
        return _Laying(
            run=run,
            first=cp_model.LinearExpr.constant(run.length),
            rest=rest,
            shortest=run.length,
            most_rest=most,
            wrap=None,
        )
    last = (run.length - 1) % plank + 1
    starters = _starters(floor, run)
    starter = model.new_int_var_from_domain(cp_model.Domain.from_values(starters), "")
    wrap = model.new_bool_var("")
    model.add(starter >= last).only_enforce_if(wrap)
    model.add(starter < last).only_enforce_if(~wrap)
    # End piece: last - starter, and a plank more where that comes to nothing or less.
    return _Laying(
        run=run,
        first=starter,
        rest=plank - loss - (last - starter + plank * wrap),
        shortest=min(starters, default=plank),
        most_rest=plank - loss - floor.rules.min_piece,
        wrap=wrap,
    )


def _starters(floor: _Scaled, run: Run) -> list[int]:
    """Return the starters on the cut step, and a whole plank, that keep the minimum piece at both ends."""
    step, least = floor.rules.cut_step, floor.rules.min_piece
    return [
        starter
        for starter in [*range(step, floor.plank, step), floor.plank]
        if starter >= least + abs(run.left_slant)
        and (run.length - starter - 1) % floor.plank + 1 >= least + abs(run.right_slant)
    ]


def _pairs(model: cp_model.CpModel, floor: _Scaled, layings: list[_Laying]) -> Iterator[_Pair]:
    """Yield the pairs, each piece in one at most on either side; single pieces pass their plank on."""
    gives: dict[int, list[cp_model.IntVar]] = {}
    for taker, to in enumerate(layings):
        takes = []
        for giver in range(taker):
            of = layings[giver]
            if not 0 < to.run.row - of.run.row <= WINDOW or of.most_rest < to.shortest:
                continue
            used = model.new_bool_var("")
            model.add(of.rest >= to.first).only_enforce_if(used)
            if to.wrap is None:
                model.add(to.rest <= of.rest - to.first - floor.loss).only_enforce_if(used)
            takes.append(used)
            gives.setdefault(giver, []).append(used)
            yield _Pair(giver=giver, taker=taker, used=used)
        model.add_at_most_one(takes)
    for given in gives.values():
        model.add_at_most_one(given)


def _keep_joints(model: cp_model.CpModel, floor: _Scaled, layings: list[_Laying]) -> None:
    """Keep stagger, H-joint and stair-step; single pieces have no joints."""
    rules, before = floor.rules, _touching(layings)
    for last, mine in enumerate(layings):
        for middle in before[last]:
            between = layings[middle]
            _apart(model, floor, [(1, mine), (-1, between)], rules.stagger)
            for first in before[middle]:
                far = layings[first]
                if _meet(mine.run, between.run, far.run):
                    _apart(model, floor, [(1, mine), (-1, far)], rules.h_joint)
                _apart(model, floor, [(1, mine), (-2, between), (1, far)], rules.stair_step)


def _apart(model: cp_model.CpModel, floor: _Scaled, terms: list[tuple[int, _Laying]], apart: int) -> None:
    """Keep a sum of phases ``apart`` from every multiple of a plank."""
    if not apart or any(laying.wrap is None for _, laying in terms):
        return
    plank = floor.plank
    place = sum(times * laying.run.offset for times, laying in terms)
    reach = sum(abs(times) for times, _ in terms) + abs(place) // plank + 1
    domain = cp_model.Domain.from_intervals(
        [
            [turn * plank + apart, (turn + 1) * plank - apart]
            for turn in range(-reach, reach)
            if 2 * apart <= plank
        ]
    )
    phases = sum(times * laying.phase for times, laying in terms)
    model.add_linear_expression_in_domain(phases, domain)


def _touching(layings: list[_Laying]) -> list[list[int]]:
    """Return for each run the runs of the row before that it touches."""
    lines: dict[tuple[str, int], list[int]] = {}
    for index, laying in enumerate(layings):
        lines.setdefault((laying.run.field, laying.run.line), []).append(index)
    return [
        [
            before
            for before in lines.get((mine.run.field, mine.run.line - 1), [])
            if max(mine.run.offset, layings[before].run.offset)
            < min(mine.run.right, layings[before].run.right)
        ]
        for mine in layings
    ]


def _meet(*runs: Run) -> bool:
    return max(run.offset for run in runs) <= min(run.right for run in runs)


def _keep_waiting(model: cp_model.CpModel, floor: _Scaled, pairs: list[_Pair]) -> None:
    """Keep to the planks that may wait after each row."""
    if floor.rules.max_waiting is None:
        return
    waiting: dict[int, list[cp_model.IntVar]] = {}
    for pair in pairs:
        for row in range(floor.runs[pair.giver].row, floor.runs[pair.taker].row):
            waiting.setdefault(row, []).append(pair.used)
    for used in waiting.values():
        model.add(sum(used) <= floor.rules.max_waiting)


def _fewest(model: cp_model.CpModel, floor: _Scaled, layings: list[_Laying], pairs: list[_Pair]) -> None:
    area = -(-sum(run.length for run in floor.runs) // floor.plank)
    pieces = sum(
        1 if laying.wrap is None else (laying.run.length - 1) // floor.plank + 2 - laying.wrap
        for laying in layings
    )
    most = sum(run.length // floor.plank + 2 for run in floor.runs)
    planks = model.new_int_var(area, most, "planks")
    model.add(planks == pieces - sum(pair.used for pair in pairs))
    model.minimize(planks)


def _read(solver: cp_model.CpSolver, floor: _Scaled, layings: list[_Laying], pairs: list[_Pair]) -> Laid:
    """Return the pieces of each run in ticks, planks numbered as they are opened."""
    source = {pair.taker: pair.giver for pair in pairs if solver.boolean_value(pair.used)}
    fresh, last_plank, laid = count(), dict[int, int](), []
    for index, laying in enumerate(layings):
        lengths = _lengths(solver, floor, laying)
        taken = last_plank[source[index]] if index in source else next(fresh)
        planks = [taken, *(next(fresh) for _ in lengths[1:])]
        last_plank[index] = planks[-1]
        laid.append(
            tuple(
                PieceCut(part=part, length=length * floor.unit, plank=plank)
                for (part, length), plank in zip(lengths, planks, strict=True)
            )
        )
    return tuple(laid)


def _lengths(solver: cp_model.CpSolver, floor: _Scaled, laying: _Laying) -> list[tuple[Part, int]]:
    plank, length, first = floor.plank, laying.run.length, solver.value(laying.first)
    if laying.wrap is None:
        return [(Part.WHOLE if length == plank else Part.SINGLE, length)]
    end = (length - first - 1) % plank + 1
    wholes = (length - first - end) // plank
    return [
        (Part.WHOLE if first == plank else Part.STARTER, first),
        *[(Part.WHOLE, plank)] * wholes,
        (Part.WHOLE if end == plank else Part.END, end),
    ]
