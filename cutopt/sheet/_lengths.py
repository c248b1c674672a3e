"""Lengths in the job's own units."""

from dataclasses import dataclass

from cutopt.model.plan import Plan
from cutopt.units import Ticks, Unit, format_length

__all__ = ["Lengths"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lengths:
    """How one sheet shows lengths: its unit, and the cut step that odd lengths are rounded to."""

    unit: Unit
    step: Ticks

    @classmethod
    def of(cls, plan: Plan) -> "Lengths":
        """Return how the plan shows its lengths."""
        return cls(unit=plan.unit, step=plan.rules.cut_step)

    def show(self, ticks: Ticks) -> str:
        """Return a length as text, behind ``~`` where it had to be rounded."""
        return format_length(ticks, self.unit, self.step)
