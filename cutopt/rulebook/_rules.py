"""What each rule says, in words, and the job key that sets it."""

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["PRODUCT_FIRST", "RULES", "Measure", "Rule", "rule"]

PRODUCT_FIRST = (
    "The instructions that come with the product always win: where they differ from a usual value here, "
    "set theirs in the job file."
)


class Measure(StrEnum):
    """What kind of value sets a rule."""

    LENGTH = "length"
    COUNT = "count"
    SHARE = "share"
    CHOICE = "choice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule: the job key that sets it, the trade's name for it and what it says.

    ``choices`` lists the words a choice may take (for ``max_waiting``, the word beside a number).
    """

    key: str
    name: str
    says: str
    measure: Measure
    choices: tuple[str, ...] = ()

    @property
    def can_be_off(self) -> bool:
        """Whether a value of 0 turns the rule off, as its words then say."""
        return "0 turns the rule off" in self.says


RULES: tuple[Rule, ...] = (
    Rule(
        key="plank.ends",
        name="ends",
        says="handed: a starter is always the right-hand part of a plank and an end piece the left-hand part, for "
        "no plank may be turned end for end. square: a plank may be turned, so any piece with one factory end "
        "can start or end a run.",
        measure=Measure.CHOICE,
        choices=("handed", "square"),
    ),
    Rule(
        key="plank.kerf",
        name="kerf",
        says="What a cut between two parts of one plank takes. Parts of total length T fit a plank when T and one "
        "kerf between each two of them are no longer than the plank; the last trim may eat less than a full kerf. "
        "Where two straight slants lean the same way side by side, the parts overlap by the lesser, and the cut "
        "takes the kerf along it.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.stagger",
        name="stagger",
        says="Joints of touching runs in neighbouring rows are at least this far apart. Two runs touch where their "
        "spans overlap and nothing solid lies between them; only joints in the common stretch count, its ends "
        "included.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.min_piece",
        name="minimum piece",
        says="Every starter and every end piece is at least this long, on a slanted end by its shorter long edge. "
        "A single piece, which fills its run alone, is exempt and reported when it is shorter.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.h_joint",
        name="H-joint",
        says="Joints two rows apart, in the stretch common to all three runs, are at least this far apart. "
        "0 turns the rule off.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.stair_step",
        name="stair-step",
        says="The shift from a row to the next is how far its joints move, modulo the plank length. In three "
        "touching rows the two shifts differ, round the plank length, by at least this much; a run without "
        "joints breaks the chain. 0 turns the rule off, and with planks of several lengths it is off.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.min_rip",
        name="minimum rip",
        says="When the width left over after whole rows is under this, the first and the last row are ripped alike, "
        "to half of the remainder and one plank width, so that neither is a sliver.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.gap",
        name="expansion gap",
        says="Kept free at every wall and fixed object of a room given by its walls. Rows given outright are net of "
        "gaps already.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.pattern",
        name="pattern",
        says="random: stagger, minimum piece, H-joint and stair-step rule the joints. half or third: each row's "
        "joints move by half or a third of the plank, to the nearest cut step; H-joint and stair-step are then off "
        "by nature, and the stagger may not exceed that offset.",
        measure=Measure.CHOICE,
        choices=("random", "half", "third"),
    ),
    Rule(
        key="rules.cut_step",
        name="cut step",
        says="A starter's length is a multiple of this unless its plank is used up without trim; an end piece is "
        "what the run leaves.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.max_waiting",
        name="planks waiting",
        says="After any row, at most this many planks wait: they have given a piece to a row laid and will give one "
        'to a later row. "any" lifts the limit.',
        measure=Measure.COUNT,
        choices=("any",),
    ),
    Rule(
        key="rules.fit",
        name="fit",
        says="Added to the kerf between parts that share a plank, for walls that are not where the tape says.",
        measure=Measure.LENGTH,
    ),
    Rule(
        key="rules.lay",
        name="direction of laying",
        says="The end from which a row is laid; right-to-left mirrors the hands of starters and end pieces.",
        measure=Measure.CHOICE,
        choices=("left-to-right", "right-to-left"),
    ),
    Rule(
        key="rules.share_offcuts",
        name="offcuts shared within",
        says="Whether an offcut may be used anywhere in the job or only in the room it was cut for.",
        measure=Measure.CHOICE,
        choices=("job", "room"),
    ),
    Rule(
        key="rules.share_rips",
        name="rips shared",
        says="yes: where a first and a last row are ripped, their widths and a kerf (and fit) at most a plank wide, "
        "the strip left beside a piece of the one may give pieces of the other. It is as long as that piece and has "
        "its factory ends; the first row keeps the long edge that the second row joins, the last row the other, so "
        "no strip goes from a first row to a first one, nor is a strip turned end for end. Only with the pattern "
        "random. no: the strips are waste.",
        measure=Measure.CHOICE,
        choices=("yes", "no"),
    ),
    Rule(
        key="order.culls",
        name="culls",
        says="The share of planks expected to be rejected: planks are divided by one less this share before boxes "
        "are counted.",
        measure=Measure.SHARE,
    ),
    Rule(
        key="order.spare",
        name="spare",
        says="Planks bought beyond the floor and kept for repairs (attic stock).",
        measure=Measure.COUNT,
    ),
)
"""Every rule, in the order a reader meets them."""

_BY_KEY = {entry.key: entry for entry in RULES}


def rule(key: str) -> Rule:
    """Return the rule a job key sets; KeyError for any other key."""
    return _BY_KEY[key]
