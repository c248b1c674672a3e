"""Why each rule exists: what goes wrong without it, in a sentence or two, and who says so."""

from collections.abc import Mapping

from cutopt.model.book import Why
from cutopt.model.job import SourceKind

__all__ = ["ALSO_CALLED", "ALWAYS", "REASONS", "SUMS"]


def _because(reason: str, source: SourceKind, citation: str) -> Why:
    return Why(reason=reason, source=source, citation=citation)


REASONS: Mapping[str, Why] = {
    "plank.ends": _because(
        "Click and tongue-and-groove ends join one way only, and a plank turned end for end has its tongues where "
        "its grooves were. An offcut of the wrong hand fits nowhere, however long it is.",
        SourceKind.DERIVED,
        "geometry of planks with another profile on each side",
    ),
    "plank.kerf": _because(
        "A saw turns its own width into dust, so two pieces cut from one plank are that much shorter than the plank "
        "together. A plan that forgets it comes out short wherever a plank is used up.",
        SourceKind.PRACTICE,
        "the width of the blade; vinyl that is scored and snapped loses nothing",
    ),
    "rules.stagger": _because(
        "A floor is weakest at its end joints, and holds there by the planks beside them: where the next row has "
        "its joint close by, little bridges the two and they open or break. Close joints also catch the eye, and "
        "are judged by the product's own figure when a claim is made.",
        SourceKind.PRACTICE,
        "inspectors list close joints among the usual complaints; texts give figures, not reasons",
    ),
    "rules.min_piece": _because(
        "A short piece at a wall has too little lock, glue or nail to hold it: it will not stay, or works loose. "
        "Short ends in row after row are also seen at once.",
        SourceKind.HOW_TO,
        "floor-laminate.blogspot.com: narrow end bits would not stay; a diary at livejournal.com: small ends "
        "are hard to nail",
    ),
    "rules.h_joint": _because(
        "Two joints in line with a single row between them read as the letter H, and the eye finds every one of "
        "them. They also leave that one row to bridge two weak places side by side.",
        SourceKind.HOW_TO,
        "woodfloordoctor.com, floortechie.com, hunker.com warn of the look",
    ),
    "rules.stair_step": _because(
        "Where every row moves on by the same shift the joints climb across the floor like stairs, and the eye "
        "follows them. It is also what comes of starting each row with the last offcut, a habit that leaves the "
        "stagger to chance: in a room of the wrong length every row breaks it.",
        SourceKind.HOW_TO,
        "hunker.com, floortechie.com, woodfloordoctor.com; the habit by arithmetic",
    ),
    "rules.min_rip": _because(
        "A sliver along a wall has little left to lock, glue or nail it by, shows every bend of the wall, and may "
        "hardly reach out from under the trim. Shared with the first row, both are wide enough.",
        SourceKind.HOW_TO,
        "verydays.com and diyadvice.com: add one width to what is left and halve it",
    ),
    "rules.gap": _because(
        "A floor grows and shrinks with damp and warmth; without room at walls and fixed things it rises, or its "
        "joints part. Trim covers the gap, and is never fastened to a floating floor.",
        SourceKind.PUBLISHED,
        "Floor Covering Installer: strip laid 53 ft without a break buckled at an opening",
    ),
    "rules.pattern": _because(
        "Joints at random hide where planks end, and leave an offcut free to be laid where it fits. A fixed offset "
        "is easy to follow and to check, but repeats itself: a half makes an H-joint on every second row, a third "
        "makes stairs.",
        SourceKind.DERIVED,
        "arithmetic of a fixed offset",
    ),
    "rules.cut_step": _because(
        "No cut is finer than the mark it is made to, so lengths are kept to marks that a tape has and a plan can "
        "be cut as it is printed.",
        SourceKind.PRACTICE,
        "marks of common tapes",
    ),
    "rules.max_waiting": _because(
        "A cut plank that waits must be marked, kept somewhere and found again. A few can be told apart; in a heap "
        "the wrong one is taken, and the plan with it.",
        SourceKind.PRACTICE,
        "as on any site where offcuts are kept",
    ),
    "rules.fit": _because(
        "Where a row comes out longer than measured, two pieces that fill their plank to the last mark can no "
        "longer both be cut from it. What is kept in reserve here is what a wall may be out.",
        SourceKind.DERIVED,
        "arithmetic of two pieces in one plank",
    ),
    "rules.lay": _because(
        "From which end a row is laid decides which part of a plank can start it. Laid from the other end, every "
        "starter and end piece changes hands, and offcuts kept for the one no longer fit.",
        SourceKind.DERIVED,
        "geometry of planks with another profile on each side",
    ),
    "rules.share_offcuts": _because(
        "An offcut laid in another room saves a plank, as long as someone carries it there and both rooms may be "
        "of one lot. Where rooms are laid apart, in time or in colour, each has to do with its own.",
        SourceKind.PRACTICE,
        "short rows of closets and narrow kitchens are often laid from scraps",
    ),
    "rules.share_rips": _because(
        "The first row keeps the long edge that the second joins, the last row the opposite one, and a plank has "
        "one of each. Where both fit across one plank, the strip ripped off for the one is no waste but the other.",
        SourceKind.DERIVED,
        "geometry of the two long edges",
    ),
    "order.culls": _because(
        "Some planks come split, warped or badly milled, and a plank once laid counts as accepted. They have to be "
        "set aside before, and be in the order.",
        SourceKind.MAKER,
        "engineered-wood and rigid-core makers: what is installed is accepted",
    ),
    "order.spare": _because(
        "Products are given up, and later boxes come in another shade or with another lock. Repairs need planks of "
        "the same lot, kept from the start.",
        SourceKind.HOW_TO,
        "owners who bought again: decorandthedog.net, beaninloveblog.com, engineeredflooring.org",
    ),
}
"""By job key."""

ALWAYS: Mapping[str, Why] = {
    "cut ends at walls": _because(
        "Cut ends go to walls, under the trim, and factory ends meet factory ends: a cut end has no lock or tongue "
        "left to join by, and its edge shows.",
        SourceKind.PRACTICE,
        "universal, but not met in a text that can be quoted",
    ),
    "piece length": _because(
        "A piece is no longer than its plank: one that is cannot be cut.",
        SourceKind.DERIVED,
        "arithmetic",
    ),
    "lots kept apart": _because(
        "Shades of different lots may differ, and side by side the difference shows: where the stock is told by "
        "lots, they do not meet in a room or a row unless that is asked for.",
        SourceKind.MAKER,
        "a maker's rigid-core vinyl manual: blend several cartons of the same lot",
    ),
}
"""Rules that no job key sets, by their names."""

SUMS = _because(
    "What is laid has to add up: a row that is told shorter, or a plank that is counted twice, is found on the "
    "floor, when it is too late.",
    SourceKind.DERIVED,
    "arithmetic",
)
"""Why lengths, numbers and totals are checked at all."""

ALSO_CALLED: Mapping[str, str] = {
    "factory ends": "plank.ends",
    "plank length": "plank.kerf",
    "waiting offcuts": "rules.max_waiting",
    "sharing offcuts": "rules.share_offcuts",
    "sharing rips": "rules.share_rips",
}
"""Other names under which a plan's findings tell of rules here, with the job key."""
