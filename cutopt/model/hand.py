"""What is really there to cut from: whole planks, and parts of planks with the factory ends they keep."""

from dataclasses import dataclass

from cutopt.model.plan import HandPart

__all__ = ["Stock"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """All there is: whole planks (those of unopened boxes counted in) and parts; ``None``: not counted.

    ``boxes`` are the unopened ones among the planks.
    """

    planks: int | None = None
    boxes: int = 0
    parts: tuple[HandPart, ...] = ()
