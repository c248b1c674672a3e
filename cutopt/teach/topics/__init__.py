"""The topics: what can be practised, a module each."""

from collections.abc import Mapping
from types import MappingProxyType

from cutopt.model.teaching import Topic
from cutopt.teach.topics._parts import Lesson, Parts

__all__ = ["LESSONS", "Lesson", "Parts"]

LESSONS: Mapping[Topic, Lesson] = MappingProxyType({})
