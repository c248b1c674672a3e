"""What the check can find, as data."""

from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import TypeAlias

from cutopt.units import Ticks

__all__ = ["Amount", "Fault", "Finding", "Kind", "Rule", "Wanted"]

Amount: TypeAlias = int | float | str | None


class Rule(StrEnum):
    """The rules and counts of a plan, by their names in the trade."""

    NUMBERING = "numbering"
    RUN_LENGTH = "run length"
    ROW_WIDTH = "row width"
    AREA = "area"
    PIECE_LENGTH = "piece length"
    CUT_ENDS = "cut ends at walls"
    FACTORY_ENDS = "factory ends"
    PLANK_LENGTH = "plank length"
    PLANK_LIST = "pieces of a plank"
    OFFCUTS = "offcuts"
    GROUND = "the floor on the plan"
    TOUCHING = "touching runs"
    MIN_PIECE = "minimum piece"
    MIN_RIP = "minimum rip"
    CUT_STEP = "cut step"
    STAGGER = "stagger"
    H_JOINT = "H-joint"
    STAIR_STEP = "stair-step"
    PATTERN = "pattern"
    MAX_WAITING = "waiting offcuts"
    SHARE_OFFCUTS = "sharing offcuts"
    SHARE_RIPS = "sharing rips"
    LOTS = "lots kept apart"
    TOTALS = "totals"
    BOUND = "lower bound"


class Kind(Enum):
    """What ``found`` and ``wanted`` of a finding measure."""

    LENGTH = "ticks"
    AREA2 = "twice an area, in square ticks"
    COUNT = "count"
    AREA = "square millimetres"
    PERCENT = "percent"
    WORD = "word"


class Wanted(Enum):
    """How ``found`` should stand to ``wanted``."""

    LEAST = "at least"
    MOST = "at most"
    EQUAL = ""
    MULTIPLE = "a multiple of"


class Fault(Enum):
    """Everything that can be wrong, with its rule, its words, and what its figures measure."""

    # Numbers and names
    ROW_ORDER = (Rule.NUMBERING, "the rows are not numbered on in the order laid", Kind.COUNT, Wanted.EQUAL)
    RUN_ORDER = (Rule.NUMBERING, "the runs of a row are not numbered on", Kind.COUNT, Wanted.EQUAL)
    ROW_PARTED = (Rule.NUMBERING, "two runs of one row lie on different lines", Kind.COUNT, Wanted.EQUAL)
    LINE_ORDER = (Rule.NUMBERING, "the lines of a room do not rise with its rows", Kind.COUNT, Wanted.LEAST)
    DOWN_LATE = (
        Rule.NUMBERING,
        "a run that lies already does not come before the rows of its field",
        Kind.COUNT,
        Wanted.MOST,
    )
    ROOM_FIELDS = (Rule.NUMBERING, "a room is spread over two fields", Kind.WORD, Wanted.EQUAL)
    PIECE_ID = (Rule.NUMBERING, "a piece is not numbered in the order laid", Kind.WORD, Wanted.EQUAL)
    PLANK_NUMBER = (Rule.NUMBERING, "a plank's number is under 1", Kind.COUNT, Wanted.LEAST)

    # Runs
    NO_RUNS = (Rule.RUN_LENGTH, "the plan has no runs", Kind.COUNT, Wanted.LEAST)
    NO_PIECES = (Rule.RUN_LENGTH, "a run has no pieces", Kind.COUNT, Wanted.LEAST)
    RUN_SUM = (Rule.RUN_LENGTH, "the pieces do not add up to the run", Kind.LENGTH, Wanted.EQUAL)
    ROW_TOO_WIDE = (Rule.ROW_WIDTH, "a row is wider than the plank", Kind.LENGTH, Wanted.MOST)
    NO_WIDTH = (Rule.ROW_WIDTH, "a row has no width", Kind.LENGTH, Wanted.LEAST)
    AREA_TOO_LARGE = (Rule.AREA, "a run's area is more than length times width", Kind.AREA2, Wanted.MOST)
    NO_AREA = (Rule.AREA, "a run has no area", Kind.AREA2, Wanted.LEAST)
    RUNS_OVERLAP = (Rule.AREA, "two runs of a row lie on the same floor", Kind.AREA2, Wanted.MOST)
    SLANT_LONG = (Rule.CUT_ENDS, "a wall slants by more than its run is long", Kind.LENGTH, Wanted.MOST)
    SLANT = (Rule.CUT_ENDS, "a piece's slant is not that of the wall it meets", Kind.LENGTH, Wanted.EQUAL)
    SLANTED_FACTORY = (Rule.CUT_ENDS, "a slanted end is called a factory end", Kind.WORD, Wanted.EQUAL)
    CUT_END_INSIDE = (Rule.CUT_ENDS, "a cut end meets another piece", Kind.WORD, Wanted.EQUAL)
    STARTER_SHORT = (Rule.MIN_PIECE, "the starter is too short", Kind.LENGTH, Wanted.LEAST)
    END_PIECE_SHORT = (Rule.MIN_PIECE, "the end piece is too short", Kind.LENGTH, Wanted.LEAST)
    OFF_STEP = (Rule.CUT_STEP, "the starter is off the cut step", Kind.LENGTH, Wanted.MULTIPLE)

    # Planks
    NO_LENGTH = (Rule.PIECE_LENGTH, "a piece has no length", Kind.LENGTH, Wanted.LEAST)
    PIECE_TOO_LONG = (Rule.PIECE_LENGTH, "a piece is longer than its plank", Kind.LENGTH, Wanted.MOST)
    PLANK_TOO_FULL = (
        Rule.PLANK_LENGTH,
        "pieces and kerfs are longer than their plank",
        Kind.LENGTH,
        Wanted.MOST,
    )
    PLANK_TWICE = (Rule.PLANK_LIST, "a plank is listed twice", Kind.COUNT, Wanted.EQUAL)
    PLANK_UNLISTED = (Rule.PLANK_LIST, "a plank is not listed", Kind.COUNT, Wanted.EQUAL)
    PLANK_UNUSED = (Rule.PLANK_LIST, "a plank is listed without pieces", Kind.COUNT, Wanted.LEAST)
    PIECE_UNKNOWN = (Rule.PLANK_LIST, "a plank lists a piece that is laid nowhere", Kind.COUNT, Wanted.EQUAL)
    PIECE_UNLISTED = (Rule.PLANK_LIST, "a piece is not in its plank's list", Kind.COUNT, Wanted.EQUAL)
    PIECE_LISTED_TWICE = (Rule.PLANK_LIST, "a piece is listed more than once", Kind.COUNT, Wanted.EQUAL)
    WRONG_PLANK = (Rule.PLANK_LIST, "a piece is listed under another plank", Kind.COUNT, Wanted.EQUAL)
    FACTORY_AMID = (Rule.FACTORY_ENDS, "a factory end lies where the plank has none", Kind.WORD, Wanted.EQUAL)
    BOTH_FACTORY = (
        Rule.FACTORY_ENDS,
        "a part of a plank cannot have both factory ends",
        Kind.LENGTH,
        Wanted.EQUAL,
    )
    NOT_TRIMMED = (Rule.FACTORY_ENDS, "nothing is left to trim off this end", Kind.WORD, Wanted.EQUAL)
    OFFCUT_COUNT = (Rule.OFFCUTS, "the number of offcuts is wrong", Kind.COUNT, Wanted.EQUAL)
    OFFCUT_LENGTH = (Rule.OFFCUTS, "an offcut's length is wrong", Kind.LENGTH, Wanted.EQUAL)
    OFFCUT_KEEPS = (Rule.OFFCUTS, "an offcut cannot keep this factory end", Kind.WORD, Wanted.EQUAL)
    SHARED_RIPS = (Rule.SHARE_RIPS, "strips are shared, though the rules say no", Kind.COUNT, Wanted.MOST)
    STRIP_NUMBER = (Rule.SHARE_RIPS, "a strip is not the second of its plank", Kind.COUNT, Wanted.EQUAL)
    STRIP_WHOLE = (Rule.SHARE_RIPS, "a strip is of a plank that is not listed", Kind.COUNT, Wanted.EQUAL)
    STRIP_TWICE = (Rule.SHARE_RIPS, "two strips lie beside one piece", Kind.COUNT, Wanted.EQUAL)
    STRIP_BESIDE = (
        Rule.SHARE_RIPS,
        "a strip lies beside no ripped piece of its plank",
        Kind.WORD,
        Wanted.EQUAL,
    )
    STRIP_LENGTH = (
        Rule.SHARE_RIPS,
        "a strip is not as long as the piece beside it",
        Kind.LENGTH,
        Wanted.EQUAL,
    )
    STRIP_ENDS = (Rule.SHARE_RIPS, "a strip has other ends than the piece beside it", Kind.WORD, Wanted.EQUAL)
    STRIP_WIDTH = (Rule.SHARE_RIPS, "a strip is not as wide as its row", Kind.LENGTH, Wanted.EQUAL)
    STRIPS_TOO_WIDE = (
        Rule.SHARE_RIPS,
        "two strips and the kerf are wider than their plank",
        Kind.LENGTH,
        Wanted.MOST,
    )
    STRIP_EDGE = (
        Rule.SHARE_RIPS,
        "a row asks for the long edge that the strip has not",
        Kind.WORD,
        Wanted.EQUAL,
    )
    OTHER_ROOM = (Rule.SHARE_OFFCUTS, "a plank is shared between rooms", Kind.COUNT, Wanted.MOST)

    LOTS_MIXED = (Rule.LOTS, "lots meet that are to be kept apart", Kind.COUNT, Wanted.MOST)

    # Joints
    JOINTS_CLOSE = (Rule.STAGGER, "joints of neighbouring rows are too close", Kind.LENGTH, Wanted.LEAST)
    H_CLOSE = (Rule.H_JOINT, "joints two rows apart are too close", Kind.LENGTH, Wanted.LEAST)
    STEPS_ALIKE = (Rule.STAIR_STEP, "three rows step alike", Kind.LENGTH, Wanted.LEAST)
    OFF_PATTERN = (Rule.PATTERN, "the joints are off the pattern", Kind.LENGTH, Wanted.EQUAL)

    # The floor on the plan
    FIELD_TWICE = (Rule.GROUND, "two fields have one name", Kind.WORD, Wanted.EQUAL)
    UNSOUND = (Rule.GROUND, "an outline is no simple one", Kind.WORD, Wanted.EQUAL)
    LINES_FALL = (Rule.GROUND, "the lines of a field do not rise", Kind.LENGTH, Wanted.LEAST)
    LINE_WIDTH = (Rule.GROUND, "a row within a field is not a plank wide", Kind.LENGTH, Wanted.EQUAL)
    EDGE_WIDTH = (Rule.GROUND, "an outer row of a field is wider than a plank", Kind.LENGTH, Wanted.MOST)
    ROOM_STRANGE = (Rule.GROUND, "a run's room is none of its field's", Kind.WORD, Wanted.EQUAL)
    ROOM_ELSEWHERE = (Rule.GROUND, "a run lies in a field that is not its room's", Kind.WORD, Wanted.EQUAL)
    FIELD_UNKNOWN = (Rule.GROUND, "something lies in a field that there is not", Kind.WORD, Wanted.EQUAL)
    THING_COVERED = (Rule.GROUND, "floor lies on a fixed thing or a strip", Kind.AREA2, Wanted.MOST)
    THING_CLOSE = (
        Rule.GROUND,
        "floor lies closer to a fixed thing than its gap",
        Kind.LENGTH,
        Wanted.LEAST,
    )
    FLOOR_OUTSIDE = (Rule.GROUND, "floor lies outside the rooms and doorways", Kind.AREA2, Wanted.MOST)
    OFF_LINES = (Rule.GROUND, "a run lies on no line of its field", Kind.COUNT, Wanted.MOST)
    OFF_BAND = (
        Rule.ROW_WIDTH,
        "a row is not as wide as its two lines are apart",
        Kind.LENGTH,
        Wanted.EQUAL,
    )
    RIP_WIDE = (Rule.ROW_WIDTH, "a row's wider end is wider than its floor", Kind.LENGTH, Wanted.MOST)
    RIP_NARROW = (Rule.ROW_WIDTH, "a row's narrower end is the wider one", Kind.LENGTH, Wanted.MOST)
    RUN_LEFT = (Rule.RUN_LENGTH, "a run does not begin where its floor does", Kind.LENGTH, Wanted.EQUAL)
    RUN_RIGHT = (Rule.RUN_LENGTH, "a run does not end where its floor does", Kind.LENGTH, Wanted.EQUAL)
    JOINT_OUTSIDE = (Rule.RUN_LENGTH, "a joint lies outside its run's floor", Kind.LENGTH, Wanted.EQUAL)
    NO_FLOOR = (
        Rule.AREA,
        "a run lies where there is no floor, or on that of another",
        Kind.AREA2,
        Wanted.EQUAL,
    )
    FLOOR_BARE = (Rule.AREA, "floor lies bare", Kind.AREA2, Wanted.MOST)
    RUN_AREA = (Rule.AREA, "a run's area is not that of its floor", Kind.AREA2, Wanted.EQUAL)
    PIECES_AREA = (Rule.AREA, "a run's pieces do not cover its floor once", Kind.AREA2, Wanted.EQUAL)
    SLANT_WALL = (Rule.CUT_ENDS, "a slant is not that of the wall", Kind.LENGTH, Wanted.EQUAL)
    MITRE = (Rule.CUT_ENDS, "a wall is not one straight line across the row", Kind.WORD, Wanted.EQUAL)
    TOUCH_MISSED = (
        Rule.TOUCHING,
        "a run touches one of the line before that it does not name",
        Kind.COUNT,
        Wanted.EQUAL,
    )
    TOUCH_WRONG = (
        Rule.TOUCHING,
        "a run names one of the line before that it does not touch",
        Kind.COUNT,
        Wanted.EQUAL,
    )

    # Counts
    TOO_MANY_WAITING = (Rule.MAX_WAITING, "too many planks wait", Kind.COUNT, Wanted.MOST)
    PLANKS = (Rule.TOTALS, "the count of planks is wrong", Kind.COUNT, Wanted.EQUAL)
    BOXES = (Rule.TOTALS, "the count of boxes is wrong", Kind.COUNT, Wanted.EQUAL)
    CUTS = (Rule.TOTALS, "the count of cuts is wrong", Kind.COUNT, Wanted.EQUAL)
    PEAK_WAITING = (Rule.TOTALS, "the worst number of waiting planks is wrong", Kind.COUNT, Wanted.EQUAL)
    NET_AREA = (Rule.TOTALS, "the net area is wrong", Kind.AREA, Wanted.EQUAL)
    FIELDS_AREA = (Rule.TOTALS, "the net area is not that of the fields", Kind.AREA, Wanted.EQUAL)
    WASTE_FACTOR = (Rule.TOTALS, "the waste factor is wrong", Kind.PERCENT, Wanted.EQUAL)
    BOUND_ABOVE = (Rule.BOUND, "the lower bound is above the plan's planks", Kind.COUNT, Wanted.MOST)
    NOT_PROVEN = (Rule.BOUND, "called proven, though the bound is below the planks", Kind.COUNT, Wanted.EQUAL)
    IS_PROVEN = (Rule.BOUND, "not called proven, though the bound meets the planks", Kind.WORD, Wanted.EQUAL)

    # Worth saying, no breach
    SINGLE_SHORT = (Rule.MIN_PIECE, "a single piece is shorter than the minimum", Kind.LENGTH, Wanted.LEAST)
    ROW_NARROW = (Rule.MIN_RIP, "a row is narrower than the minimum rip", Kind.LENGTH, Wanted.LEAST)

    def __init__(self, rule: Rule, words: str, kind: Kind, relation: Wanted) -> None:
        """Spread the four parts of a fault over its attributes."""
        self.rule = rule
        self.words = words
        self.kind = kind
        self.relation = relation


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One breach, or one count that does not hold.

    ``rows`` are the job's row numbers, in order laid. ``place`` is measured in ticks from the left end of
    the run it lies in: run number ``run`` of row ``place_row``. ``found`` and ``wanted`` are in the
    measure of ``fault.kind`` and stand to each other as ``fault.relation`` says.
    ``pieces`` are ids, ``planks`` plank numbers. ``beside_down``: the rows meet runs that lay already.
    """

    fault: Fault
    rows: tuple[int, ...] = ()
    beside_down: bool = False
    place_row: int | None = None
    run: int | None = None
    place: Ticks | None = None
    found: Amount = None
    wanted: Amount = None
    pieces: tuple[str, ...] = ()
    planks: tuple[int, ...] = ()
    about: str = ""

    @property
    def rule(self) -> Rule:
        """The rule that is broken."""
        return self.fault.rule
