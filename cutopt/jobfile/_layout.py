"""How the rows are set out: direction, edge rows, limits of the floor, and rows measured in place."""

from dataclasses import dataclass, replace
from fractions import Fraction

from cutopt.jobfile._table import Table
from cutopt.model.job import EdgePolicy, LayoutSpec
from cutopt.units import Ticks

__all__ = ["HALF_TURN", "PITCH_REMEDY", "WAYS", "Pitch", "read_layout", "read_pitch"]

_KEYS = ("direction", "edges", "first_width", "run_limit_along", "run_limit_across", "movement")
WAYS = {"x": Fraction(0), "y": Fraction(90)}
_BEST = "best"
HALF_TURN = 180
PITCH_REMEDY = 'write pitch = { rows = 20, measure = "140-3/8" }: so many rows, laid tight, measure so much'


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitch:
    """``rows`` laid side by side measure so much, in ticks."""

    rows: int
    measure: Ticks

    @property
    def one(self) -> Ticks:
        """What one row takes, to the nearest tick."""
        return round(Fraction(self.measure, self.rows))


def read_pitch(plank: Table) -> Pitch | None:
    """Return what rows of this plank were measured to take; ``None`` where they were not."""
    if "pitch" not in plank:
        return None
    table = plank.table("pitch", ("rows", "measure"), PITCH_REMEDY)
    if plank.has_table("pitch"):
        table.require("rows", PITCH_REMEDY)
        table.require("measure", PITCH_REMEDY)
    rows, measure = table.count("rows", least=1), table.length("measure")
    return None if rows is None or measure is None else Pitch(rows=rows, measure=measure)


def read_layout(top: Table) -> LayoutSpec:
    """Return how the rows are to be set out; what is not said, or was wrong, is as usual."""
    table = top.table("layout", _KEYS, "write a [layout] table")
    edges = table.choice("edges", tuple(EdgePolicy))
    movement = table.length("movement", above_zero=False)
    spec = LayoutSpec(
        edges=EdgePolicy.AUTO if edges is None else EdgePolicy(edges),
        first_width=table.length("first_width"),
        run_limit_along=table.length("run_limit_along"),
        run_limit_across=table.length("run_limit_across"),
        movement=movement,
    )
    if table.says("direction", _BEST):
        return replace(spec, direction=None)
    angle = table.degrees("direction", WAYS | {_BEST: Fraction(0)}, below=HALF_TURN)
    return spec if angle is None else replace(spec, direction=angle)
