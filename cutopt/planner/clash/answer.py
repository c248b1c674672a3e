"""The three answers to "can this floor be laid at all?"."""

from dataclasses import dataclass
from enum import Enum, auto

__all__ = ["Answer", "Verdict"]


class Answer(Enum):
    """Shown by an example, proved to be out of the question, or given up."""

    POSSIBLE = auto()
    IMPOSSIBLE = auto()
    UNDECIDED = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """An answer; ``ways`` (one way a run) where the floor can be laid, else empty.

    Where it cannot, not even the runs up to ``upto`` (by index) can be.
    ``at_cut_step``: an "impossible" speaks of starters on the cut step only. A starter off it is legal
    where its plank is used without trim, so such a floor might be laid after all.
    """

    answer: Answer
    ways: tuple[int, ...] = ()
    upto: int = -1
    at_cut_step: bool = False
