"""A TOML table read by typed getters: each notes what is wrong, with its place, and goes on."""

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from cutopt.jobfile._report import Report, nearest, one_of, printable, shown, step
from cutopt.units import BareLengthError, LengthError, Ticks, Unit, exact_number, parse_area, parse_measure

__all__ = ["LengthReader", "Listed", "Table"]

_MAX_COUNT = 10**9
_MAX_NAME = 200
_PRICE_DECIMALS = 4
_FINEST_ANGLE = 10**6
_PLAIN_NUMBER = re.compile(r"\d{1,12}(\.\d{0,12})?", re.ASCII)


class LengthReader:
    """Reads lengths in the job's unit, and remembers those that name no unit where there is none."""

    def __init__(self, report: Report) -> None:
        """Start without a unit."""
        self.report = report
        self.unit: Unit | None = None
        self.unit_is_wrong = False
        self.units_met: dict[str, Unit] = {}
        self._bare: list[tuple[str, object]] = []

    def read(self, value: object, place: str, *, above_zero: bool) -> Ticks | None:
        """Return a length in ticks, or None with the problem noted."""
        try:
            ticks, self.units_met[place] = parse_measure(value, self.unit)
        except LengthError as error:
            if isinstance(error, BareLengthError) and self.unit is None:
                self._bare.append((place, value))
            else:
                self.report.add(f"{shown(value)} {error.what}", place, error.remedy)
            return None
        if above_zero and ticks == 0:
            self.report.add(f"{shown(value)} is no length", place, "give a length above zero")
            return None
        return ticks

    def report_missing_unit(self) -> None:
        """Note, once for all of them, that lengths without a unit need the job's; none if the unit is wrong."""
        if not self._bare or self.unit_is_wrong:
            return
        place, value = self._bare[0]
        others = f" (and {len(self._bare) - 1} more)" if len(self._bare) > 1 else ""
        self.report.add(
            f'"unit" is missing, but {place} = {shown(value)}{others} needs it',
            "unit",
            'put a line like unit = "in" at the top, or write every length with its unit',
        )


class Table:
    """One table of the file. A getter gives None for a key that is absent or wrong; only the latter is a problem."""

    def __init__(
        self, raw: Mapping[str, object], place: str, lengths: LengthReader, known: tuple[str, ...] | None
    ) -> None:
        """Take the raw table and note every key that is not known; ``None`` where any may stand."""
        self._raw = raw
        self.place = place
        self.lengths = lengths
        self.report = lengths.report
        if known is not None:
            self._refuse_others(known)

    def _refuse_others(self, known: tuple[str, ...]) -> None:
        for key in self._raw:
            if key not in known:
                self.report.add(
                    f"{shown(key)} is not known here", self.at(key), nearest(key, known) + one_of(known)
                )

    def __contains__(self, key: str) -> bool:
        """Whether the file sets the key, rightly or wrongly."""
        return key in self._raw

    def __iter__(self) -> Iterator[str]:
        """Yield all keys in the order of the file."""
        return iter(self._raw)

    def at(self, key: str) -> str:
        """Return the place of a key in the file."""
        return step(self.place, key)

    def raw(self, key: str) -> object:
        """Return what the file has under a key, as it stands."""
        return self._raw.get(key)

    def has_table(self, key: str) -> bool:
        """Whether the key holds a table."""
        return isinstance(self._raw.get(key), dict)

    def has_list(self, key: str) -> bool:
        """Whether the key holds a list."""
        return isinstance(self._raw.get(key), list)

    def entries(self, key: str) -> int:
        """Return how many entries the list under a key has; 0 where there is none."""
        value = self._raw.get(key)
        return len(value) if isinstance(value, list) else 0

    def says(self, key: str, word: str) -> bool:
        """Whether the key holds just this word."""
        return self._raw.get(key) == word

    def wrong(self, key: str, what: str, remedy: str) -> None:
        """Note what is wrong with a key's value."""
        self.report.add(f"{shown(self._raw[key])} {what}", self.at(key), remedy)

    def require(self, key: str, remedy: str) -> None:
        """Note that a key must be there."""
        if key not in self._raw:
            self.report.add(f'"{key}" is missing', self.at(key), remedy)

    def length(self, key: str, *, above_zero: bool = True) -> Ticks | None:
        """Return a length in ticks."""
        if key not in self._raw:
            return None
        return self.lengths.read(self._raw[key], self.at(key), above_zero=above_zero)

    def text(self, key: str) -> str | None:
        """Return a text as it stands."""
        value = self._raw.get(key)
        if value is None or isinstance(value, str):
            return value
        self.wrong(key, "is not a text", 'put it in quotes: "..."')
        return None

    def line(self, key: str) -> str | None:
        """Return a text on one line: white space runs together, control characters are refused."""
        value = self.text(key)
        if value is None:
            return None
        line = " ".join(value.split())
        if not line or len(line) > _MAX_NAME or not all(map(printable, line)):
            self.wrong(key, "is not a name to print", f"use 1 to {_MAX_NAME} visible characters")
            return None
        return line

    def count(self, key: str, *, least: int = 0, words: tuple[str, ...] = ()) -> int | None:
        """Return a whole number from ``least`` up; ``words`` are what else might stand there."""
        value = self._raw.get(key)
        if value is None:
            return None
        if isinstance(value, int) and not isinstance(value, bool) and least <= value <= _MAX_COUNT:
            return value
        other = "".join(f' or "{word}"' for word in words)
        reason = f"is not a whole number of {least} or more{other}"
        huge = isinstance(value, int) and value > _MAX_COUNT
        self.wrong(key, "is too many" if huge else reason, f"give a whole number from {least} up{other}")
        return None

    def count_or_word(self, key: str, words: tuple[str, ...]) -> int | str | None:
        """Return a whole number of 0 or more, or one of the words allowed in its place."""
        value = self._raw.get(key)
        return value if isinstance(value, str) and value in words else self.count(key, words=words)

    def choice(self, key: str, words: tuple[str, ...]) -> str | None:
        """Return one of the words."""
        value = self._raw.get(key)
        if value is None:
            return None
        if isinstance(value, str) and value in words:
            return value
        hint = nearest(value, words) if isinstance(value, str) else ""
        self.wrong(key, "is not known here", hint + one_of(words))
        return None

    def flag(self, key: str) -> bool | None:
        """Return true or false."""
        value = self._raw.get(key)
        if value is None or isinstance(value, bool):
            return value
        self.wrong(key, "is neither true nor false", "write true or false without quotes")
        return None

    def degrees(self, key: str, words: Mapping[str, Fraction], *, below: int) -> Fraction | None:
        """Return an angle of 0 to under ``below`` degrees, or what one of the words stands for."""
        value = self._raw.get(key)
        if value is None:
            return None
        if isinstance(value, str) and value in words:
            return words[value]
        if isinstance(value, int | Decimal) and not isinstance(value, bool):
            angle = Fraction(value) if Decimal(value).is_finite() else Fraction(-1)
            if 0 <= angle < below and angle.denominator <= _FINEST_ANGLE:
                return angle
        known = "".join(f'"{word}", ' for word in words) + ("or " if words else "")
        self.wrong(key, "is no angle", f"give {known}degrees from 0 to under {below}")
        return None

    def share(self, key: str) -> Fraction | None:
        """Return a share from 0 to under 1, written as "2%" or 0.02."""
        value = self._raw.get(key)
        if value is None:
            return None
        share = _share(value)
        if share is not None and 0 <= share < 1:
            return share
        self.wrong(key, "is not a share under 100 %", 'write it like "2%" or 0.02')
        return None

    def price(self, key: str) -> Decimal | None:
        """Return an amount of money, exactly as written."""
        value = self._raw.get(key)
        if value is None:
            return None
        if isinstance(value, int | Decimal) and not isinstance(value, bool):
            amount = Decimal(value)
            if amount.is_finite() and 0 <= amount <= _MAX_COUNT and amount == round(amount, _PRICE_DECIMALS):
                return amount
        self.wrong(key, "is not a price", "give a plain number such as 61.50, without a currency sign")
        return None

    def area(self, key: str) -> Fraction | None:
        """Return an area in square millimetres."""
        value = self._raw.get(key)
        if value is None:
            return None
        try:
            area = parse_area(value) if isinstance(value, str) else Fraction(0)
        except LengthError as error:
            self.wrong(key, error.what, error.remedy)
            return None
        if area > 0:
            return area
        self.wrong(key, "is not an area", "write it like 18.67 sq ft or 2.17 m2")
        return None

    def table(self, key: str, known: tuple[str, ...] | None, remedy: str) -> "Table":
        """Return the table under a key; an empty one when it is absent or no table."""
        value = self._raw.get(key, {})
        if not isinstance(value, dict):
            self.wrong(key, "is not a table", remedy)
            value = {}
        return Table(value, self.at(key), self.lengths, known)

    def items(self, key: str, remedy: str) -> list[tuple[str, object]]:
        """Return the entries of a list, each with its place (counted from 1); none when it is no list, or empty."""
        value = self._raw.get(key)
        if value is None:
            return []
        if not isinstance(value, list) or not value:
            self.wrong(key, "is not a list" if not isinstance(value, list) else "is empty", remedy)
            return []
        place = self.at(key)
        return [(f"{place}[{number}]", entry) for number, entry in enumerate(value, start=1)]

    def tables(self, key: str, known: tuple[str, ...], remedy: str) -> Iterator["Table"]:
        """Yield each table of a list of tables; an entry that is no table is noted and left out."""
        for place, entry in self.items(key, remedy):
            if isinstance(entry, dict):
                yield Table(entry, place, self.lengths, known)
            else:
                self.report.add(f"{shown(entry)} is not a table", place, remedy)

    def listed(self, key: str, remedy: str, *, most: int) -> "Listed":
        """Return the entries of a list under their numbers; an empty one when it is absent, no list or too long."""
        entries = [entry for _, entry in self.items(key, remedy)]
        if len(entries) > most:
            self.wrong(key, "is too long", f"give at most {most}")
            entries = []
        return Listed(entries, self.at(key), self.lengths)


class Listed(Table):
    """The entries of a list, read like those of a table; the keys are their numbers, counted from 1."""

    def __init__(self, entries: Sequence[object], place: str, lengths: LengthReader) -> None:
        """Take the entries as they stand."""
        super().__init__(
            {str(number): entry for number, entry in enumerate(entries, start=1)}, place, lengths, None
        )

    def at(self, key: str) -> str:
        """Return the place of an entry in the file."""
        return f"{self.place}[{key}]"


def _share(value: object) -> Fraction | None:
    """Return a share, or None for what is none; "2%" and "0.02" may be written with spaces."""
    percent = False
    if isinstance(value, str):
        figure, mark, rest = value.replace(" ", "").partition("%")
        if rest or not _PLAIN_NUMBER.fullmatch(figure):
            return None
        value, percent = Decimal(figure), bool(mark)
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return None
    try:
        return exact_number(value) / (100 if percent else 1)
    except LengthError:
        return None
