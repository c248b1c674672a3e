"""A rule explained: what it asks, why, what sources say, a picture, and a figure computed while it is told."""

from cutopt.model.teaching import Topic
from cutopt.model.words import Block
from cutopt.teach.topics import LESSONS
from cutopt.units import Unit

__all__ = ["explain"]


def explain(rule: str, unit: Unit = Unit.IN) -> tuple[Block, ...]:
    """Return a rule or topic explained; ``rule`` is a topic's name in any writing (``H joint``, ``h-joint``).

    Raises KeyError for any other text.
    """
    plain = "-".join(rule.casefold().replace("-", " ").replace("_", " ").split())
    topics = {str(topic): topic for topic in LESSONS}
    return LESSONS[Topic(topics[_ALSO.get(plain, plain)])].explain(unit)


_ALSO = {
    "minimum-piece": "min-piece",
    "hjoint": "h-joint",
    "stairstep": "stair-step",
    "steps": "stair-step",
    "offcut-chain": "chain",
}
