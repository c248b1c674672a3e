"""What a floor comes to in planks, boxes and money, what its loss consists of, and what moves it."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from cutopt.model.job import Job, PlankSpec
from cutopt.model.pricing import Choice, Shape, Varied
from cutopt.units import Ticks, Unit

__all__ = [
    "Failed",
    "Figure",
    "Grown",
    "Habit",
    "Losses",
    "Margin",
    "Margins",
    "OrderCost",
    "Outcome",
    "Risk",
    "RoomCell",
    "Study",
    "StudyRow",
    "Tally",
    "Task",
    "Why",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One job to plan by itself: ``key`` names it among others.

    Ended by ``searches``, not by ``seconds``, the same task has the same tally on every machine. The job is laid
    ``times`` times, and those ``beside`` it as often as told there, all from one heap of offcuts. ``tidy``: offcuts
    waiting and cuts count too, not planks alone.
    """

    key: str
    job: Job
    times: int = 1
    beside: tuple[tuple[Job, int], ...] = ()
    seconds: float = 60.0
    seed: int = 0
    searches: int | None = 2
    tidy: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What one checked plan comes to, in whole numbers: small enough to keep thousands.

    Areas are twice the area in square ticks: the floor (``net2``), what slanted ends and shapes lose (``slants2``),
    what is ripped off and not laid (``rips2``), sawn away (``kerf2``) and left over at crosscuts (``ends2``). They
    add up to the planks opened: ``2 * planks * length * width``. ``timed``: the clock ended the search, so that another
    machine may come to other planks.
    """

    planks: int
    bound: int
    cuts: int
    pieces: int
    peak_waiting: int
    net2: int
    slants2: int
    rips2: int
    kerf2: int
    ends2: int
    reason: str = ""
    timed: bool = False

    @property
    def proven(self) -> bool:
        """Whether no plan opens fewer."""
        return self.planks == self.bound


class Why(StrEnum):
    """Why a job has no tally."""

    FILE = "the job file is wrong"
    CLASH = "the rules cannot all be met"
    TIME = "no plan found in the time given"
    BUG = "a bug of ours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Failed:
    """A job that could not be planned: why, and every problem on a line of its own."""

    why: Why
    problems: tuple[str, ...]


Outcome = Tally | Failed


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """Where the area bought goes, in square millimetres, exactly: all parts add up to ``bought``.

    ``culls`` is what the order counts on, ``spare`` what is kept, ``rounding`` what fills the last box.
    """

    net: Fraction
    slants: Fraction
    rips: Fraction
    kerf: Fraction
    ends: Fraction
    culls: Fraction
    spare: Fraction
    rounding: Fraction

    @property
    def opened(self) -> Fraction:
        """The area of the planks opened to lay the floor."""
        return self.net + self.slants + self.rips + self.kerf + self.ends

    @property
    def bought(self) -> Fraction:
        """The area of all boxes."""
        return self.opened + self.culls + self.spare + self.rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """What a flat percentage on the net area would have bought; ``share`` is 1/20 for 5 percent.

    ``boxes`` by the area a box covers as told on it, else as computed.
    """

    share: Fraction
    boxes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """The answer for one job, or for several that are ordered together (``jobs`` more than one).

    ``unopened`` are sealed boxes expected at the end: those that the planks laid and the culls expected do not
    break into (spare planks are kept, sealed or loose).
    Money is ``None`` where boxes have no price: ``price`` before tax, ``tax`` on it, the share ``tax_share`` of it.
    """

    title: str
    unit: Unit
    plank: PlankSpec
    culls: Fraction
    spare: int
    planks: int
    bound: int
    boxes: int
    cuts: int
    pieces: int
    losses: Losses
    habits: tuple[Habit, ...]
    unopened: int
    price: Decimal | None = None
    tax: Decimal | None = None
    tax_share: Fraction = Fraction(0)
    jobs: int = 1

    @property
    def proven(self) -> bool:
        """Whether no plan opens fewer planks."""
        return self.planks == self.bound

    @property
    def as_laid(self) -> Fraction:
        """The waste factor as laid: planks opened over the net area, less 1."""
        return self.losses.opened / self.losses.net - 1

    @property
    def as_bought(self) -> Fraction:
        """The waste factor as bought: boxes over the net area, less 1."""
        return self.losses.bought / self.losses.net - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyRow:
    """One choice of a study: what differs from the job, and what it comes to.

    ``changed`` has nothing for the job as it is. ``figure`` is ``None`` where that could not be planned; ``failed`` says why.
    """

    changed: tuple[tuple[Varied, Choice], ...]
    name: str
    figure: Figure | None
    failed: Failed | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """All choices tried; ``cheapest`` and ``least_waste`` are the places of the best in ``rows`` (ties: all of them).

    Cheapest by price where all have one, else by boxes where the planks are the same, else nothing.
    Least waste is by planks opened over the net area, as laid.
    """

    rows: tuple[StudyRow, ...]
    cheapest: tuple[int, ...] = ()
    least_waste: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Grown:
    """Something that may grow: ``what`` names it for people (a room and a dimension, or the plank's length).

    ``now`` is its length in ticks, net of nothing: as the job tells it.
    """

    what: str
    now: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """How far something may grow (or shrink, where it says so) before another box is needed.

    ``good`` is the furthest length found with no more boxes, every ``grain`` from ``now`` to it tried (finer at its
    end where ``note`` says so); ``next_boxes`` what the next length needs. ``open_end``: nothing up to ``good``
    needed more, and it was not tried further or could not be planned. ``cheaper`` are longer or shorter lengths
    found on the way that need fewer boxes than ``now`` does, ``dearer`` lengths the other way that need more, each
    with how many: the nearest of each number.
    """

    of: Grown
    good: Ticks
    grain: Ticks
    next_boxes: int | None = None
    open_end: bool = False
    cheaper: tuple[tuple[Ticks, int], ...] = ()
    dearer: tuple[tuple[Ticks, int], ...] = ()
    note: str = ""


Margins = tuple[Margin, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderCost:
    """What an order of so many boxes means: how surely it is enough, what is over, what it costs.

    ``enough`` is a probability with ``error``, its standard error where it was simulated (0: exact). ``returned`` are sealed
    boxes expected to go back. ``cost`` is the expected cost, ``None`` without prices.
    """

    boxes: int
    enough: float
    error: float
    returned: float
    cost: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """How many boxes for which confidence, and the cheapest order.

    ``levels`` pairs a probability with the fewest boxes that are enough so surely. ``simulated`` trials, 0 where all is exact.
    ``cheapest`` is the number of boxes of least expected cost, ``None`` without prices.
    """

    levels: tuple[tuple[Fraction, int], ...]
    orders: tuple[OrderCost, ...]
    cheapest: int | None = None
    simulated: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomCell:
    """One room of a table of waste factors, ``along`` and ``across`` the rows in ticks."""

    shape: Shape
    along: Ticks
    across: Ticks
    figure: Figure | None
    failed: Failed | None = None
