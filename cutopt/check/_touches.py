"""Which runs of neighbouring lines touch: the floor of one goes on in the other across the line."""

from collections import defaultdict
from collections.abc import Iterator

from cutopt.check._finding import Fault, Finding
from cutopt.check._floors import Owned
from cutopt.model.floor import Run

__all__ = ["check_touches"]


def check_touches(before: Owned, after: Owned, line: float) -> Iterator[Finding]:
    """Yield every run that does not name, of the line before, just those that it touches.

    ``line`` is where the two lines meet. Runs touch that share an edge there longer than the noise of
    floats; for less than that either will do. A run that names none means all whose spans overlap with
    its own; that may be more than it touches, which only makes rules stricter.
    """
    common = _common_edges(before, after, line)
    for mine, (laid, part) in enumerate(after):
        named = {earlier.run.run for earlier, _ in before if _names(laid.run, earlier.run)}
        touched = {before[its][0].run.run: length for its, length in common[mine].items()}
        for number in sorted(touched.keys() - named):
            if touched[number] > 2 * part.noise:
                yield _about(Fault.TOUCH_MISSED, laid.run, number)
        if laid.run.touches is not None:
            for number in sorted(set(laid.run.touches) - touched.keys()):
                yield _about(Fault.TOUCH_WRONG, laid.run, number)


def _names(run: Run, earlier: Run) -> bool:
    if run.touches is None:
        return min(run.right, earlier.right) > max(run.offset, earlier.offset)
    return earlier.run in run.touches


def _about(fault: Fault, run: Run, number: int) -> Finding:
    return Finding(fault=fault, rows=(run.row,), place_row=run.row, run=run.run, found=number)


def _common_edges(before: Owned, after: Owned, line: float) -> defaultdict[int, dict[int, float]]:
    """Return by run after, by run before, the longest edge that they share.

    Edges that come as near as the noise of floats are counted too, with a length of 0 or less, unless
    both ends are corners: these lie on whole ticks, and are true.
    """
    tops = sorted(
        (left, right, nth)
        for nth, (_, part) in enumerate(before)
        if abs(part.high - line) <= part.noise
        for left, right in part.upper
    )
    bottoms = sorted(
        (left, right, nth, part.noise)
        for nth, (_, part) in enumerate(after)
        if abs(part.low - line) <= part.noise
        for left, right in part.lower
    )
    found: defaultdict[int, dict[int, float]] = defaultdict(dict)
    start = 0
    for left, right, mine, noise in bottoms:
        while start < len(tops) and tops[start][1] < left - noise:
            start += 1
        for at in range(start, len(tops)):
            its_left, its_right, its = tops[at]
            if its_left > right + noise:
                break
            low, high = max(left, its_left), min(right, its_right)
            if high > low or not (low.is_integer() and high.is_integer()):
                found[mine][its] = max(high - low, found[mine].get(its, high - low))
    return found
