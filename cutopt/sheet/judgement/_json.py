"""A judgement as JSON."""

import json
from collections.abc import Mapping
from fractions import Fraction

from cutopt.model.judgement import AgainstBest, Breach, Habits, Judgement, Mend
from cutopt.sheet._lengths import Lengths
from cutopt.sheet.estimate._told import percent
from cutopt.sheet.judgement._told import Tally, hundredths, mend_of, tallies, where
from cutopt.units import Ticks

__all__ = ["judgement_json"]

_Told = dict[str, object]


def judgement_json(judgement: Judgement, why: Mapping[str, tuple[str, str]]) -> str:
    """Return a judgement as JSON text in ASCII, ended by a line feed.

    A length is an object of ``ticks`` (320 to the millimetre) and ``words``, a share one of ``fraction`` and ``words``.
    Keys are the same for every judgement; what is not known is ``null``. ``why`` tells of a rule by its
    name why it exists, and its source.
    """
    plan = judgement.plan
    lengths = Lengths.of(plan)
    told: _Told = {
        "format": "cutopt-judgement",
        "version": 1,
        "title": plan.title,
        "unit": plan.unit.value,
        "kept": judgement.kept,
        "breaches": [_breach(breach, lengths) for breach in judgement.breaches],
        "rules": [_rule(tally, why) for tally in tallies(judgement)],
        "habits": _habits(judgement.habits),
        "best": None if judgement.best is None else _best(judgement.best),
    }
    return json.dumps(told, indent=1, allow_nan=False) + "\n"


def _breach(breach: Breach, lengths: Lengths) -> _Told:
    return {
        "number": breach.number,
        "rule": breach.rule,
        "must": breach.must,
        "words": breach.words,
        "rows": list(breach.rows),
        "row": breach.row,
        "run": breach.run,
        "place": None if breach.place is None else _length(breach.place, lengths),
        "where": where(breach, lengths),
        "found": breach.found,
        "wanted": breach.wanted,
        "short": breach.short,
        "mend": None if breach.mend is None else _mend(breach.mend, lengths),
    }


def _mend(mend: Mend, lengths: Lengths) -> _Told:
    return {
        "row": mend.row,
        "run": mend.run,
        "before": _length(mend.before, lengths),
        "after": _length(mend.after, lengths),
        "also": mend.also,
        "fresh": mend.fresh,
        "words": mend_of(mend, lengths),
    }


def _rule(tally: Tally, why: Mapping[str, tuple[str, str]]) -> _Told:
    rule, untold = tally.verdict.rule, tally.verdict.untold
    reason, source = why.get(rule, ("", ""))
    verdict = "broken" if tally.broken else "not judged" if untold else "kept"
    return {
        "rule": rule,
        "verdict": verdict,
        "broken": tally.broken,
        "remarks": tally.remarks,
        "untold": untold,
        "why": reason,
        "source": source,
    }


def _habits(habits: Habits) -> _Told:
    return {
        "clusters": [{"first": first, "last": last, "of": kind} for first, last, kind in habits.clusters],
        "repeats": [
            {"period": repeat.period, "first": repeat.first, "times": repeat.times}
            for repeat in habits.repeats
        ],
        "near": _share(habits.near),
        "regularity": None
        if habits.regularity is None
        else {"fraction": str(habits.regularity), "words": hundredths(habits.regularity)},
        "alike": _share(habits.alike),
    }


def _best(best: AgainstBest) -> _Told:
    return {
        "bound": best.bound,
        "proven": best.best <= best.bound,
        "layout": _counts(best.planks, best.waste, best.waiting, best.cuts),
        "best": _counts(best.best, best.best_waste, best.best_waiting, best.best_cuts),
        "first_saved": best.first_saved,
        "saved_by": best.saved_by,
    }


def _counts(planks: int, waste: Fraction, waiting: int, cuts: int) -> _Told:
    return {"planks": planks, "waste": _share(waste), "waiting": waiting, "cuts": cuts}


def _length(ticks: Ticks, lengths: Lengths) -> _Told:
    return {"ticks": ticks, "words": lengths.show(ticks)}


def _share(share: Fraction | None) -> _Told | None:
    return None if share is None else {"fraction": str(share), "words": percent(share)}
