"""The topics: what can be practised, a module each."""

from collections.abc import Mapping
from types import MappingProxyType

from cutopt.model.teaching import Topic
from cutopt.teach.topics import (
    _boxes,
    _chain,
    _h_joint,
    _hands,
    _min_piece,
    _rips,
    _sharing,
    _stagger,
    _stair_step,
    _waste,
)
from cutopt.teach.topics._parts import Lesson, Parts
from cutopt.teach.topics._tape import para

__all__ = ["LESSONS", "Lesson", "Parts", "para"]

LESSONS: Mapping[Topic, Lesson] = MappingProxyType(
    {
        Topic.CHAIN: _chain,
        Topic.STAGGER: _stagger,
        Topic.H_JOINT: _h_joint,
        Topic.STAIR_STEP: _stair_step,
        Topic.MIN_PIECE: _min_piece,
        Topic.RIPS: _rips,
        Topic.BOXES: _boxes,
        Topic.WASTE: _waste,
        Topic.HANDS: _hands,
        Topic.SHARING: _sharing,
    }
)
