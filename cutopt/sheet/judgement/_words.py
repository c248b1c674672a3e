"""A judgement in words: the verdict, every breach and its mend, rule by rule, habits, and the best beside it."""

from collections.abc import Iterator, Mapping, Sequence

from cutopt.model.judgement import AgainstBest, Breach, Judgement
from cutopt.model.words import Block, Heading, Line, Para, Table
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import clean, count, labels, para, shorten
from cutopt.sheet.estimate._told import percent
from cutopt.sheet.judgement._habits import habit_texts
from cutopt.sheet.judgement._told import Tally, joined, mend_of, tallies, verdict_of, where
from cutopt.units import Unit

__all__ = ["judgement_words"]

_RULE = "=" * 80


def judgement_words(
    judgement: Judgement, unit: Unit, why: Mapping[str, tuple[str, str]], *, strict: bool, picture: str
) -> list[Block]:
    """Return all there is to say of a layout, lengths in ``unit``.

    ``why`` tells of a rule by its name why it exists, and its source. ``strict``: remarks count as breaches.
    ``picture`` are lines of at most 80 columns, set as they are; nothing where empty.
    """
    lengths = Lengths(unit=unit, step=judgement.plan.rules.cut_step)
    rules = tallies(judgement, strict=strict)
    return [
        Line(shorten(judgement.plan.title, 80)),
        Line(_RULE),
        para(_verdict(judgement, rules, strict=strict)),
        *_picture(picture),
        *_breaches(judgement.breaches, lengths, why, strict=strict),
        *_rules(rules),
        *_habits(judgement, lengths),
        *(() if judgement.best is None else _best(judgement.best)),
    ]


def _verdict(judgement: Judgement, rules: Sequence[Tally], *, strict: bool) -> str:
    counted = [breach for breach in judgement.breaches if breach.must or strict]
    remarks = len(judgement.breaches) - len(counted)
    untold = sum(bool(rule.verdict.untold) for rule in rules)
    if counted:
        by_rule = {name: sum(one.rule == name for one in counted) for name in _names(counted)}
        told = ", ".join(f"{clean(name)} {number}" for name, number in by_rule.items())
        head = f"Broken in {count(len(counted), 'place')}: {told}."
    else:
        head = "Kept: every rule that could be judged." if untold else "Kept: every rule."
    if remarks:
        head += f" {count(remarks, 'remark')} besides, no breach unless judged strictly."
    if untold:
        head += f" {count(untold, 'rule')} could not be judged."
    return head


def _names(breaches: Sequence[Breach]) -> list[str]:
    return list(dict.fromkeys(breach.rule for breach in breaches))


def _picture(picture: str) -> Iterator[Block]:
    if picture:
        yield Line()
        yield from map(Line, picture.rstrip("\n").split("\n"))


def _breaches(
    breaches: Sequence[Breach], lengths: Lengths, why: Mapping[str, tuple[str, str]], *, strict: bool
) -> Iterator[Block]:
    """Yield every breach under its number; at the first of each rule also why the rule exists."""
    if not breaches:
        return
    yield Heading("What is broken" if any(one.must or strict for one in breaches) else "Remarks")
    indent = " " * (len(_mark(max(breaches, key=lambda one: one.number))) + 1)
    told: set[str] = set()
    for nth, breach in enumerate(breaches):
        if nth:
            yield Line()
        remark = "" if breach.must or strict else " (remark)"
        head = f"{clean(breach.rule)}{remark}: {clean(breach.words)}"
        yield para(head, first=_mark(breach).ljust(len(indent)))
        yield from _lines(breach, lengths, indent)
        if breach.rule not in told and breach.rule in why:
            reason, source = why[breach.rule]
            yield para(f"Why: {clean(reason)}", first=indent)
            yield para(f"Source: {clean(source)}", first=indent)
        told.add(breach.rule)


def _mark(breach: Breach) -> str:
    return f"({breach.number})"


def _lines(breach: Breach, lengths: Lengths, indent: str) -> Iterator[Para]:
    """Yield where a breach lies, its figures, and its mend."""
    place = where(breach, lengths)
    yield para(f"{place[:1].upper()}{place[1:]}", first=indent)
    figures = [
        f"{name} {clean(text)}"
        for name, text in (("found", breach.found), ("wanted", breach.wanted), ("off by", breach.short))
        if text
    ]
    if figures:
        text = ", ".join(figures)
        yield para(f"{text[:1].upper()}{text[1:]}", first=indent)
    if breach.mend is not None:
        yield para(f"Mend: {mend_of(breach.mend, lengths)}.", first=indent)
    elif breach.place is not None and breach.sought:
        yield para("Mend: none found by starting one row elsewhere.", first=indent)


def _rules(rules: Sequence[Tally]) -> Iterator[Block]:
    if rules:
        yield Heading("Rule by rule")
        yield labels((shorten(rule.verdict.rule, 32), verdict_of(rule)) for rule in rules)


def _habits(judgement: Judgement, lengths: Lengths) -> Iterator[Block]:
    texts = list(habit_texts(judgement.habits, judgement.plan.rules, lengths))
    if texts:
        yield Heading("Habits")
        yield para("No rule forbids these, but the eye sees them.")
        yield from (para(text, first="  - ") for text in texts)


def _best(best: AgainstBest) -> Iterator[Block]:
    yield Heading("Against the best")
    yield Table(
        (
            ("", "this layout", "best known"),
            ("planks opened", str(best.planks), str(best.best)),
            ("waste", percent(best.waste), percent(best.best_waste)),
            ("most planks waiting", str(best.waiting), str(best.best_waiting)),
            ("cuts", str(best.cuts), str(best.best_cuts)),
        ),
        frozenset({1, 2}),
    )
    yield from (para(text, first="  - ") for text in _told(best))


def _told(best: AgainstBest) -> Iterator[str]:
    over = best.planks - best.best
    if best.best <= best.bound:
        known = f"{best.best} is proven the fewest for these rows and rules"
    else:
        known = (
            f"{best.best} is the fewest known for these rows and rules; none needs fewer than {best.bound}"
        )
    if over > 0:
        yield f"{count(over, 'plank')} more than needed: {known}."
    elif over < 0:
        yield f"{count(-over, 'plank')} fewer than the best plan that keeps the rules: {known}."
    else:
        yield f"As few planks as the best plan: {known}."
    if best.first_saved is not None:
        by = f": {clean(best.saved_by)}" if best.saved_by else ""
        yield f"Row {best.first_saved} is the first that opened a plank though one waiting would have done{by}."
    fewer = [
        name
        for name, ours, theirs in (
            ("planks waiting", best.waiting, best.best_waiting),
            ("cuts", best.cuts, best.best_cuts),
        )
        if ours < theirs
    ]
    if fewer and over > 0:
        yield f"The best plan pays for its planks with more {joined(fewer)}."
