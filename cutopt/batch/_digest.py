"""A name for all that an outcome depends on: the same in every process, on every machine."""

import json
from collections.abc import Iterable
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cache
from hashlib import sha256
from importlib.metadata import version

from cutopt import __version__
from cutopt.batch._settings import Work
from cutopt.model.estimate import Task

__all__ = ["canonical", "digest", "seal", "versions"]


@cache
def versions() -> tuple[tuple[str, str], ...]:
    """Return by name the versions that decide what a plan is like."""
    return (("cutopt", __version__), *((name, version(name)) for name in ("ortools", "numpy")))


def digest(task: Task, work: Work) -> str:
    """Return the name, in 64 hexadecimal digits, of what ``work`` makes of a task, whatever the task's key."""
    by = f"{work.__module__}.{work.__qualname__}"
    return seal([canonical(replace(task, key="")), by, versions()])


def seal(plain: object) -> str:
    """Return the SHA-256 of what is plain enough for JSON, keys in order."""
    text = json.dumps(plain, sort_keys=True, separators=(",", ":"))
    return sha256(text.encode()).hexdigest()


def canonical(value: object) -> object:
    """Return a value as plain JSON would have it; different values never look the same.

    Raises ``TypeError`` for what has no one order or no one spelling, such as a set.
    """
    match value:
        case None | bool() | int() | float() | str():
            return value
        case Fraction():
            return {"fraction": f"{value.numerator}/{value.denominator}"}
        case Decimal():
            return {"decimal": str(value)}
        case tuple() | list():
            return [canonical(one) for one in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {"of": type(value).__name__, **dict(_parts(value, (field.name for field in fields(value))))}
    raise TypeError(f"nothing to be named by: {type(value).__name__}")


def _parts(value: object, names: Iterable[str]) -> Iterable[tuple[str, object]]:
    """Yield the fields, each marked, so that none can be taken for what marks the kind of value."""
    for name in names:
        yield f".{name}", canonical(getattr(value, name))
