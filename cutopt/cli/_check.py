"""The ``check`` command: a plan file or a layout judged against its rules."""

import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from cutopt.check import Finding, check_plan, describe, remarks
from cutopt.cli._output import STDOUT, Target, check_targets, emit
from cutopt.model.plan import Plan
from cutopt.planfile import read_plan
from cutopt.sheet import clean, count
from cutopt.units import Ticks, format_length

__all__ = ["CheckOptions", "run_check"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckOptions:
    """What the user asked for; ``best`` ``None``: where it can be told, as a layout says."""

    file: str
    explain: bool = False
    strict: bool = False
    best: bool | None = None
    json: str | None = None
    svg: str | None = None
    seconds: float = 10.0
    seed: int = 0

    @property
    def teaches(self) -> bool:
        """Whether more is wanted than a verdict."""
        return bool(self.explain or self.strict or self.best or self.json or self.svg)


def run_check(options: CheckOptions) -> int:
    """Print the verdict on a plan file or a layout, and every finding; return the exit status."""
    targets = [
        Target(option=option, file=file)
        for option, file in (("--json", options.json), ("--svg", options.svg))
        if file is not None
    ]
    check_targets(targets, options.file)
    plan, untold, has_sources = _read(options.file)
    if untold is not None or options.teaches:
        from cutopt.cli._judge import run_judge  # noqa: PLC0415 - only who wants to learn pays for it

        best = options.best if options.best is not None else has_sources
        return run_judge(plan, untold or {}, options, targets, best=best)
    findings = check_plan(plan)
    emit("".join(f"{line}\n" for line in _report(options.file, plan, findings)))
    return 1 if findings else 0


def _read(file: str) -> tuple[Plan, Mapping[str, str] | None, bool]:
    """Return a plan, or a layout as one with the rules it cannot be judged by; and whether planks are told of it."""
    if file != STDOUT and Path(file).suffix.lower() not in (".csv", ".toml", ".txt"):
        return read_plan(Path(file)), None, False
    data = sys.stdin.buffer.read() if file == STDOUT else None
    if data is not None and data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return read_plan(data.decode("utf-8", "replace")), None, False
    from cutopt.jobfile import parse_layout, read_layout  # noqa: PLC0415 - only layouts pay for it
    from cutopt.layouts import as_plan, untold_rules  # noqa: PLC0415
    from cutopt.model.layouts import Untold  # noqa: PLC0415

    layout = read_layout(Path(file)) if data is None else parse_layout(data, "standard input")
    return as_plan(layout), untold_rules(layout), Untold.PLANKS not in layout.untold


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
