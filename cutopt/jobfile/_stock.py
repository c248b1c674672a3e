"""The stock file: whole planks, unopened boxes and parts of planks in hand."""

from collections.abc import Iterator
from pathlib import Path

from cutopt.jobfile._open import contents, document
from cutopt.jobfile._report import Report, visible
from cutopt.jobfile._table import LengthReader, Table
from cutopt.model.hand import Stock
from cutopt.model.plan import HandPart, Keeps
from cutopt.units import Ticks, Unit

__all__ = ["read_stock"]

_KEYS = ("unit", "planks", "boxes", "offcut")
_PART_KEYS = ("length", "keeps", "count", "lot")
_PART_REMEDY = "write each kind of offcut under an [[offcut]] line, in double brackets"


def read_stock(path: Path, *, unit: Unit, plank: Ticks, per_box: int) -> Stock:
    """Return what a stock file (TOML) says is in hand; lengths in ``unit`` unless it names another.

    ``planks`` are loose whole planks, ``boxes`` unopened ones; without either, planks are not counted. Each
    ``[[offcut]]`` has a length, the factory end it ``keeps`` (left, right, both, none), and a count.
    Raises ``JobError`` with every problem found.
    """
    report = Report(visible(str(path)))
    reader = LengthReader(report)
    top = Table(document(contents(path, report), report), "", reader, _KEYS)
    word = top.choice("unit", tuple(Unit))
    reader.unit = unit if word is None else Unit(word)
    planks, boxes = top.count("planks"), top.count("boxes")
    parts = tuple(_parts(top, plank))
    report.raise_if_any()
    counted = planks is not None or boxes is not None
    return Stock(
        planks=(planks or 0) + (boxes or 0) * per_box if counted else None, boxes=boxes or 0, parts=parts
    )


def _parts(top: Table, plank: Ticks) -> Iterator[HandPart]:
    for table in top.tables("offcut", _PART_KEYS, _PART_REMEDY) if "offcut" in top else ():
        table.require("length", "give its length from end to end")
        table.require("keeps", "say which factory end it keeps: left, right, both or none")
        length, keeps = table.length("length"), table.choice("keeps", tuple(Keeps))
        count, lot = table.count("count", least=1), table.line("lot") if "lot" in table else ""
        if length is not None and length > plank:
            table.wrong("length", "is longer than a plank", "check the offcut, and its unit")
        elif length is not None and keeps is not None:
            part = HandPart(length=length, keeps=Keeps(keeps), lot=lot or "")
            yield from [part] * (1 if count is None else count)
