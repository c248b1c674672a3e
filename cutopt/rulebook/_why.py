"""Why a rule exists, by its job key or its name."""

from dataclasses import replace
from difflib import get_close_matches

from cutopt.model.book import Why
from cutopt.rulebook._disputes import DISPUTES
from cutopt.rulebook._reasons import ALSO_CALLED, ALWAYS, REASONS, SUMS
from cutopt.rulebook._rules import RULES

__all__ = ["always", "find_key", "nearest_name", "why"]

_SUMMED = (
    "numbering",
    "run length",
    "row width",
    "area",
    "pieces of a plank",
    "offcuts",
    "the floor on the plan",
    "touching runs",
    "totals",
    "lower bound",
)
"""What a plan's check recomputes besides the rules: that lengths, places and counts add up."""


def why(key: str) -> Why:
    """Return why a rule exists: by its job key, its name, or a name the findings of a check have for it.

    Raises KeyError for any other text.
    """
    job_key = find_key(key)
    if job_key is not None:
        return replace(REASONS[job_key], contradictions=DISPUTES[job_key])
    if key in ALWAYS:
        return ALWAYS[key]
    if key in _SUMMED:
        return SUMS
    raise KeyError(key)


def always() -> dict[str, Why]:
    """Return why that is kept which is kept whatever a job says, by name."""
    return dict(ALWAYS)


def find_key(name: str) -> str | None:
    """Return the job key of a rule told by its name, its key or the last part of that; ``None`` where none is.

    Small and capital letters, blanks, ``-`` and ``_`` are the same.
    """
    return _names().get(_plain(name))


def nearest_name(name: str) -> str | None:
    """Return the rule's name that looks most like a text, ``None`` where none does."""
    names = _names()
    close = get_close_matches(_plain(name), names, n=1)
    return next((rule.name for rule in RULES if close and rule.key == names[close[0]]), None)


def _names() -> dict[str, str]:
    names = {_plain(name): key for name, key in ALSO_CALLED.items()}
    for rule in RULES:
        names |= dict.fromkeys(map(_plain, (rule.key, rule.key.partition(".")[2], rule.name)), rule.key)
    return names


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())
