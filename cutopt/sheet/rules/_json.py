"""The rule book as JSON."""

import json
from collections.abc import Sequence

from cutopt.model.book import Page, Saying, Usually, Why

__all__ = ["rules_json"]


def rules_json(pages: Sequence[Page]) -> str:
    """Return pages as JSON text, ended by a line feed; lengths as text and in ticks (320 to the millimetre)."""
    return json.dumps({"format": "cutopt-rules", "rules": [*map(_page, pages)]}, indent=1) + "\n"


def _page(page: Page) -> dict[str, object]:
    return {
        "name": page.name,
        "key": page.key,
        "says": page.says,
        "takes": page.takes,
        "usual": [*map(_usual, page.usual)],
        "notes": list(page.notes),
        "why": _why(page.why),
        "sources_say": [*map(_saying, page.why.contradictions)],
        "example": page.example,
        "options": [{"what": option.what, "does": option.does} for option in page.options],
    }


def _usual(line: Usually) -> dict[str, object]:
    return {
        "kind": line.kind,
        "when": line.when,
        "value": line.value,
        "ticks": None if line.ticks is None else dict(line.ticks),
        "source": line.source,
        "citation": line.citation,
    }


def _why(why: Why) -> dict[str, object]:
    return {"reason": why.reason, "source": why.source, "citation": why.citation}


def _saying(saying: Saying) -> dict[str, object]:
    return {"says": saying.says, "source": saying.source, "citation": saying.citation}
