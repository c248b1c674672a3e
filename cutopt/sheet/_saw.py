"""Cuts by the setting of the saw, for those who cut ahead."""

from collections import defaultdict

from cutopt.model.papers import SawCut, SawSetting
from cutopt.model.plan import Plan
from cutopt.sheet._cuts import Spot, row_name, spots
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._wording import needs_marks, ripped
from cutopt.units import Ticks

__all__ = ["rips", "saw_settings"]


def saw_settings(plan: Plan) -> tuple[SawSetting, ...]:
    """Return every crosscut, those with equal marks from the same end together, the longest first.

    Within a setting the pieces stand in the order laid; what is laid as it is needs no setting.
    """
    show, where = Lengths.of(plan).show, spots(plan)
    found: defaultdict[tuple[Ticks, Ticks, str], list[SawCut]] = defaultdict(list)
    for row in plan.rows:
        for piece in row.pieces:
            spot = where[piece.id]
            if not (spot.uncut or spot.exact):
                found[_setting(spot)].append(
                    SawCut(piece=piece.id, plank=piece.plank, note=", ".join(_note(spot)))
                )
    return tuple(
        SawSetting(mark=f"{show(near)} and {show(far)}" if near else show(far), end=end, cuts=tuple(cuts))
        for (far, near, end), cuts in sorted(found.items(), key=lambda item: (-item[0][0], *item[0][1:]))
    )


def _setting(spot: Spot) -> tuple[Ticks, Ticks, str]:
    """Return the mark, the mark before it (0: none), and the end both are measured from."""
    if needs_marks(spot):
        return spot.far, spot.near, f"{spot.side} factory end"
    if spot.at_cut_end:
        return spot.piece.length, 0, "cut end"
    return spot.piece.length, 0, f"{spot.side} {'end of the strip' if spot.beside else 'factory end'}"


def _note(spot: Spot) -> list[str]:
    notes = [f"strip beside {spot.beside}"] if spot.beside else []
    notes += [f"rest of {spot.before[-1]}"] if spot.before else []
    return notes + ["slanted"] * bool(spot.piece.left_slant or spot.piece.right_slant)


def rips(plan: Plan) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return what rows are ripped to, in the order laid, each with the names of its rows."""
    lengths = Lengths.of(plan)
    found: defaultdict[str, list[str]] = defaultdict(list)
    for row in plan.rows:
        if text := ripped(row.run, plan.plank, lengths):
            found[text].append(row_name(row))
    return tuple((text, tuple(names)) for text, names in found.items())
