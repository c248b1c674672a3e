"""The ``rules`` command: the rule book, or some of its pages, printed or as JSON."""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from cutopt.cli._errors import UnusableError
from cutopt.cli._output import STDOUT, Target, check_targets, emit, write_files
from cutopt.errors import Problem
from cutopt.model.book import Page
from cutopt.model.job import PlankKind
from cutopt.model.words import Block, Line
from cutopt.rulebook import always, find_key, nearest_name, pages
from cutopt.sheet import clean, printed, product_first
from cutopt.sheet.rules import book_words, list_words, rule_words, rules_json
from cutopt.units import Unit

__all__ = ["RulesOptions", "run_rules"]

_LIST = "cutopt rules --list names them all"


@dataclass(frozen=True, slots=True, kw_only=True)
class RulesOptions:
    """What the command line asked for: ``names`` of rules (none: all), ``json`` a file or ``-``."""

    names: tuple[str, ...] = ()
    kind: str | None = None
    unit: str | None = None
    listed: bool = False
    json: str | None = None


def run_rules(options: RulesOptions) -> int:
    """Print the rules asked for, or write them as JSON; return the exit status."""
    problems = [*_unknown_rules(options.names), *_unknown_kind(options.kind)]
    if problems:
        raise UnusableError(*problems)
    chosen = _chosen(options)
    if options.json is not None:
        _write(Target(option="--json", file=options.json), rules_json(chosen))
    if options.json != STDOUT:
        emit("\n".join(printed(_words(options, chosen))).lstrip("\n") + "\n")
    return 0


def _write(target: Target, text: str) -> None:
    check_targets([target], STDOUT)
    if target.is_stdout:
        emit(text)
    else:
        write_files([(target, text)])


def _chosen(options: RulesOptions) -> tuple[Page, ...]:
    """Return the pages asked for, in the order of the book."""
    kind = None if options.kind is None else _kind(options.kind)
    unit = None if options.unit is None else Unit(options.unit)
    keys = {find_key(name) for name in options.names}
    return tuple(page for page in pages(kind, unit) if not keys or page.key in keys)


def _words(options: RulesOptions, chosen: Sequence[Page]) -> list[Block]:
    if options.listed:
        return list_words(chosen)
    if options.names:
        return [*rule_words(chosen), Line(), product_first()]
    return book_words(chosen, always())


def _unknown_rules(names: Sequence[str]) -> list[Problem]:
    return [
        Problem(
            what=f'there is no rule "{clean(name)}"',
            where="cutopt rules",
            remedy=_nearest(nearest_name(name)),
        )
        for name in names
        if find_key(name) is None
    ]


def _nearest(name: str | None) -> str:
    return _LIST if name is None else f'did you mean "{name}"? {_LIST}'


def _unknown_kind(told: str | None) -> list[Problem]:
    if told is None or _kind(told) is not None:
        return []
    close = get_close_matches(_plain(told), list(PlankKind), n=1)
    hint = f'did you mean "{close[0]}"? ' if close else ""
    known = ", ".join(f'"{kind}"' for kind in PlankKind)
    return [
        Problem(
            what=f'there is no kind of plank "{clean(told)}"',
            where="--kind",
            remedy=f"{hint}use one of {known}",
        )
    ]


def _kind(told: str) -> PlankKind | None:
    """Return the kind of plank told; capital letters, ``-`` and ``_`` for a blank are no matter."""
    return next((kind for kind in PlankKind if _plain(kind) == _plain(told)), None)


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())
