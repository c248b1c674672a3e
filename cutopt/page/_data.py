"""The plan as data for the page's script."""

import json
from dataclasses import asdict
from hashlib import sha256
from typing import Any

from cutopt.model.plan import Plan
from cutopt.model.work import PieceWork, Work

__all__ = ["page_data"]

# What could end the script's element, open a comment in it, or end a line of a script.
_ESCAPED = {ord(char): f"\\u{ord(char):04x}" for char in "<>&\u2028\u2029"}


def page_data(plan: Plan, plan_text: str, work: Work) -> str:
    """Return the data as JSON that may stand inside an HTML script element."""
    data = {
        "title": plan.title,
        # As the file is written: what has no UTF-8 is replaced there too.
        "plan": sha256(plan_text.encode("utf-8", "replace")).hexdigest(),
        "planks": plan.totals.planks,
        "rows": [
            {
                "name": row.name,
                "room": row.room,
                "size": row.size,
                "broken": row.broken,
                "pieces": [*map(_piece, row.pieces)],
            }
            for row in work.rows
        ],
        "rests": [asdict(rest) for rest in work.rests],
    }
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).translate(_ESCAPED)


def _piece(piece: PieceWork) -> dict[str, Any]:
    """Return a piece as a table, without what need not be said."""
    return {key: value for key, value in asdict(piece).items() if value}
