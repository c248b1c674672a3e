"""Job files written out from a few words, and what the layout makes of them. Lengths in inches."""

from fractions import Fraction

import pytest

from cutopt.errors import JobError
from cutopt.jobfile import parse_job
from cutopt.layout import lay_out
from cutopt.units import TICKS_PER_INCH

PLANK = {"kind": "engineered wood", "length": 72, "width": 5, "per_box": 8}
RULES = {"gap": 0, "min_rip": 2}


def text_of(*tables, plank=None, rules=None, layout=None, **one):
    """A job file with these tables, each told by one of the functions below; ``one`` sets a key of the head."""
    head = {
        "plank": PLANK | (plank or {}) | {key: one[key] for key in one.keys() & PLANK.keys()},
        "rules": RULES | (rules or {}) | {key: one[key] for key in one.keys() & RULES.keys()},
        "layout": layout or {},
    }
    sections = [f"[{name}]\n{_pairs(table)}" for name, table in head.items()]
    return "\n".join(['unit = "in"', *sections, *tables])


def job_of(*tables, **head):
    return parse_job(text_of(*tables, **head), "loft.toml")


def floor_of(*tables, **head):
    return lay_out(job_of(*tables, **head))


def refusal_of(*tables, **head):
    with pytest.raises(JobError) as caught:
        floor_of(*tables, **head)
    return str(caught.value).splitlines()


def room(name, size=None, **keys):
    return _table("[[room]]", name=name, **({} if size is None else {"size": size}), **keys)


def thing(name, at=None, size=None, **keys):
    place = {} if at is None else {"at": at, "size": size}
    return _table("[[room.fixed]]", name=name, **place, **keys)


def doorway(rooms, walls, offsets, width=30, **keys):
    return _table("[[doorway]]", rooms=rooms, walls=walls, **{"from": offsets}, width=width, **keys)


def stop(name, of, **keys):
    return _table("[[stop]]", name=name, room=of, **keys)


def inches(ticks):
    return Fraction(ticks, TICKS_PER_INCH)


def ring(corners):
    """Corners in inches."""
    return [(inches(x), inches(y)) for x, y in corners]


def rows(floor):
    """Line, offset and length of every run, in inches."""
    return [(run.line, inches(run.offset), inches(run.length)) for run in floor.runs]


def _table(head, **keys):
    return f"{head}\n{_pairs(keys)}"


def _pairs(table):
    return "\n".join(f"{key} = {_value(value)}" for key, value in table.items())


def _value(value):
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Fraction):
        return f'"{value.numerator}/{value.denominator}"'
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_value, value))}]"
    return str(value)
