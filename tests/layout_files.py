"""Layouts for tests: texts written from plans, and what the check finds in a text."""

from collections import Counter
from decimal import Decimal

from cutopt.check import check_plan
from cutopt.jobfile import parse_layout
from cutopt.layouts import as_plan, untold_rules
from cutopt.units import TICKS_PER_MM

__all__ = ["as_csv", "as_toml", "judged"]


def judged(text):
    """How often each rule is broken, of those that can be judged."""
    layout = parse_layout(text)
    untold = untold_rules(layout)
    findings = check_plan(as_plan(layout))
    return Counter(finding.rule for finding in findings if finding.rule not in untold)


def mm(ticks):
    """A length without rounding: a tick is 0.003125 mm."""
    return f"{Decimal(ticks) / TICKS_PER_MM:f}"


def told(plan):
    """What a layout tells of the plank and the rules, by section; words in quotes."""
    plank, rules = plan.plank, plan.rules
    waiting = "any" if rules.max_waiting is None else rules.max_waiting
    return {
        "plank": {
            "length": mm(plank.length),
            "width": mm(plank.width),
            "per_box": plank.per_box,
            "kerf": mm(plank.kerf),
            "ends": f'"{plank.ends}"',
        },
        "rules": {
            **{
                key: mm(getattr(rules, key))
                for key in ("stagger", "min_piece", "h_joint", "stair_step", "cut_step")
            },
            "max_waiting": f'"{waiting}"' if waiting == "any" else waiting,
            "lay": f'"{rules.lay}"',
        },
    }


def as_toml(plan):
    lines = ['unit = "mm"', 'title = "Loft"']
    for section, values in told(plan).items():
        lines += [f"[{section}]", *(f"{key} = {value}" for key, value in values.items())]
    for laid in plan.rows:
        lines += [
            "[[row]]",
            f"start = {mm(laid.run.offset)}",
            f"pieces = [{', '.join(mm(piece.length) for piece in laid.pieces)}]",
            f"planks = [{', '.join(str(piece.plank) for piece in laid.pieces)}]",
        ]
    return "\n".join(lines)


def as_csv(plan):
    lines = ["unit = mm", "title = Loft"]
    for section, values in told(plan).items():
        lines.append("; ".join(f"{section}.{key} = {value}" for key, value in values.items()))
    for laid in plan.rows:
        cells = [f"{mm(piece.length)} mm @ {piece.plank}" for piece in laid.pieces]
        lines.append("; ".join([f"start = {mm(laid.run.offset)}", *cells]))
    return "\n".join(lines)
