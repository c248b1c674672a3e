"""What sources say of each rule, one against the other: figures and sources only, makers are not named.

Where a source is a maker's sheet, the figure is that product's rule and no general one.
"""

from collections.abc import Mapping

from cutopt.model.book import Saying
from cutopt.model.job import SourceKind

__all__ = ["DISPUTES"]

_PUBLISHED = SourceKind.PUBLISHED
_MAKER = SourceKind.MAKER
_HOW_TO = SourceKind.HOW_TO
_PRACTICE = SourceKind.PRACTICE
_MEMORY = SourceKind.MEMORY
_DERIVED = SourceKind.DERIVED

_WOOD = (
    "National Wood Flooring Association, Installation Guidelines (rev. 2008), in Wood Floor Business, "
    "'End Joint Spacing'"
)
_ADVISOR = "Wood Floor Business, 'End Joint Spacing'"
_ARMY = "US Army carpentry course EN5156, finish flooring lesson"
_GUIDES = "installation guides and an inspector's checklist (98905.com, uticaod.com, valuewoodfloors.ca)"
_CHAIN = "98905.com, dontknowfloors.com"
_MAPLE = "Maple Flooring Manufacturers Association, grading rules"
_SUPPLIER = "a laminate supplier's tips (South Africa)"
_RIGID = "rigid-core vinyl manual"
_ENGINEERED = "engineered-wood installation guideline"

_ENDS = (
    Saying("The groove of the first row faces the starting wall (nailed strip).", _PUBLISHED, _ARMY),
    Saying(
        "The tongue of the first row faces the starting wall, and is cut off.",
        _HOW_TO,
        "laminate and floating planks; for click vinyl one site has an article for either way",
    ),
    Saying(
        "Where the direction turns, a spline in the groove reverses the tongue; makers' leaflets do not say so.",
        _HOW_TO,
        "woodfloorinstallationguide.com",
    ),
)

_STAGGER = (
    Saying("6 in under 3 in wide, 8 to 10 in from 3 to 5 in, 10 in over 5 in (wood).", _PUBLISHED, _WOOD),
    Saying(
        "Figures by width are a rule of thumb, not absolute: shorts of 9 to 18 in cannot keep them.",
        _PUBLISHED,
        _ADVISOR,
    ),
    Saying(
        "Three plank widths where lengths allow (wood): with planks of 10 to 12 in, about 3 ft.",
        _PUBLISHED,
        _ADVISOR,
    ),
    Saying("6 to 8 in (engineered wood, nailed or glued).", _MAKER, _ENGINEERED),
    Saying(
        "There is no fixed standard; about two plank widths or more, 4 to 5 in for 2-1/4 in strip.",
        _HOW_TO,
        "woodfloordoctor.com",
    ),
    Saying("6 in (150 mm) (glue-down vinyl).", _MAKER, "commercial luxury-vinyl installation sheet"),
    Saying(
        "6 in at the least, better 8 to 12 in where planks are over 4 ft (click vinyl).",
        _HOW_TO,
        "engineerfix.com",
    ),
    Saying("300 mm at the least (laminate).", _MAKER, _SUPPLIER),
    Saying("400 mm, or a third of the plank (laminate).", _MEMORY),
    Saying(
        "A third of the plank or 300 mm, whichever is more (click planks in Europe).",
        _MEMORY,
    ),
    Saying(
        "6 to 12 in; others say two plank widths (laminate in the US).",
        _HOW_TO,
        "hunker.com, floorcritics.com",
    ),
    Saying("500 mm for planks of 1.8 m or more (parquet and engineered wood).", _MEMORY),
    Saying("8 or 12 in; 6 to 8 in; 6 to 10 in by width; 12 to 24 in by one maker.", _HOW_TO, _GUIDES),
)

_MIN_PIECE = (
    Saying("8 in (200 mm); 6 in is also met (click vinyl).", _MEMORY),
    Saying("Over 10 in, or an offcut does not start a row (laminate).", _HOW_TO, "dontknowfloors.com"),
    Saying("300 mm, with some makers 200 mm (laminate in Europe).", _MEMORY),
    Saying("The shortest board of the grade is 9 in (maple, beech, birch).", _PUBLISHED, _MAPLE),
    Saying("Strip also comes in shorts of 9 to 18 in, laid as they are.", _PUBLISHED, _ADVISOR),
)

_H_JOINT = (
    Saying(
        "Rows with one row between them must not line up; no figure says how near is in line.",
        _HOW_TO,
        "woodfloordoctor.com, floortechie.com",
    ),
    Saying("Rows with two rows between them must not line up either.", _HOW_TO, "hunker.com"),
    Saying(
        "At least two rows between joints that line up: rows three apart may.",
        _HOW_TO,
        "theunfocusedlife.blogspot.com",
    ),
    Saying("1 to 2 in (25 to 50 mm), or half the stagger, counts as in line.", _PRACTICE),
    Saying(
        "An offset of half a plank is allowed by many vinyl and laminate makers, and has an H-joint on every "
        "second row.",
        _DERIVED,
        "arithmetic of a fixed offset",
    ),
)

_STAIR_STEP = (
    Saying(
        "Steps are to be avoided; the next joint should lie farther off. No figure is given.",
        _HOW_TO,
        "woodfloordoctor.com, hunker.com, floortechie.com",
    ),
    Saying("Three equal shifts the same way make a stair.", _PRACTICE),
    Saying("Every row starts with the offcut of the row before, which steps.", _HOW_TO, _CHAIN),
    Saying(
        "A short, a middling and a long starter come again every three rows, to save waste.",
        _HOW_TO,
        "inspiredremodeling.com, a contractor",
    ),
    Saying(
        "An offset of a third is a common instruction, and is a stair-step.",
        _HOW_TO,
        "engineerfix.com: a third, two thirds, whole",
    ),
)

_MIN_RIP = (
    Saying("Over 50 mm (2 in), the first row likewise (laminate).", _MAKER, _SUPPLIER),
    Saying("2 in; others 3 in.", _HOW_TO, _GUIDES),
    Saying(
        "Half a plank at least, and both edges about equal.",
        _HOW_TO,
        "engineerfix.com; diyadvice.com for tiles",
    ),
    Saying(
        "The first row is scribed to its wall so that the last is a full plank.",
        _HOW_TO,
        "an installer at flooringforum.com",
    ),
    Saying(
        "A sliver under 1 in is glued to the row before it is laid (engineered wood).",
        _MEMORY,
    ),
)

_GAP = (
    Saying("1/4 in up to 50 ft, 1/2 in from 50 to 85 ft (rigid-core click vinyl).", _MAKER, _RIGID),
    Saying("Tight, or 1/16 to 1/8 in (glue-down vinyl).", _MEMORY),
    Saying(
        "8 to 10 mm; 3/8 in is common in the US (laminate).", _HOW_TO, "engineerfix.com, homeownershub.com"
    ),
    Saying(
        "1.5 mm a metre of floor at each side, 8 mm at the least, 15 mm where the air is over 65 % humid "
        "(laminate).",
        _MAKER,
        "laminate instruction, at ebwweb.com",
    ),
    Saying(
        "The floor's thickness, 1/2 in or more once it is over 20 ft either way (engineered wood).",
        _MAKER,
        "engineered-wood instruction",
    ),
    Saying("1/4 in at the least; others 1/2 in (laminate).", _HOW_TO, _GUIDES),
    Saying("7 mm at the least (engineered oak, 12 mm).", _MAKER, "engineered-oak data sheet"),
    Saying("The floor's thickness: 3/4 in (solid strip).", _HOW_TO, "getfloored.blogspot.com"),
    Saying("About 1/4 in at the starting wall (solid strip, an older text).", _PUBLISHED, _ARMY),
    Saying(
        "Strip that is nailed down, in air that is kept steady, needs no large gap.",
        _PUBLISHED,
        "Journal of Light Construction, 'Expansion space for wood floors'",
    ),
)

_PATTERN = (
    Saying("Joints at random, never in steps or in line.", _HOW_TO, "woodfloordoctor.com, hunker.com"),
    Saying("A third, two thirds, whole, and again.", _HOW_TO, "engineerfix.com"),
    Saying(
        "A client wanted one fixed pattern through a flat, which left very small pieces at some edges.",
        _HOW_TO,
        "screwithouserepairs.co.uk",
    ),
    Saying("Three starters repeated, to save waste and thought.", _HOW_TO, "inspiredremodeling.com"),
)

_CUT_STEP = (
    Saying(
        "Boards were measured to 1/4 in and sorted by that.", _HOW_TO, "shallowthoughtsfromiowa.blogspot.com"
    ),
)

_MAX_WAITING = (
    Saying("The cut-off starts the next row, so that one plank waits at a time.", _HOW_TO, _CHAIN),
    Saying(
        "Numbered planks were kept for the row after next, and came out with an inch of scrap.",
        _HOW_TO,
        "a diary at livejournal.com",
    ),
)

_FIT = (
    Saying(
        "Walls out by less than 1/4 in in 6 ft may be ignored; from about 1/2 in on they may not.",
        _HOW_TO,
        "ehow.co.uk",
    ),
    Saying("Walls of one house were about 1/2 in out.", _HOW_TO, "mrhomeownerteardownthiswall.blogspot.com"),
)

_LAY = (
    Saying("Left to right, facing the starting wall; usual, not universal.", _HOW_TO, "dontknowfloors.com"),
    Saying(
        "Whether an end can be used again hangs on the direction of laying.",
        _HOW_TO,
        "theunfocusedlife.blogspot.com",
    ),
)

_SHARE_OFFCUTS = (
    Saying("Work from 3 to 5 boxes at once, so that shades mix (engineered wood).", _MAKER, _ENGINEERED),
    Saying("Blend several cartons of one lot (vinyl).", _MAKER, _RIGID),
    Saying(
        "Boxes bought later may be of another shade, or not lock: keep lots apart.",
        _HOW_TO,
        "decorandthedog.net, engineeredflooring.org",
    ),
)

_SHARE_RIPS = (
    Saying(
        "Where both edges are shared out each is over half a plank, so that no plank gives both.",
        _DERIVED,
        "geometry",
    ),
    Saying(
        "4 in boards with 1 in left over: 2-1/2 in at each edge, 5 in in all, which no board gives; with 3 in "
        "left over, 1-1/2 in each would come from one.",
        _DERIVED,
        "arithmetic on an example at verydays.com",
    ),
)

_CULLS = (
    Saying("Up to 5 % natural imperfection is accepted (engineered wood).", _MAKER, _ENGINEERED),
    Saying(
        "A lot passes when 95 % of its feet are on grade (maple).",
        _PUBLISHED,
        "Maple Flooring Manufacturers Association, re-inspection",
    ),
    Saying("15 % for waste and 5 % for defects, together.", _HOW_TO, "guides on how much hardwood to order"),
    Saying(
        "5 to 8 % on hardwood, 7 % on engineered wood, 5 to 15 % on laminate, culls and waste not told apart; "
        "here the waste is worked out from the layout instead.",
        _HOW_TO,
        "retailers' help pages and how-to pages",
    ),
)

_SPARE = (
    Saying("What is left over, or a full box.", _PRACTICE),
    Saying("1 to 5 % of the floor (commercial specifications).", _MEMORY),
    Saying(
        "None, or a box too few on purpose, where boxes cannot be returned.",
        _HOW_TO,
        "an owner's diary of laying three rooms and a hall",
    ),
    Saying(
        "Ten boxes left over speak of an order that nobody worked out.", _HOW_TO, "sparklesurfacecare.com"
    ),
)

DISPUTES: Mapping[str, tuple[Saying, ...]] = {
    "plank.ends": _ENDS,
    "plank.kerf": (),
    "rules.stagger": _STAGGER,
    "rules.min_piece": _MIN_PIECE,
    "rules.h_joint": _H_JOINT,
    "rules.stair_step": _STAIR_STEP,
    "rules.min_rip": _MIN_RIP,
    "rules.gap": _GAP,
    "rules.pattern": _PATTERN,
    "rules.cut_step": _CUT_STEP,
    "rules.max_waiting": _MAX_WAITING,
    "rules.fit": _FIT,
    "rules.lay": _LAY,
    "rules.share_offcuts": _SHARE_OFFCUTS,
    "rules.share_rips": _SHARE_RIPS,
    "order.culls": _CULLS,
    "order.spare": _SPARE,
}
"""By job key; nothing where no source was met that says otherwise."""
