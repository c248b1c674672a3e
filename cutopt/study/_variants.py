"""The choices of a study, each a job of its own."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import product
from math import prod

from cutopt.errors import JobError, Problem
from cutopt.model.job import Job, Pattern, ShareOffcuts, ShareRips
from cutopt.model.pricing import Choice, StudySpec, Varied
from cutopt.study._usual import usual_study
from cutopt.units import Unit, format_length

__all__ = ["Changes", "variants"]

Changes = tuple[tuple[Varied, Choice], ...]
"""What a variant differs in from the job, in the order told."""

_MOST = 500
"""More choices than anybody reads (limit of our own choice)."""

_AS_TOLD = "as told"

_KEYS = {
    Varied.PLANK: "plank.",
    Varied.STAGGER: "rules.stagger",
    Varied.MIN_PIECE: "rules.min_piece",
    Varied.PATTERN: "rules.pattern",
    Varied.DIRECTION: "layout.direction",
    Varied.FIRST_WIDTH: "layout.first_width",
    Varied.KERF: "plank.kerf",
    Varied.SHARE_RIPS: "rules.share_rips",
    Varied.SHARE_OFFCUTS: "rules.share_offcuts",
}
"""How the job keys of what is varied begin: what the job assumes or warns of there holds no more."""

_WORDS: dict[tuple[Varied, str], str] = {
    (Varied.PATTERN, Pattern.RANDOM): "joints at random",
    (Varied.PATTERN, Pattern.HALF): "joints half a plank apart",
    (Varied.PATTERN, Pattern.THIRD): "joints a third of a plank apart",
    (Varied.SHARE_RIPS, ShareRips.YES): "rips shared",
    (Varied.SHARE_RIPS, ShareRips.NO): "rips not shared",
    (Varied.SHARE_OFFCUTS, ShareOffcuts.JOB): "offcuts shared between rooms",
    (Varied.SHARE_OFFCUTS, ShareOffcuts.ROOM): "offcuts kept in rooms",
}
_LENGTHS = {
    Varied.STAGGER: "stagger",
    Varied.MIN_PIECE: "min piece",
    Varied.FIRST_WIDTH: "first row",
    Varied.KERF: "kerf",
}


def variants(job: Job) -> tuple[tuple[Changes, str, Job], ...]:
    """Return the jobs a study compares, each with what it changes and a name: the job itself first, none twice.

    What is varied is told by the job's study, else it is as usual (:func:`usual_study`). A choice that is the job's
    own changes nothing. Whether a variant can be laid is not asked here. With a plank of
    another size the rules stay as they are, also those that were usual for the plank told; a fixed pattern
    turns H-joint and stair-step off, and joints at random instead of one leave them off.

    Raises ``JobError`` for more than 500 of them and for a plank that the catalogue has not.
    """
    spec = job.study if job.study.vary else usual_study(job)
    _refuse_too_many(spec)
    _refuse_unknown_planks(spec, job)
    found: dict[Job, tuple[Changes, str]] = {job: ((), _AS_TOLD)}
    for choices in _choices(spec):
        changes = _telling(job, choices)
        found.setdefault(_changed(job, changes), (changes, _name(changes, job.unit)))
    return tuple((changes, name, one) for one, (changes, name) in found.items())


def _refuse_too_many(spec: StudySpec) -> None:
    counts = [len(vary.choices) for vary in spec.vary]
    found = prod(counts) if spec.every else sum(counts)
    if found > _MOST:
        raise JobError(
            Problem(
                what=f"the study has {found} variants, more than {_MOST}",
                where="study",
                remedy="vary fewer things" + (", or one at a time: every = false" if spec.every else ""),
            )
        )


def _refuse_unknown_planks(spec: StudySpec, job: Job) -> None:
    known = [entry.name for entry in job.catalogue]
    asked = [choice for vary in spec.vary if vary.what is Varied.PLANK for choice in vary.choices]
    problems = [
        Problem(
            what=f'"{name}" is no plank of the catalogue',
            where="study.plank",
            remedy="use one of " + ", ".join(known) if known else "name a catalogue: study.planks",
        )
        for name in asked
        if name not in known
    ]
    if problems:
        raise JobError(*problems)


def _choices(spec: StudySpec) -> Iterator[Changes]:
    """Yield what is changed at once: one thing, or every thing."""
    each = [[(vary.what, choice) for choice in vary.choices] for vary in spec.vary]
    if spec.every:
        yield from product(*each)
    else:
        yield from ((change,) for changes in each for change in changes)


def _telling(job: Job, changes: Changes) -> Changes:
    """Leave out every change without which the job comes out the same."""
    for change in changes:
        others = tuple(other for other in changes if other != change)
        if _changed(job, others) == _changed(job, changes):
            changes = others
    return changes


def _changed(job: Job, changes: Iterable[tuple[Varied, Choice]]) -> Job:
    """Return a job with changes made, the plank's first: it brings a kerf of its own."""
    one = job
    for what, choice in sorted(changes, key=lambda change: change[0] is not Varied.PLANK):
        after = _with(one, what, choice)
        one = one if after == one else _forgetting(after, _KEYS[what])
    return one


def _with(job: Job, what: Varied, choice: Choice) -> Job:  # noqa: PLR0911 - one line for each thing that varies
    match what, choice:
        case Varied.PLANK, str():
            return replace(job, plank=next(one.plank for one in job.catalogue if one.name == choice))
        case Varied.PATTERN, str():
            return _patterned(job, Pattern(choice))
        case Varied.SHARE_RIPS, str():
            return replace(job, rules=replace(job.rules, share_rips=ShareRips(choice)))
        case Varied.SHARE_OFFCUTS, str():
            return replace(job, rules=replace(job.rules, share_offcuts=ShareOffcuts(choice)))
        case Varied.DIRECTION, int() | Fraction():
            return replace(job, layout=replace(job.layout, direction=Fraction(choice)))
        case Varied.STAGGER, int():
            return replace(job, rules=replace(job.rules, stagger=choice))
        case Varied.MIN_PIECE, int():
            return replace(job, rules=replace(job.rules, min_piece=max(1, choice)))
        case Varied.FIRST_WIDTH, int():
            return replace(job, layout=replace(job.layout, first_width=choice))
        case Varied.KERF, int():
            return replace(job, plank=replace(job.plank, kerf=choice))
        case _:
            raise TypeError(f"{what} cannot be {choice!r}")


def _patterned(job: Job, pattern: Pattern) -> Job:
    """Set the pattern; a fixed one repeats its joints by nature, which H-joint and stair-step forbid."""
    rules = replace(job.rules, pattern=pattern)
    if pattern is not Pattern.RANDOM:
        rules = replace(rules, h_joint=0, stair_step=0)
    return replace(job, rules=rules)


def _forgetting(job: Job, key: str) -> Job:
    """Leave out what a job assumes and warns of where it was changed."""
    return replace(
        job,
        assumptions=tuple(one for one in job.assumptions if not one.key.startswith(key)),
        warnings=tuple(text for text in job.warnings if not text.startswith(key)),
    )


def _name(changes: Sequence[tuple[Varied, Choice]], unit: Unit) -> str:
    return ", ".join(_words(what, choice, unit) for what, choice in changes) or _AS_TOLD


def _words(what: Varied, choice: Choice, unit: Unit) -> str:
    match what, choice:
        case Varied.PLANK, _:
            return f"plank {choice}"
        case Varied.DIRECTION, _:
            return f"direction {float(choice):g} deg"
        case _, str():
            return _WORDS[what, choice]
        case Varied.KERF, 0:
            return "no kerf"
        case _:
            return f"{_LENGTHS[what]} {format_length(int(choice), unit)}"
