"""Rows, places and verdicts as all parts of a judgement tell them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutopt.model.judgement import Breach, Judgement, Mend, RuleVerdict
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import clean, count

__all__ = ["Tally", "hundredths", "joined", "mend_of", "rows_of", "run_of", "tallies", "verdict_of", "where"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """A rule of the floor: how often it is broken, and how many remarks there are that do not count."""

    verdict: RuleVerdict
    broken: int
    remarks: int


def tallies(judgement: Judgement, *, strict: bool = False) -> list[Tally]:
    """Return what is listed of each rule, in the order of its verdicts; strictly, remarks count as breaches."""
    return [_tally(verdict, judgement, strict=strict) for verdict in judgement.verdicts]


def _tally(verdict: RuleVerdict, judgement: Judgement, *, strict: bool) -> Tally:
    listed = [breach for breach in judgement.breaches if breach.rule == verdict.rule]
    broken = sum(breach.must or strict for breach in listed)
    return Tally(verdict=verdict, broken=broken, remarks=len(listed) - broken)


def verdict_of(tally: Tally) -> str:
    """Return the verdict on a rule: broken, not judged and why not, or kept."""
    remarks = count(tally.remarks, "remark") if tally.remarks else ""
    if tally.broken:
        return ", ".join(filter(None, (_often(tally.broken), remarks)))
    if tally.verdict.untold:
        return f"not judged: {clean(tally.verdict.untold)}"
    return ", ".join(filter(None, ("kept", remarks)))


def _often(number: int) -> str:
    return "broken once" if number == 1 else f"broken {number} times"


def rows_of(rows: Sequence[int]) -> str:
    """Return rows by number: ``row 7``, ``rows 6 and 7``; nothing for none."""
    return f"row{'s' if len(rows) > 1 else ''} {joined(map(str, rows))}" if rows else ""


def joined(names: Iterable[str]) -> str:
    """Return names with commas between them and ``and`` before the last."""
    *before, last = names
    return f"{', '.join(before)} and {last}" if before else last


def run_of(row: int, run: int | None) -> str:
    """Return a run by its row's number, and its own where it is not the first."""
    return f"run {run} of row {row}" if (run or 1) > 1 else f"row {row}"


def where(breach: Breach, lengths: Lengths) -> str:
    """Return the rows of a breach and its place along one of them; ``the whole floor`` where it has none."""
    rows = breach.rows or (() if breach.row is None else (breach.row,))
    if breach.row is None:
        return rows_of(rows) or "the whole floor"
    named = run_of(breach.row, breach.run)
    if breach.place is None:
        at = "" if (breach.run or 1) == 1 else named
    elif breach.place == 0:
        at = f"at the left end of {named}"
    else:
        at = f"{lengths.show(breach.place)} from the left end of {named}"
    alone = len(rows) == 1 and at
    return at if alone else ", ".join(filter(None, (rows_of(rows), at)))


def mend_of(mend: Mend, lengths: Lengths) -> str:
    """Return what to do to mend a breach, and what that does besides."""
    show = lengths.show
    text = f"start {run_of(mend.row, mend.run)} at {show(mend.after)} instead of {show(mend.before)}"
    also = f"also mends {mend.also} more" if mend.also else ""
    fresh = f"takes {count(mend.fresh, 'fresh plank')}" if mend.fresh else ""
    return "; ".join(filter(None, (text, also, fresh)))


def hundredths(share: Fraction) -> str:
    """Return a number from 0 to 1 with two decimals."""
    return f"{float(share):.2f}"
