"""What the study of reach found: one outcome a job, tables of all, by family, and what they mean for a buyer."""

import csv
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from statistics import median

from plots import Points, draw
from tables import cell, markdown, median_and_most

__all__ = ["FAMILIES", "FOOT", "Outcome", "as_text", "draw_pictures", "family_of", "read_table", "wrong"]

FAMILIES = ("rect", "jog", "taper", "flat", "short")

SOON = 0.5
"""What the bound alone should take, in seconds."""

FOOT = """Seconds: the whole command, start-up included. Bound alone: the prices of pieces, the solver loaded before.
Above bound: planks in sum, in brackets the most on one job and the jobs counted; each way of laying likewise.
Habit: each row starts with the waiting plank that gives the longest legal starter, else a fresh plank cut at
random (median of 5). Third: every row set off by a third of a plank, without H-joint and stair-step. In brackets:
runs where they could not keep a rule, which the other plans always do. Plain model: all rows in one CP-SAT model
with 2 workers; its plans keep every rule, its own bound is no bound for the job. It uses offcuts within 6 rows
only, lays runs up to a plank in one piece, and keeps joints apart by their phase even where little of two rows
touches. A dash: nothing found in its time, or (plain model) a pattern, direction or sharing it does not speak of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One job's line of the table.

    ``status`` is proven, open (a plan above its bound), impossible (proved), time-out or error. ``seconds``
    is the whole command's wall time. ``habit``, ``third`` and ``model`` are the planks of other ways, with
    the runs in which they broke a rule, the seconds they took, and the bound that the model proved of itself.
    """

    job: str
    family: str
    rows: int = 0
    per_box: int = 1
    status: str
    bound: int | None = None
    planks: int | None = None
    waste_percent: float | None = None
    peak_waiting: int | None = None
    seconds: float = 0.0
    bound_seconds: float | None = None
    habit: int | None = None
    habit_breaches: int | None = None
    habit_seconds: float | None = None
    third: int | None = None
    third_breaches: int | None = None
    third_seconds: float | None = None
    model: int | None = None
    model_bound: int | None = None
    model_seconds: float | None = None
    note: str = ""


def family_of(name: str) -> str:
    """Return the family a job is named after: ``rect-01`` is of ``rect``."""
    return next((word for word in name.split("-") if word in FAMILIES), "other")


def wrong(outcome: Outcome) -> bool:
    """Say whether the program failed on a job, or its bound is shown to be too high."""
    if outcome.bound is None:
        return outcome.status == "error"
    # A floor by thirds breaks H-joint and stair-step by nature, so it cannot refute a bound.
    lawful = [outcome.model, outcome.habit if outcome.habit_breaches == 0 else None]
    return any(planks is not None and planks < outcome.bound for planks in lawful)


def read_table(file: Path) -> list[Outcome]:
    """Read a stored table back."""
    with file.open(encoding="utf-8", newline="") as text:
        return [_outcome(row) for row in csv.DictReader(text)]


def _outcome(row: dict[str, str]) -> Outcome:
    kinds: dict[str, Callable[[str], object]] = {
        field.name: float if "float" in str(field.type) else int if "int" in str(field.type) else str
        for field in fields(Outcome)
    }
    given = {name: kinds[name](text) for name, text in row.items() if text}
    return Outcome(**given)  # type: ignore[arg-type] # as the fields say


def as_text(outcomes: Sequence[Outcome], about: str) -> str:
    """Return the tables for people: families first, the buyer's next, then every job."""
    families = [*sorted({outcome.family for outcome in outcomes}), "all"]
    groups = [(name, [one for one in outcomes if name in {one.family, "all"}]) for name in families]
    return (
        "\n\n".join(
            [
                about,
                FOOT,
                _by_family(_SUMMARY, groups),
                "What it means for a buyer, over the jobs with a plan (boxes of what is laid, without culls or spare):",
                _by_family(_BUYER, groups),
                markdown(list(_EACH), ([column(one) for column in _EACH.values()] for one in outcomes)),
                "",
            ]
        ).rstrip()
        + "\n"
    )


Group = Sequence[Outcome]
Columns = dict[str, Callable[[Group], object]]


def _by_family(columns: Columns, groups: Iterable[tuple[str, Group]]) -> str:
    rows = ([name, *(column(group) for column in columns.values())] for name, group in groups)
    return markdown(["family", *columns], rows)


def _count(status: str) -> Callable[[Group], object]:
    return lambda group: sum(one.status == status for one in group)


def _settled(group: Group) -> str:
    settled = sum(one.status in {"proven", "impossible"} for one in group)
    return f"{100 * settled / len(group):.0f} %"


def _above(name: str) -> Callable[[Group], object]:
    """Return a column of planks above the bound that a way of laying needed, where both are known."""

    def text(group: Group) -> str | None:
        pairs = [(getattr(one, name), one.bound) for one in group]
        above = [planks - bound for planks, bound in pairs if planks is not None and bound is not None]
        return f"{sum(above)} ({max(above)}; {len(above)})" if above else None

    return text


def _seconds(name: str) -> Callable[[Group], object]:
    def text(group: Group) -> str:
        found = [seconds for one in group if (seconds := getattr(one, name)) is not None]
        return " / ".join(map(cell, median_and_most(found)))

    return text


def _soon(seconds: float | None) -> bool:
    return seconds is not None and seconds < SOON


_SUMMARY: Columns = {
    "jobs": len,
    "proven": _count("proven"),
    "impossible": _count("impossible"),
    "settled": _settled,
    "open": _count("open"),
    "time-out": _count("time-out"),
    "error": _count("error"),
    "above bound: sum (most; jobs)": _above("planks"),
    "habit": _above("habit"),
    "third": _above("third"),
    "plain model": _above("model"),
    "seconds: median / most": _seconds("seconds"),
    "bound alone": _seconds("bound_seconds"),
    "in half a second": lambda group: sum(_soon(one.bound_seconds) for one in group),
    "plain model, seconds": _seconds("model_seconds"),
}


@dataclass(frozen=True, slots=True)
class _Bought:
    """What one job takes, planned and by habit."""

    per_box: int
    planks: int
    habit: int
    waste: float

    @property
    def boxes(self) -> int:
        return -(-self.planks // self.per_box)

    @property
    def habit_boxes(self) -> int:
        return -(-self.habit // self.per_box)

    @property
    def habit_waste(self) -> float:
        """The waste factor in percent, were the same floor laid by habit."""
        return (100 + self.waste) * self.habit / self.planks - 100


def _bought(one: Outcome) -> list[_Bought]:
    """Return what a job takes, nothing where it has no plan or was not laid by habit."""
    if one.planks is None or one.habit is None or one.waste_percent is None:
        return []
    return [_Bought(one.per_box, one.planks, one.habit, one.waste_percent)]


def _sum(figure: Callable[[_Bought], int]) -> Callable[[Group], object]:
    return lambda group: sum(figure(bought) for one in group for bought in _bought(one))


def _median(figure: Callable[[_Bought], float]) -> Callable[[Group], object]:
    def text(group: Group) -> str | None:
        figures = [figure(bought) for one in group for bought in _bought(one)]
        return f"{median(figures):.1f}" if figures else None

    return text


_BUYER: Columns = {
    "jobs": _sum(lambda _: 1),
    "planks": _sum(lambda bought: bought.planks),
    "planks by habit": _sum(lambda bought: bought.habit),
    "boxes": _sum(lambda bought: bought.boxes),
    "boxes by habit": _sum(lambda bought: bought.habit_boxes),
    "jobs with boxes saved": _sum(lambda bought: bought.boxes < bought.habit_boxes),
    "jobs with boxes lost": _sum(lambda bought: bought.boxes > bought.habit_boxes),
    "waste %, median": _median(lambda bought: bought.waste),
    "waste % by habit, median": _median(lambda bought: bought.habit_waste),
}


def _with_breaches(planks: int | None, breaches: int | None) -> str | None:
    return None if planks is None else f"{planks} ({breaches})"


def _waste_by_habit(one: Outcome) -> str | None:
    return next((f"{bought.habit_waste:.2f}" for bought in _bought(one)), None)


_EACH: dict[str, Callable[[Outcome], object]] = {
    "job": lambda one: one.job,
    "rows": lambda one: one.rows,
    "status": lambda one: one.status,
    "bound": lambda one: one.bound,
    "planks": lambda one: one.planks,
    "waste %": lambda one: one.waste_percent,
    "by habit": _waste_by_habit,
    "waiting": lambda one: one.peak_waiting,
    "seconds": lambda one: f"{one.seconds:.2f}",
    "bound alone": lambda one: one.bound_seconds,
    "habit": lambda one: _with_breaches(one.habit, one.habit_breaches),
    "third": lambda one: _with_breaches(one.third, one.third_breaches),
    "plain model": lambda one: one.model,
    "its bound": lambda one: one.model_bound,
    "its seconds": lambda one: one.model_seconds,
}


# Method, its column of planks, its column of seconds.
_WAYS = (
    ("cutopt", "planks", "seconds"),
    ("plain CP-SAT model", "model", "model_seconds"),
    ("installer's habit", "habit", "habit_seconds"),
    ("fixed third", "third", "third_seconds"),
)


def draw_pictures(outcomes: Sequence[Outcome], stem: Path) -> Iterable[Path]:
    """Draw planks above the bound against time, and time against rows; yield the files."""
    quality = [Points(name=name, places=_quality(outcomes, *columns)) for name, *columns in _WAYS]
    speed = [
        Points(name=name, places=_speed(outcomes, column))
        for name, column in (
            ("cutopt, the whole command", "seconds"),
            ("plain CP-SAT model", "model_seconds"),
            ("cutopt, bound alone", "bound_seconds"),
        )
    ]
    file = stem.with_name(f"{stem.name}-above.svg")
    title = f"{len(outcomes)} jobs: planks above the bound against time"
    if draw(
        file,
        quality,
        title=title,
        along="seconds",
        up="planks above the bound (methods a little apart)",
        counts=True,
    ):
        yield file
    file = stem.with_name(f"{stem.name}-rows.svg")
    if draw(file, speed, title=f"{len(outcomes)} jobs: time against rows", along="rows", up="seconds"):
        yield file


def _quality(outcomes: Group, planks: str, seconds: str) -> list[tuple[float, float]]:
    found = [(getattr(one, seconds), getattr(one, planks), one.bound) for one in outcomes]
    return [(at, count - bound) for at, count, bound in found if at and count and bound is not None]


def _speed(outcomes: Group, seconds: str) -> list[tuple[float, float]]:
    return [(one.rows, at) for one in outcomes if one.rows and (at := getattr(one, seconds))]
