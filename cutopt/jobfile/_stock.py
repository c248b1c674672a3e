"""The stock file: whole planks, unopened boxes and parts of planks in hand."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from cutopt.jobfile._report import Report, visible
from cutopt.jobfile._table import LengthReader, Table
from cutopt.jobfile._text import contents, document
from cutopt.model.hand import Lot, Stock
from cutopt.model.job import KeepLots
from cutopt.model.plan import HandPart, Keeps
from cutopt.units import Ticks, Unit

__all__ = ["read_stock"]

_KEYS = ("unit", "planks", "boxes", "lots", "lot", "offcut")
_LOT_KEYS = ("name", "planks", "boxes")
_PART_KEYS = ("length", "keeps", "count", "lot")
_LOT_REMEDY = "write each lot under a [[lot]] line, in double brackets"
_PART_REMEDY = "write each kind of offcut under an [[offcut]] line, in double brackets"


def read_stock(path: Path, *, unit: Unit, plank: Ticks, per_box: int) -> Stock:
    """Return what a stock file (TOML) says is in hand; lengths in ``unit`` unless it names another.

    Each ``[[lot]]`` has a name and its planks and boxes; ``lots`` says how they are kept apart (room, row, mix).
    ``planks`` are loose whole planks, ``boxes`` unopened ones; without either, planks are not counted. Each
    ``[[offcut]]`` has a length, the factory end it ``keeps`` (left, right, both, none), and a count.
    Raises ``JobError`` with every problem found.
    """
    report = Report(visible(str(path)))
    reader = LengthReader(report)
    top = Table(document(contents(path, report, "stock file"), report), "", reader, _KEYS)
    word = top.choice("unit", tuple(Unit))
    reader.unit = unit if word is None else Unit(word)
    planks, boxes = top.count("planks"), top.count("boxes")
    keep = top.choice("lots", tuple(KeepLots)) if "lots" in top else None
    lots = tuple(_lots(top, per_box))
    parts = tuple(_parts(top, plank, [lot.name for lot in lots]))
    if lots and (planks is not None or boxes is not None):
        report.add("planks or boxes of no lot stand beside lots", "lot", "count all of them under their lots")
    report.raise_if_any()
    counted = planks is not None or boxes is not None
    loose = (planks or 0) + (boxes or 0) * per_box if counted else None
    return Stock(
        planks=sum(lot.planks for lot in lots) if lots else loose,
        boxes=boxes or 0,
        parts=parts,
        lots=lots,
        keep=KeepLots.ROW if keep is None else KeepLots(keep),
    )


def _lots(top: Table, per_box: int) -> Iterator[Lot]:
    seen: set[str] = set()
    for table in top.tables("lot", _LOT_KEYS, _LOT_REMEDY) if "lot" in top else ():
        table.require("name", "give the name or number that stands on its boxes")
        name, planks, boxes = table.line("name"), table.count("planks"), table.count("boxes")
        if name is not None and name in seen:
            table.wrong("name", "names a lot told already", "count each lot once")
        if name is not None:
            seen.add(name)
            yield Lot(name=name, planks=(planks or 0) + (boxes or 0) * per_box)


def _parts(top: Table, plank: Ticks, lots: Sequence[str]) -> Iterator[HandPart]:
    for table in top.tables("offcut", _PART_KEYS, _PART_REMEDY) if "offcut" in top else ():
        table.require("length", "give its length from end to end")
        table.require("keeps", "say which factory end it keeps: left, right, both or none")
        length, keeps = table.length("length"), table.choice("keeps", tuple(Keeps))
        count, lot = table.count("count", least=1), table.line("lot") if "lot" in table else ""
        if length is not None and length > plank:
            table.wrong("length", "is longer than a plank", "check the offcut, and its unit")
        elif lots and "lot" not in table:
            table.require("lot", "name its lot, as the planks are told by lots")
        elif lots and lot is not None and lot not in lots:
            table.wrong("lot", "is none of the lots told", "name one of them")
        elif length is not None and keeps is not None:
            part = HandPart(length=length, keeps=Keeps(keeps), lot=lot or "")
            yield from [part] * (1 if count is None else count)
