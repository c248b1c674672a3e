"""Floors taken apart: groups of runs that bear on one another, some of the lines, another rule."""

from collections.abc import Collection, Iterable
from dataclasses import replace
from enum import StrEnum

from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Group", "RuleName", "group_runs", "is_chain", "only", "rule_value", "with_only", "with_rule"]

Group = tuple[int, ...]
"""Runs by index, rising."""


class RuleName(StrEnum):
    """The rules a plan without regard to planks can break; values are the trade's names."""

    STAIR_STEP = "stair-step"
    H_JOINT = "H-joint"
    STAGGER = "stagger"
    MIN_PIECE = "min piece"


_FIELDS = {
    RuleName.STAIR_STEP: "stair_step",
    RuleName.H_JOINT: "h_joint",
    RuleName.STAGGER: "stagger",
    RuleName.MIN_PIECE: "min_piece",
}


def rule_value(problem: Problem, rule: RuleName) -> Ticks:
    """Return what a rule asks for."""
    return int(getattr(problem.rules, _FIELDS[rule]))


def with_rule(problem: Problem, rule: RuleName, value: Ticks) -> Problem:
    """Return the same floor under another value of one rule.

    A min piece of nothing would let pieces of no length pass, so one tick is the least.
    """
    match rule:
        case RuleName.STAIR_STEP:
            rules = replace(problem.rules, stair_step=value)
        case RuleName.H_JOINT:
            rules = replace(problem.rules, h_joint=value)
        case RuleName.STAGGER:
            rules = replace(problem.rules, stagger=value)
        case RuleName.MIN_PIECE:
            rules = replace(problem.rules, min_piece=max(value, 1))
    return replace(problem, rules=rules)


def with_only(problem: Problem, rules: Collection[RuleName]) -> Problem:
    """Return the same floor with all other rules dropped."""
    for rule in RuleName:
        problem = problem if rule in rules else with_rule(problem, rule, 0)
    return problem


def only(problem: Problem, runs: Iterable[int]) -> Problem:
    """Return the floor of these runs alone."""
    return replace(problem, runs=tuple(problem.runs[index] for index in runs))


def group_runs(problem: Problem) -> tuple[Group, ...]:
    """Return the runs in groups: those of one group touch, directly or by way of others."""
    root = list(range(len(problem.runs)))

    def find(index: int) -> int:
        while root[index] != index:
            root[index] = index = root[root[index]]
        return index

    for link in problem.links:
        early, late = sorted((find(link.before), find(link.after)))
        root[late] = early
    groups: dict[int, list[int]] = {}
    for index in range(len(root)):
        groups.setdefault(find(index), []).append(index)
    return tuple(map(tuple, groups.values()))


def is_chain(problem: Problem) -> bool:
    """Say whether every run touches the one laid before it, the one laid next, and no other."""
    found = [(link.before, link.after) for link in problem.links]
    return found == [(index, index + 1) for index in range(len(problem.runs) - 1)]
