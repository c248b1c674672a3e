"""Pages of stored plans, and what to look up in them."""

import json
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

from cutopt.drawing import outlines
from cutopt.page import render_page
from cutopt.planfile import read_plan, write_plan
from cutopt.sheet import work_of

DATA = Path(__file__).parent / "data"
STORED = sorted([*DATA.glob("plans/*.json"), *DATA.glob("sheets/*/plan.json")])
NASTY = (
    "</script><script>document.title='ran'</script><img src=x onerror=\"document.title='ran'\">&lt;\u2028'"
)


def stored(name):
    return read_plan((DATA / name).read_text(encoding="utf-8"))


SHOWN = stored("sheets/turned_and_singles/plan.json")


def page_of(plan, breaches=None):
    return render_page(plan, write_plan(plan), work_of(plan, breaches), outlines(plan))


def hostile():
    """Return a stored plan whose title and rooms are meant to run as HTML."""
    plan = stored("plans/square.json")
    rows = tuple(replace(row, run=replace(row.run, room=NASTY, field=NASTY)) for row in plan.rows)
    return replace(plan, title=NASTY, rows=rows)


def repeated(plan, times):
    """Return a plan with all its rows and planks again and again, under new numbers."""
    rows, planks = [], []
    for turn in range(times):
        by_row, by_plank = turn * plan.rows[-1].run.row, turn * plan.totals.planks
        for row in plan.rows:
            pieces = tuple(
                replace(piece, id=_moved(piece.id, by_row), plank=piece.plank + by_plank)
                for piece in row.pieces
            )
            line = row.run.line + turn * max(laid.run.line for laid in plan.rows)
            run = replace(row.run, row=row.run.row + by_row, line=line)
            rows.append(replace(row, run=run, pieces=pieces))
        planks += [
            replace(
                plank, plank=plank.plank + by_plank, pieces=tuple(_moved(i, by_row) for i in plank.pieces)
            )
            for plank in plan.planks
        ]
    totals = replace(plan.totals, planks=times * plan.totals.planks)
    return replace(plan, rows=tuple(rows), planks=tuple(planks), totals=totals)


def _moved(piece, rows):
    row, _, nth = piece.partition(".")
    digits = row.rstrip("abcdefghijklmnopqrstuvwxyz")
    return f"{int(digits) + rows}{row[len(digits) :]}.{nth}"


class Page(HTMLParser):
    """A page taken apart: its tags with their attributes, and the text in each element with an id."""

    def __init__(self, html):
        super().__init__()
        self.tags = []
        self.texts = {"title": ""}
        self._open = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        self.tags.append((tag, found))
        if tag not in ("meta", "input", "path"):
            self._open.append(found.get("id", tag))

    def handle_endtag(self, tag):
        if tag != "path":
            self._open.pop()

    def handle_data(self, data):
        if self._open:
            self.texts[self._open[-1]] = self.texts.get(self._open[-1], "") + data

    def of(self, tag):
        return [attributes for name, attributes in self.tags if name == tag]

    @property
    def data(self):
        return json.loads(self.texts["plan"])
