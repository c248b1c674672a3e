"""Planks that wait for a second cut, for many half-made plans at once.

A pool is an array of shape (plans, places): usable lengths in ticks, longest first, 0 where no
plank waits. Taking the shortest plank that fits is never worse: whatever wanted it later takes
the longer one instead. Where pieces may nest (``cutopt.planner.nesting``) a plank's number tells its
kind of cut besides, and ``usable`` how much a piece can have of it: then the longer may be of no use.
"""

import numpy as np
from numpy.typing import NDArray

from cutopt.units import Ticks

__all__ = ["fit_each", "insert", "last_of", "shortest_fit", "shortest_fit_each", "take"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


def shortest_fit(pool: Ints, need: Ints, usable: Ints | None = None) -> Ints:
    """Return per plan the place of the shortest plank of at least ``need`` (-1: none fits)."""
    if usable is not None:
        return last_of(usable >= need[:, None])
    place: Ints = (pool >= need[:, None]).sum(axis=1) - 1
    return place


def last_of(fits: Bools) -> Ints:
    """Return the last place that fits along the last axis (-1: none)."""
    place: Ints = fits.shape[-1] - 1 - fits[..., ::-1].argmax(axis=-1)
    return np.where(fits.any(axis=-1), place, -1)


def take(pool: Ints, place: Ints) -> Ints:
    """Return the pool without the planks at ``place``; plans with a negative place keep all."""
    places = np.arange(pool.shape[1])
    moved = np.concatenate([pool[:, 1:], np.zeros((len(pool), 1), dtype=pool.dtype)], axis=1)
    taken: Ints = np.where((places >= place[:, None]) & (place[:, None] >= 0), moved, pool)
    return taken


def insert(pool: Ints, length: Ints, shortest: Ticks) -> Ints:
    """Return the pool with one plank more; lengths under ``shortest`` are no use and left out.

    The pool must have a free place; the shortest plank falls out otherwise.
    """
    length = np.where(length >= shortest, length, 0)[:, None]
    places = np.arange(pool.shape[1])
    place = (pool > length).sum(axis=1)[:, None]
    moved = np.concatenate([np.zeros((len(pool), 1), dtype=pool.dtype), pool[:, :-1]], axis=1)
    longer = np.where(places < place, pool, np.where(places == place, length, moved))
    inserted: Ints = np.where(length > 0, longer, pool)
    return inserted


def fit_each(pool: Ints, need: Ints, usable: Ints | None = None) -> Ints:
    """Return, per plan and per entry of ``need``, the place of the shortest plank that fits (-1: none)."""
    if usable is not None:
        return last_of(usable[:, None, :] >= need[None, :, None])
    place: Ints = (pool[:, None, :] >= need[None, :, None]).sum(axis=2) - 1
    return place


def shortest_fit_each(pool: Ints, need: Ints, usable: Ints | None = None) -> Ints:
    """Return, per plan and per entry of ``need``, the shortest plank that fits (0: none)."""
    place = fit_each(pool, need, usable)
    length = np.take_along_axis(pool, np.maximum(place, 0), axis=1)
    fit: Ints = np.where(place >= 0, length, 0)
    return fit
