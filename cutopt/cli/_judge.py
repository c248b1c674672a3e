"""A plan or a layout judged so that one learns from it: words, a picture, JSON, and the best beside it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from cutopt.cli._output import Target
from cutopt.cli._results import hand_over
from cutopt.drawing import judged_picture, judged_svg
from cutopt.model.judgement import AgainstBest, Judgement
from cutopt.model.plan import Plan
from cutopt.pipeline import judge
from cutopt.rulebook import why
from cutopt.sheet import printed
from cutopt.sheet.judgement import judgement_json, judgement_words

if TYPE_CHECKING:
    from cutopt.cli._check import CheckOptions

__all__ = ["run_judge"]


def run_judge(
    plan: Plan, untold: Mapping[str, str], options: "CheckOptions", targets: Sequence[Target], *, best: bool
) -> int:
    """Print a judgement, write its files; return 1 where a rule that must be kept is broken, or with strict any."""
    judgement = judge(plan, untold)
    if best:
        judgement = replace(judgement, best=_best(plan, options))
    reasons = _reasons(judgement)
    results = [(target, _result(target, judgement, reasons)) for target in targets]
    hand_over(results, lambda: _words(judgement, reasons, strict=options.strict), quiet=False)
    broken = judgement.breaches if options.strict else not judgement.kept
    return 1 if broken else 0


def _best(plan: Plan, options: "CheckOptions") -> AgainstBest | None:
    from cutopt.pipeline import against_best  # noqa: PLC0415 - the solver is slow to load
    from cutopt.planner import Limits, Unwatched  # noqa: PLC0415

    return against_best(plan, Limits(seconds=options.seconds, seed=options.seed), Unwatched())


def _result(target: Target, judgement: Judgement, reasons: Mapping[str, tuple[str, str]]) -> str:
    if target.option == "--json":
        return judgement_json(judgement, reasons)
    mended = next((one.mend.plan for one in judgement.breaches if one.mend is not None), None)
    return judged_svg(judgement.plan, judgement.breaches, mended)


def _words(judgement: Judgement, reasons: Mapping[str, tuple[str, str]], *, strict: bool) -> str:
    plan = judgement.plan
    picture = judged_picture(plan, judgement.breaches)
    blocks = judgement_words(judgement, plan.unit, reasons, strict=strict, picture=picture)
    return "\n".join(printed(blocks)) + "\n"


def _reasons(judgement: Judgement) -> dict[str, tuple[str, str]]:
    """Return, for every rule that is broken, why it exists and on whose word."""
    found = {}
    for rule in dict.fromkeys(breach.rule for breach in judgement.breaches):
        reason = why(rule)
        found[rule] = (
            reason.reason,
            f"{reason.source}: {reason.citation}" if reason.citation else str(reason.source),
        )
    return found
