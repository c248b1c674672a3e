"""Exercises for those who learn to plan floors: made from a seed, marked with reasons, explained rule by rule."""

from cutopt.teach._make import class_set, make

__all__ = ["class_set", "make"]
