"""What the rows come to in one direction, compared to choose between several."""

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["DirectionTrial"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectionTrial:
    """The plan for rows that run ``degrees`` from the plan's x; ``failed`` says why there is none.

    ``slivers`` counts runs ripped under the minimum, ``joints`` the end joints of the floor.
    """

    degrees: Fraction
    planks: int = 0
    proven: bool = False
    boxes: int = 0
    slivers: int = 0
    joints: int = 0
    breaches: int = 0
    failed: str = ""

    def rank(self) -> tuple[int, int, int, int]:
        """Return what is compared, the best lowest: rules kept, planks, slivers, joints."""
        return self.breaches, self.planks, self.slivers, self.joints
