"""The stored good plans as documents that a test may edit, and ways to find one's way in them."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cutopt.check import Finding, check_plan
from cutopt.planfile import read_plan

PLANS = Path(__file__).parent / "data" / "plans"
NAMES = sorted(path.stem for path in PLANS.glob("*.json"))
MM = 320

Document = dict[str, Any]


def load(name: str) -> Document:
    document: Document = json.loads((PLANS / f"{name}.json").read_text(encoding="utf-8"))
    return document


def findings(document: Document) -> tuple[Finding, ...]:
    return check_plan(read_plan(json.dumps(document)))


def pieces(document: Document) -> Iterator[Document]:
    for row in document["rows"]:
        yield from row["pieces"]


def piece(document: Document, name: str) -> Document:
    return next(found for found in pieces(document) if found["id"] == name)


def plank(document: Document, number: int) -> Document:
    return next(found for found in document["planks"] if found["plank"] == number)


def row(document: Document, number: int, run: int = 1) -> Document:
    return next(found for found in document["rows"] if (found["row"], found["run"]) == (number, run))
