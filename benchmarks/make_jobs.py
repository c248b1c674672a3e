"""Write the stored jobs that reach.py runs: five families of floors, always the same from one seed.

The files are kept, not the seed alone: a change here must show as a change of files. Sizes are
what rooms of flats and houses have; the rules are spread over what makers ask for, easy and tight.

    python benchmarks/make_jobs.py            writes benchmarks/jobs/reach/*.toml
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import TypeVar

__all__ = ["FOLDER", "jobs"]

FOLDER = Path(__file__).parent / "jobs" / "reach"
SEED = 1729
EACH = 12
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Shop:
    """What a job is made of; lengths in ``part`` of the unit, so that all are whole numbers."""

    unit: str
    part: int
    cut_step: str
    length: int
    width: str
    per_box: int
    kerf: str
    staggers: tuple[str, ...]
    min_pieces: tuple[str, ...]
    h_joints: tuple[str, ...]
    stair_steps: tuple[str, ...]

    def text(self, parts: int) -> str:
        """Return a length as a plain number of the unit (sixteenths are exact in four decimals)."""
        return f"{parts / self.part:.4f}".rstrip("0").rstrip(".")


def _inches(length: int, width: str, per_box: int, *staggers: str) -> Shop:
    return Shop(
        unit="in",
        part=16,
        cut_step="1/16",
        length=16 * length,
        width=width,
        per_box=per_box,
        kerf="0.125",
        staggers=staggers,
        min_pieces=("6", "8", "10", "12"),
        h_joints=("0", "2", "4"),
        stair_steps=("0", "1", "2"),
    )


def _millimetres(length: int, width: str, per_box: int, *staggers: str) -> Shop:
    return Shop(
        unit="mm",
        part=1,
        cut_step="1 mm",
        length=length,
        width=width,
        per_box=per_box,
        kerf="3",
        staggers=staggers,
        min_pieces=("150", "200", "300"),
        h_joints=("0", "50", "100"),
        stair_steps=("0", "25", "50"),
    )


SHOPS = (
    _inches(36, "6", 18, "6", "8", "12"),
    _inches(48, "7", 10, "6", "8", "12", "16"),
    _inches(60, "9", 6, "8", "12", "20"),
    _inches(72, "5", 8, "8", "15", "20"),
    _millimetres(1220, "180", 10, "150", "200", "300", "400"),
    _millimetres(1285, "192", 9, "200", "300"),
    _millimetres(1900, "190", 6, "300", "500"),
)


class Dice:
    """Choices from ``Random.random`` alone, whose stream Python promises to keep."""

    def __init__(self, seed: int) -> None:
        """Start the stream."""
        self._random = Random(seed).random

    def between(self, low: int, high: int) -> int:
        """Return a whole number from ``low`` to ``high``, both included."""
        return low + int(self._random() * (high - low + 1))

    def one_of(self, options: tuple[T, ...]) -> T:
        """Return one of the options."""
        return options[self.between(0, len(options) - 1)]

    def chance(self, share: float) -> bool:
        """Say yes in this share of cases."""
        return self._random() < share


def jobs() -> Iterator[tuple[str, str]]:
    """Yield file names and texts."""
    makers = {"rect": _rect, "jog": _jog, "taper": _taper, "flat": _flat, "short": _short}
    for place, (family, maker) in enumerate(makers.items()):
        dice = Dice(SEED + place)
        for number in range(1, EACH + 1):
            name = f"{family}-{number:02d}"
            shop = dice.one_of(SHOPS)
            waiting = '"any"' if family == "short" else "6"
            yield f"{name}.toml", _head(name, shop, dice, waiting) + maker(shop, dice)


def _head(name: str, shop: Shop, dice: Dice, waiting: str) -> str:
    ends = "handed" if dice.chance(0.65) else "square"
    kerf = shop.kerf if dice.chance(0.4) else "0"
    return f"""title = "Reach {name}"
unit = "{shop.unit}"

[plank]
length = {shop.text(shop.length)}
width = {shop.width}
per_box = {shop.per_box}
ends = "{ends}"
kerf = {kerf}

[rules]
stagger = {dice.one_of(shop.staggers)}
min_piece = {dice.one_of(shop.min_pieces)}
h_joint = {dice.one_of(shop.h_joints)}
stair_step = {dice.one_of(shop.stair_steps)}
cut_step = "{shop.cut_step}"
gap = 0
max_waiting = {waiting}
"""


def _room(name: str, rows: list[str]) -> str:
    lines = "\n".join(f"  {{ {row} }}," for row in rows)
    return f'\n[[room]]\nname = "{name}"\nrows = [\n{lines}\n]\n'


def _row(shop: Shop, length: int, count: int, offset: int = 0) -> str:
    start = f"offset = {shop.text(offset)}, " if offset else ""
    return f"{start}length = {shop.text(length)}, count = {count}"


def _rect(shop: Shop, dice: Dice) -> str:
    return _room("Room", [_row(shop, _long(shop, dice), dice.between(10, 60))])


def _jog(shop: Shop, dice: Dice) -> str:
    return _room("Room", _steps(shop, dice, dice.between(2, 4)))


def _taper(shop: Shop, dice: Dice) -> str:
    return _room("Room", _sloped(shop, dice, dice.between(18, 42)))


def _flat(shop: Shop, dice: Dice) -> str:
    names = ("Kitchen", "Living room", "Study", "Bedroom")[: dice.between(2, 4)]
    rooms = [_room(name, _any_shape(shop, dice)) for name in names]
    hall = _row(shop, dice.between(5 * shop.length, 7 * shop.length), dice.between(4, 6))
    closet = _row(shop, dice.between(shop.length // 2, shop.length), dice.between(3, 9))
    return "".join([*rooms, _room("Hall", [hall]), _room("Closet", [closet])])


def _short(shop: Shop, dice: Dice) -> str:
    return "".join(
        _room(f"Closet {number}", [_row(shop, _brief(shop, dice), dice.between(2, 9))])
        for number in range(1, dice.between(3, 8) + 1)
    )


def _any_shape(shop: Shop, dice: Dice) -> list[str]:
    if dice.chance(0.25):
        return _sloped(shop, dice, dice.between(12, 24))
    return _steps(shop, dice, dice.between(1, 3))


def _long(shop: Shop, dice: Dice) -> int:
    return dice.between(17 * shop.length // 10, 62 * shop.length // 10)


def _brief(shop: Shop, dice: Dice) -> int:
    return dice.between(shop.length // 4, 19 * shop.length // 20)


def _steps(shop: Shop, dice: Dice, bands: int) -> list[str]:
    """Return bands of equal rows; every band after the first may be narrower on either side."""
    length = _long(shop, dice)
    rows = [_row(shop, length, dice.between(4, 18))]
    for _ in range(bands - 1):
        left = dice.between(1, length // 5) if dice.chance(0.5) else 0
        right = dice.between(1, length // 5) if dice.chance(0.7) else 0
        rows.append(_row(shop, length - left - right, dice.between(4, 16), left))
    return rows


def _sloped(shop: Shop, dice: Dice, count: int) -> list[str]:
    """Return rows that grow evenly, as along a wall that is out of square."""
    first, gain = _long(shop, dice), dice.between(count // 2, 3 * count)
    if shop.unit == "mm":
        gain *= 2
    return [f"length = {shop.text(first + gain * row // (count - 1))}" for row in range(count)]


def main() -> None:
    """Write all files."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, text in jobs():
        (FOLDER / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
