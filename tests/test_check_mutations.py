"""No survivors: change one thing of a good plan and the check must refuse it.

Only changes that make the plan a physically other one are tried; what is left out, and why:
a single piece may be called cut where it could keep a factory end (there is something to trim); single
pieces amid a plank may change places; a square plank, or all that is on it, may be turned round.
"""

import json
import random
from collections.abc import Callable, Iterator
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_documents import NAMES, Document, findings, load, pieces, plank

from cutopt.planfile import read_plan

Change = Callable[[Document, int], None]
STEADY = settings(derandomize=True, deadline=None, max_examples=150)
OTHER = {"cut": "factory", "factory": "cut"}


def add(path: tuple[str | int, ...], document: Document, amount: int) -> None:
    *steps, key = path
    target = document
    for step in steps:
        target = target[step]
    target[key] += amount


def put(path: tuple[str | int, ...], value: object, document: Document, _amount: int) -> None:
    *steps, key = path
    target = document
    for step in steps:
        target = target[step]
    target[key] = value


def numbers_to_change(document: Document) -> Iterator[tuple[str | int, ...]]:
    for nth, row in enumerate(document["rows"]):
        yield from [("rows", nth, key) for key in ("length", "row", "run")]
        for at in range(len(row["pieces"])):
            yield from [
                ("rows", nth, "pieces", at, key) for key in ("length", "plank", "left_slant", "right_slant")
            ]
    for nth, cut in enumerate(document["planks"]):
        yield ("planks", nth, "plank")
        yield from [("planks", nth, "offcuts", at, "length") for at in range(len(cut["offcuts"]))]
    yield from [("totals", key) for key in document["totals"]]
    yield ("plank", "length")
    if document["bound"]["proven"]:
        yield ("bound", "planks")


def ends_to_flip(document: Document) -> Iterator[tuple[tuple[str | int, ...], str]]:
    for nth, row in enumerate(document["rows"]):
        for at, piece in enumerate(row["pieces"]):
            for end in ("left", "right"):
                trimmable = len(row["pieces"]) == 1 and plank(document, piece["plank"])["offcuts"]
                if not (trimmable and piece[end] == "factory"):
                    yield ("rows", nth, "pieces", at, end), OTHER[piece[end]]


def swaps_in_runs(document: Document) -> Iterator[tuple[tuple[str | int, ...], list[Document]]]:
    for nth, row in enumerate(document["rows"]):
        laid = row["pieces"]
        for at in range(len(laid) - 1):
            yield ("rows", nth, "pieces"), [*laid[:at], laid[at + 1], laid[at], *laid[at + 2 :]]


def orders_on_planks(document: Document) -> Iterator[tuple[tuple[str | int, ...], list[str]]]:
    for nth, cut in enumerate(document["planks"]):
        if len(cut["pieces"]) > 1 and document["plank"]["ends"] == "handed":
            yield ("planks", nth, "pieces"), cut["pieces"][::-1]
            yield ("planks", nth, "pieces"), cut["pieces"][1:] + cut["pieces"][:1]


def other_keeps(document: Document) -> Iterator[tuple[tuple[str | int, ...], str]]:
    marks = {piece["id"]: (piece["left"], piece["right"]) for piece in pieces(document)}
    for nth, cut in enumerate(document["planks"]):
        free = all("factory" not in marks[name] for name in cut["pieces"])
        turned = document["plank"]["ends"] == "square" and len(cut["pieces"]) == 1
        for offcut in cut["offcuts"]:
            for keeps in ("left", "right", "both", "none"):
                if keeps == "both" or not (free or turned or keeps == offcut["keeps"]):
                    yield ("planks", nth, "offcuts", 0, "keeps"), keeps


def lists_to_change(document: Document) -> Iterator[tuple[tuple[str | int, ...], object]]:
    for nth, cut in enumerate(document["planks"]):
        one_more = {"length": 320, "keeps": "none"}
        yield ("planks", nth, "offcuts"), [*cut["offcuts"], one_more]
        yield from [(("planks", nth, "offcuts"), [])] * bool(cut["offcuts"])
        yield ("planks", nth, "pieces"), cut["pieces"][1:]
        yield ("planks", nth, "pieces"), [*cut["pieces"], cut["pieces"][0]]
    for key in ("rows", "planks"):
        for nth in range(len(document[key])):
            yield (key,), document[key][:nth] + document[key][nth + 1 :]
    yield ("bound", "proven"), not document["bound"]["proven"]


def slants_written_out(name: str) -> Document:
    document = load(name)
    for row in document["rows"]:
        row |= {"left_slant": row.get("left_slant", 0), "right_slant": row.get("right_slant", 0)}
        for piece in row["pieces"]:
            piece |= {"left_slant": piece.get("left_slant", 0), "right_slant": piece.get("right_slant", 0)}
    return document


def changes(name: str) -> list[tuple[str, Change]]:
    document = slants_written_out(name)
    puts = (ends_to_flip, swaps_in_runs, orders_on_planks, other_keeps, lists_to_change)
    adding = [(f"{path} +", partial(add, path)) for path in numbers_to_change(document)]
    putting = [
        (f"{path} = {value}", partial(put, path, value)) for kind in puts for path, value in kind(document)
    ]
    return adding + putting


ALL = {name: changes(name) for name in NAMES}
amounts = st.one_of(st.sampled_from([-1, 1]), st.integers(-(10**9), 10**9).filter(bool))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("amount", [1, -1])
def test_every_single_change_is_found(name, amount):
    assert findings(slants_written_out(name)) == ()
    survivors = []
    for what, change in ALL[name]:
        document = slants_written_out(name)
        change(document, amount)
        if not findings(document):
            survivors.append(what)
    assert survivors == []


@STEADY
@given(st.sampled_from(NAMES), st.randoms(use_true_random=False), amounts)
def test_no_change_of_any_size_survives(name, chance, amount):
    what, change = chance.choice(ALL[name])
    document = slants_written_out(name)
    change(document, amount)
    if "'plank', 'length'" in what:
        # A plank shorter than nothing is no plan file at all.
        document["plank"]["length"] = max(1, document["plank"]["length"])
    assert findings(document), what


@STEADY
@given(st.sampled_from(NAMES), st.integers(0, 2**32), st.integers(2, 6))
def test_several_changes_at_once_never_make_the_check_fall_over(name, seed, times):
    chance = random.Random(seed)  # noqa: S311 - chance, no secret
    document = slants_written_out(name)
    for _ in range(times):
        _, change = chance.choice(ALL[name])
        try:
            change(document, chance.choice((-1, 1, 320, -(10**6))))
        except (IndexError, KeyError):
            continue
    document["plank"]["length"] = max(1, document["plank"]["length"])
    assert isinstance(findings(json.loads(json.dumps(document))), tuple)


def test_a_stored_plan_is_not_changed_by_reading():
    assert read_plan(json.dumps(load("handed"))) == read_plan(json.dumps(slants_written_out("handed")))
