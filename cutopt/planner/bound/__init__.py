"""Lower bounds on planks, valid for every plan the rules allow at the cut step."""

from cutopt.planner.bound.floor import (
    Priced,
    area_bound,
    area_reason,
    lengths_below,
    local_prices,
    price_bound,
)

__all__ = ["Priced", "area_bound", "area_reason", "lengths_below", "local_prices", "price_bound"]
