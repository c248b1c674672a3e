"""The page put together: template, style, scripts, and the plan as data."""

from base64 import b64encode
from collections.abc import Sequence
from hashlib import sha256
from html import escape
from importlib.resources import files
from string import Template

from cutopt.model.plan import Plan
from cutopt.model.work import PieceOutline, Work
from cutopt.page._data import page_data
from cutopt.page._floor import draw_floor
from cutopt.page._table import table_of_rows

__all__ = ["render_page"]


def render_page(plan: Plan, plan_text: str, work: Work, outlines: Sequence[PieceOutline]) -> str:
    """Return the page of a plan as HTML that loads nothing and runs no script but its own.

    ``plan_text`` is the plan as its file holds it: its SHA-256 names the plan in what the page stores and
    exports. ``work`` says it all in words; ``outlines`` where each piece lies. The same plan gives the same
    page.
    """
    style = _part("page.css")
    script = _part("floor.js") + "\n" + _part("page.js")
    return Template(_part("page.html")).substitute(
        policy=_policy(script, style),
        title=escape(_printable(plan.title)),
        style=style,
        floor=draw_floor(plan, outlines),
        notes="\n".join(f"<p>{escape(note)}</p>" for note in work.notes),
        table=table_of_rows(work.rows),
        data=page_data(plan, plan_text, work),
        script=script,
    )


def _part(name: str) -> str:
    return files("cutopt.page").joinpath(name).read_text(encoding="utf-8")


def _policy(script: str, style: str) -> str:
    """Return a Content Security Policy (W3C CSP3) that allows this script and style, by hash, and no more."""
    return (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; "
        "base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"sha256-{b64encode(sha256(text.encode()).digest()).decode('ascii')}"


def _printable(text: str) -> str:
    """Return a text without controls, such as those that turn the direction of writing."""
    return "".join(char if char.isprintable() else " " for char in text)
