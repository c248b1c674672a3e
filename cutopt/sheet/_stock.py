"""What is in hand: whether it is enough, lot by lot, and what to buy."""

from collections.abc import Iterator, Sequence
from math import ceil

from cutopt.model.hand import LotShare
from cutopt.model.plan import Plan, Source
from cutopt.model.words import Block, Heading
from cutopt.sheet._text import clean, count, labels

__all__ = ["boxes_to_buy", "in_hand", "lot_rows", "verdict"]


def verdict(shares: Sequence[LotShare], fewest: int, per_box: int) -> str:
    """Return on one line whether what is in hand is enough; ``fewest`` fresh planks are needed at least.

    A purchase is the smallest where even the fewest planks, and lots mixed, need as many boxes.
    """
    fresh = sum(share.fresh for share in shares)
    need = f"{count(fresh, 'fresh plank')} still to open"
    proof = "proven fewest" if fresh == fewest else f"at least {fewest} needed"
    counts = [share.have for share in shares if share.have is not None]
    if len(counts) < len(shares):
        return f"{need} ({proof}); nobody counted what is in hand"
    have = sum(counts)
    short = sum(max(0, share.fresh - (share.have or 0)) for share in shares)
    if not short:
        return f"Enough: {need} ({proof}), {have} in hand, {have - fresh} to spare"
    boxes, least = boxes_to_buy(shares, per_box), ceil(max(0, fewest - have) / per_box)
    if not least:
        sure = "a better plan might still do"
    elif least == boxes:
        sure = "with less it cannot be done"
    else:
        sure = f"with less than {count(least, 'box', 'boxes')} it cannot be done"
    return f"SHORT by {count(short, 'plank')}, {count(boxes, 'box', 'boxes')}: {need} ({proof}), {have} in hand; {sure}"


def boxes_to_buy(shares: Sequence[LotShare], per_box: int) -> int:
    """Return the boxes that what is in hand falls short by, each lot by itself."""
    return sum(ceil(max(0, share.fresh - share.have) / per_box) for share in shares if share.have is not None)


def lot_rows(shares: Sequence[LotShare]) -> Iterator[tuple[str, str]]:
    """Yield which rows each lot takes, and how many of its planks."""
    for share in shares:
        if share.lot:
            rows = "no row"
            if share.rows is not None:
                first, last = share.rows
                rows = f"row {first}" if first == last else f"rows {first} to {last}"
            have = "" if share.have is None else f" of the {share.have} in hand"
            yield f"lot {clean(share.lot)}", f"{rows}: {count(share.fresh, 'fresh plank')}{have}"


def in_hand(plan: Plan, shares: Sequence[LotShare]) -> list[Block]:
    """Return what a plan takes of what is in hand, in place of an order."""
    parts = sum(plank.source is Source.HAND for plank in plan.planks)
    rows = [
        ("verdict", verdict(shares, plan.bound.planks, plan.plank.per_box)),
        ("parts", f"{count(parts, 'part')} in hand made use of"),
        *lot_rows(shares),
    ]
    return [Heading("In hand"), labels(rows)]
