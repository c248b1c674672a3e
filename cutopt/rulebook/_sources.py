"""Where the usual values come from. Figures and sources only; makers are not named."""

from dataclasses import dataclass

from cutopt.model.job import SourceKind

__all__ = ["Source"]


@dataclass(frozen=True, slots=True)
class Source:
    """How strong a source is, and which it is."""

    kind: SourceKind
    citation: str


WOOD_STAGGER = Source(
    SourceKind.PUBLISHED,
    "National Wood Flooring Association, Installation Guidelines (rev. 2008), in Wood Floor Business, "
    "'End Joint Spacing': 6 in under 3 in wide, 8-10 in from 3 to 5 in, 10 in over 5 in",
)
WOOD_THREE_WIDTHS = Source(
    SourceKind.PUBLISHED,
    "Wood Floor Business, 'End Joint Spacing': three plank widths preferred where lengths allow; "
    "used here when that is no more than a quarter of the plank",
)
VINYL_GLUE_STAGGER = Source(
    SourceKind.MAKER, "a maker's commercial luxury-vinyl installation sheet: 6 in (150 mm)"
)
CLICK_STAGGER = Source(
    SourceKind.MEMORY,
    "8 in (200 mm) in most makers' sheets; a how-to at engineerfix.com has 6 in as the least",
)
LAMINATE_STAGGER = Source(SourceKind.MAKER, "a laminate supplier's installation tips (South Africa): 300 mm")

CLICK_PIECE = Source(SourceKind.MEMORY, "8 in (200 mm); 6 in is also met")
GLUE_PIECE = Source(SourceKind.PRACTICE, "as long as the usual stagger")
LAMINATE_PIECE = Source(
    SourceKind.MEMORY,
    "300 mm in Europe, 200 mm with some makers; dontknowfloors.com re-uses offcuts over 10 in",
)
WOOD_PIECE = Source(
    SourceKind.PRACTICE,
    "no shorter than the grade's shortest board, 9 in in the Maple Flooring Manufacturers Association's grading",
)

H_JOINT = Source(SourceKind.PRACTICE, "texts warn of H-joints (woodfloordoctor.com) but give no figure")
STAIR_STEP = Source(
    SourceKind.PRACTICE, "texts warn of steps (hunker.com, woodfloordoctor.com) but give no figure"
)

LAMINATE_RIP = Source(SourceKind.MAKER, "a laminate supplier's installation tips (South Africa): over 50 mm")
ANY_RIP = Source(
    SourceKind.PRACTICE, "2 in (50 mm); how-to articles ask for half a plank (engineerfix.com, diyadvice.com)"
)

GLUE_GAP = Source(SourceKind.MEMORY, "tight, or 1/16 to 1/8 in")
CLICK_GAP = Source(
    SourceKind.MAKER, "a maker's rigid-core vinyl manual: 1/4 in up to 50 ft, 1/2 in from 50 to 85 ft"
)
LAMINATE_GAP = Source(SourceKind.HOW_TO, "engineerfix.com: 8-10 mm, 3/8 in common in the US")
ENGINEERED_GAP = Source(
    SourceKind.MAKER,
    "an engineered-wood maker's instruction: the floor's thickness, 1/2 in or more over 20 ft",
)
SOLID_GAP = Source(
    SourceKind.HOW_TO, "getfloored.blogspot.com: the floor's thickness, 3/4 in for 3/4 in strip"
)

VINYL_KERF = Source(SourceKind.PRACTICE, "vinyl is scored and snapped: nothing is lost")
SAW_KERF = Source(SourceKind.PRACTICE, "the width of a saw cut")

CLICK_ENDS = Source(SourceKind.HOW_TO, "engineerfix.com: click planks have another profile on each side")
TONGUE_ENDS = Source(
    SourceKind.DERIVED, "turning a tongue-and-groove plank swaps its tongues for its grooves"
)
SQUARE_ENDS = Source(
    SourceKind.DERIVED, "square edges may be turned; mind a printed arrow, a bevel or a directional face"
)

CUT_STEP = Source(SourceKind.PRACTICE, "the finest mark most tapes show")
MAX_WAITING = Source(SourceKind.PRACTICE, "as many part-used planks as one can keep apart")
NO_FIT = Source(SourceKind.PRACTICE, "walls taken as measured")
RANDOM_PATTERN = Source(SourceKind.PRACTICE, "fixed offsets only where the job asks for them")
LAY = Source(
    SourceKind.HOW_TO, "dontknowfloors.com: left to right facing the starting wall, usual but not universal"
)
SHARE = Source(SourceKind.PRACTICE, "one heap of offcuts for the whole job")
SHARE_RIPS = Source(
    SourceKind.DERIVED, "geometry: first and last row need opposite long edges, and a plank has one of each"
)
NO_CULLS = Source(
    SourceKind.PRACTICE,
    "none unless the job says so; an engineered-wood maker's guideline holds up to 5 % natural imperfection normal",
)
NO_SPARE = Source(SourceKind.PRACTICE, "none unless the job says so; a full box is often kept for repairs")

FIXED_OFFSET = Source(SourceKind.DERIVED, "a fixed offset repeats its joints by nature, so this rule is off")
