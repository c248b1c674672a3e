"""Where the area goes that is bought, in figures that add up as they are shown."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from cutopt.model.estimate import Figure
from cutopt.model.words import Block, Table
from cutopt.sheet._text import para
from cutopt.sheet.estimate._told import apportioned, round_half_up, size
from cutopt.units import Unit

__all__ = ["LOSSES", "area_unit", "loss_parts", "loss_shares", "loss_words"]

_LAYING = ("cut ends", "slants and shapes", "rips", "kerf")
_ORDERING = ("culls", "spare", "rounding to boxes")

LOSSES = (*_LAYING, *_ORDERING)
"""What is lost between what is bought and the net area, in the order told: in laying, then in the order."""

_WHOLE = 1000
"""The net area in tenths of a percent."""

_SQUARE_FOOT = Fraction(3048, 10) ** 2
_SQUARE_METRE = Fraction(10**6)


def area_unit(unit: Unit) -> tuple[Fraction, str]:
    """Return the square feet or metres that areas are told in: how many square millimetres, and the name."""
    return (_SQUARE_METRE, "m2") if unit.is_metric else (_SQUARE_FOOT, "sq ft")


def loss_parts(figure: Figure) -> tuple[Fraction, ...]:
    """Return the areas of :data:`LOSSES`, in square millimetres; with the net area they add up to what is bought."""
    one = figure.losses
    return (one.ends, one.slants, one.rips, one.kerf, one.culls, one.spare, one.rounding)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shares:
    """Shares of the net area in tenths of a percent: it and ``laying`` are ``opened``, which with ``ordering`` is ``bought``.

    ``opened`` and ``bought`` are rounded as the waste factors are; the parts so that they add up.
    """

    laying: Sequence[int]
    opened: int
    ordering: Sequence[int]
    bought: int

    @classmethod
    def of(cls, figure: Figure) -> "_Shares":
        """Return the shares of a figure."""
        tenth = figure.losses.net / _WHOLE
        opened, bought = (round_half_up(one / tenth) for one in (figure.losses.opened, figure.losses.bought))
        parts = [part / tenth for part in loss_parts(figure)]
        return cls(
            laying=apportioned(parts[: len(_LAYING)], opened - _WHOLE),
            opened=opened,
            ordering=apportioned(parts[len(_LAYING) :], bought - opened),
            bought=bought,
        )


def loss_shares(figure: Figure) -> tuple[str, ...]:
    """Return the shares of :data:`LOSSES` in the net area, as percentages that add up to the waste as bought."""
    found = _Shares.of(figure)
    return tuple(_percent(tenths) for tenths in (*found.laying, *found.ordering))


def loss_words(figure: Figure) -> list[Block]:
    """Return the table of where the area goes, and how its figures are rounded."""
    losses, shares = figure.losses, _Shares.of(figure)
    parts, laying = loss_parts(figure), len(_LAYING)
    rows = (
        ("net area", losses.net, _WHOLE),
        *zip(_LAYING, parts[:laying], shares.laying, strict=True),
        ("= planks opened", losses.opened, shares.opened),
        *zip(_ORDERING, parts[laying:], shares.ordering, strict=True),
        ("= bought", losses.bought, shares.bought),
    )
    told = ((name, size(area, figure.unit), _percent(share)) for name, area, share in rows)
    return [
        Table((("", "area", "of the net area"), *told), frozenset({1, 2})),
        para("Shares are rounded so that they add up, areas each by itself.", first="  - "),
    ]


def _percent(tenths: int) -> str:
    return f"{Decimal(tenths).scaleb(-1):.1f} %"
