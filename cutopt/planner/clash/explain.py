"""A clash of rules in the words of the person who set them."""

from collections.abc import Iterable, Sequence

from cutopt.errors import Problem as Trouble
from cutopt.errors import RulesClashError
from cutopt.model.floor import Run
from cutopt.planner.clash.answer import Verdict
from cutopt.planner.clash.parts import RuleName, rule_value
from cutopt.planner.clash.reason import Clash, WayOut, find_clashes
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem

__all__ = ["explain"]


def explain(problem: Problem, verdict: Verdict, stop: Stop) -> RulesClashError:
    """Return the error for a floor that is proved impossible: which rows, which rules, what would do.

    Every value named was tried on all rows that bear on those that clash, and found to make them
    possible. Where ``stop`` ends the search for reasons, the rows and rules told may be more than it
    takes.
    """
    troubles = [_trouble(problem, clash) for clash in find_clashes(problem, stop)]
    return RulesClashError(*(troubles or [_unexplained(problem, verdict)]))


def _unexplained(problem: Problem, verdict: Verdict) -> Trouble:
    return Trouble(
        what=f"the rules cannot all be kept{_at_cut_step(problem, only=verdict.at_cut_step)}",
        remedy="give more time to learn where and why, or relax them",
    )


def _trouble(problem: Problem, clash: Clash) -> Trouble:
    runs = [problem.runs[index] for index in clash.runs]
    return Trouble(
        what=_what(problem, clash, many=len(runs) > 1) + _at_cut_step(problem, only=clash.at_cut_step),
        where=_where(problem, runs) + f", and {clash.alike} more like this" * bool(clash.alike),
        remedy=_remedy(problem, clash),
    )


def _what(problem: Problem, clash: Clash, *, many: bool) -> str:
    if not clash.rules:
        return "even without rules nothing can be laid here"
    asked = [f"{rule} {problem.show(rule_value(problem, rule))}" for rule in clash.rules]
    beside = " beside the joints of the floor that is there" * clash.beside
    if len(asked) > 1:
        return f"{_listed(asked, 'and')} cannot be kept together{beside}"
    return f"{asked[0]} cannot be kept{' in all rows' * many}{beside}"


def _at_cut_step(problem: Problem, *, only: bool) -> str:
    """Say so where the proof is about starters on the cut step only."""
    return f" with cuts in steps of {problem.show(problem.rules.cut_step)}" * only


def _where(problem: Problem, runs: Sequence[Run]) -> str:
    rooms = list(dict.fromkeys(f'"{run.room}"' for run in runs))
    rows = sorted({run.row for run in runs})
    last = f" {'to' if len(rows) > 2 else 'and'} {rows[-1]}"  # noqa: PLR2004 - two rows or more
    numbers = f"row {rows[0]}" if len(rows) == 1 else f"rows {rows[0]}{last}"
    lengths = sorted({run.length for run in runs})
    length = problem.show(lengths[0])
    if len(lengths) > 1:
        length = f"{length} to {problem.show(lengths[-1])}"
    return f"room{'s' * (len(rooms) > 1)} {_listed(rooms, 'and')}, {numbers} ({length} long)"


def _remedy(problem: Problem, clash: Clash) -> str:
    if not clash.rules:
        return "check the slants of the walls and the cut step against the plank's length"
    values = [_value(problem, out) for out in clash.ways_out]
    if not values:
        more = "no change of one rule would do: relax several"
        return more if clash.sought else "give more time to learn what would do"
    would = (
        f"any one of these would do: {_listed(values, 'or')}" if len(values) > 1 else f"{values[0]} would do"
    )
    if all(out.everywhere for out in clash.ways_out):
        return would
    return f"{would} in these rows alone; give more time to learn what would do in all"


def _value(problem: Problem, out: WayOut) -> str:
    if not out.value and out.rule is not RuleName.MIN_PIECE:
        return f"no {out.rule} rule"
    return f"{out.rule} {problem.show(out.value)}"


def _listed(words: Iterable[str], last: str) -> str:
    """Return ``a``, ``a and b``, ``a, b and c``."""
    *most, end = words
    return f"{', '.join(most)} {last} {end}" if most else end
