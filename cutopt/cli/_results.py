"""What a command hands over: files written together, one result on stdout, rules broken told row by row."""

from collections import defaultdict
from collections.abc import Callable, Sequence

from cutopt.check import Finding, describe
from cutopt.cli._output import Target, emit, note, write_files
from cutopt.model.plan import Plan
from cutopt.units import Ticks, format_length

__all__ = ["breaches_by_row", "hand_over"]


def hand_over(results: Sequence[tuple[Target, str | bytes]], told: Callable[[], str], *, quiet: bool) -> None:
    """Write the files, print what goes to stdout (what is ``told`` where no file does), and say what was written."""
    files = [result for result in results if not result[0].is_stdout]
    printed = [text for target, text in results if target.is_stdout]
    try:
        write_files(files)
    finally:  # a full disk must not lose the plan
        emit(printed[0] if printed else told())
    if not quiet:
        for target, _ in files:
            note(f"wrote {target.file}")


def breaches_by_row(plan: Plan, breaches: Sequence[Finding]) -> dict[int, list[str]]:
    """Return the breaches of a best-effort plan in words, each under the last of its rows."""

    def length(ticks: Ticks) -> str:
        return format_length(ticks, plan.unit, plan.rules.cut_step)

    found: defaultdict[int, list[str]] = defaultdict(list)
    for finding in breaches:
        found[max(finding.rows, default=plan.rows[-1].run.row)].append(describe(finding, length))
    return found
