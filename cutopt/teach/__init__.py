"""Exercises for those who learn to plan floors: made from a seed, marked with reasons, explained rule by rule."""

from cutopt.teach._explain import explain
from cutopt.teach._make import class_set, make
from cutopt.teach._mark import mark
from cutopt.teach._sheets import exercise_blocks, key_blocks, marked_blocks

__all__ = ["class_set", "exercise_blocks", "explain", "key_blocks", "make", "mark", "marked_blocks"]
