"""What printed papers tell of a plan, in words, and the paper they are printed on."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from cutopt.model.words import Block
from cutopt.model.work import RowWork
from cutopt.units import Unit

__all__ = ["PAPER_SIZES", "ClientWords", "PaperName", "PaperWords", "SawCut", "SawSetting", "usual_paper"]

PaperName: TypeAlias = Literal["a4", "letter"]

PAPER_SIZES: Mapping[PaperName, tuple[int, int]] = {"a4": (595, 842), "letter": (612, 792)}
"""The short and the long side of each paper in points (1/72 in)."""


def usual_paper(unit: Unit) -> PaperName:
    """Return the paper that goes with a unit: Letter for feet and inches, else A4."""
    return "a4" if unit.is_metric else "letter"


@dataclass(frozen=True, slots=True, kw_only=True)
class SawCut:
    """A piece cut at a setting of the saw; ``note`` says what it is cut from, if not from a fresh plank."""

    piece: str
    plank: int
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SawSetting:
    """All cuts with the same ``mark``, a length (or two), measured from the same ``end`` of a part."""

    mark: str
    end: str
    cuts: tuple[SawCut, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperWords:
    """Everything that is told beside the drawing, in the order it is printed.

    ``rips`` are the widths that rows are ripped to, each with the rows' names.
    """

    title: str
    answer: str
    cover: tuple[Block, ...]
    setting_out: tuple[Block, ...]
    legend: tuple[Block, ...]
    rows: tuple[RowWork, ...]
    settings: tuple[SawSetting, ...]
    rips: tuple[tuple[str, tuple[str, ...]], ...]
    leftovers: tuple[Block, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientWords:
    """What the client's one page tells of an estimate, in the order it is printed."""

    title: str
    answer: str
    blocks: tuple[Block, ...]
