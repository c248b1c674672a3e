"""The ``check`` command: a plan file judged against its own rules."""

import sys
from collections.abc import Sequence
from pathlib import Path

from cutopt.check import Finding, check_plan, describe, remarks
from cutopt.cli._output import STDOUT, emit
from cutopt.model.plan import Plan
from cutopt.planfile import read_plan
from cutopt.sheet import clean, count
from cutopt.units import Ticks, format_length

__all__ = ["run_check"]


def run_check(file: str) -> int:
    """Print the verdict on a plan file and every finding; return the exit status."""
    plan = read_plan(sys.stdin.buffer.read().decode("utf-8", "replace") if file == STDOUT else Path(file))
    findings = check_plan(plan)
    emit("".join(f"{line}\n" for line in _report(file, plan, findings)))
    return 1 if findings else 0


def _report(file: str, plan: Plan, findings: Sequence[Finding]) -> list[str]:
    def words(finding: Finding) -> str:
        return clean(describe(finding, length))

    def length(ticks: Ticks) -> str:
        return format_length(ticks, plan.unit, plan.rules.cut_step)

    name = "standard input" if file == STDOUT else clean(file)
    totals = plan.totals
    counted = ", ".join(
        (
            count(len(plan.rows), "run"),
            count(totals.planks, "plank"),
            count(totals.boxes, "box", "boxes"),
        )
    )
    if not findings:
        verdict = f"{name}: good - every rule is kept and every total holds ({counted})"
    else:
        verdict = f"{name}: refused - {count(len(findings), 'finding')} ({counted})"
    return [
        verdict,
        *(f"  {words(finding)}" for finding in findings),
        *(f"  (no breach) {words(remark)}" for remark in remarks(plan)),
    ]
