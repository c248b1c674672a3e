"""The ground in plan files: written and read back the same, every wrong value told with its place."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_documents import load
from test_plan_file import counts, refusal, sizes, texts, ticks

from cutopt.model.floor import (
    NOWHERE,
    Area,
    Field,
    Frame,
    Ground,
    PlacedDoorway,
    PlacedRoom,
    PlacedThing,
)
from cutopt.model.rooms import ThingKind, corner_names
from cutopt.planfile import read_plan, write_plan

STEADY = settings(derandomize=True, deadline=None, max_examples=60)

rings = st.lists(st.tuples(ticks, ticks), min_size=3, max_size=6).map(tuple)
some_texts = st.lists(texts, max_size=3).map(tuple)
degrees = st.fractions(-360, 360, max_denominator=10**15) | st.floats(0, 180).map(Fraction).filter(
    lambda angle: len(str(angle.denominator)) <= 40 >= len(str(angle.numerator))
)
fields = st.builds(
    Field,
    name=texts,
    rooms=some_texts,
    frame=st.builds(Frame, degrees=degrees, origin=st.just((0, 0)) | st.tuples(ticks, ticks)),
    areas=st.lists(
        st.builds(Area, outer=rings, holes=st.lists(rings, max_size=2).map(tuple)), max_size=2
    ).map(tuple),
    lines=st.lists(ticks, max_size=5).map(tuple),
)
rooms = rings.flatmap(
    lambda ring: st.builds(
        PlacedRoom, name=texts, field=texts, corners=st.just(ring), names=st.just(corner_names(len(ring)))
    )
)
things = st.builds(
    PlacedThing,
    name=texts,
    kind=st.sampled_from(ThingKind),
    room=texts,
    field=texts,
    corners=rings,
    gap=sizes,
)
doorways = st.builds(
    PlacedDoorway,
    name=texts,
    rooms=some_texts,
    fields=some_texts,
    opening=rings,
    undercut=sizes,
    strip=st.none() | rings,
)
grounds = st.builds(
    Ground,
    **{
        key: st.lists(entries, max_size=2).map(tuple)
        for key, entries in {"fields": fields, "rooms": rooms, "things": things, "doorways": doorways}.items()
    },
)

STUDIO = {
    "fields": [
        {
            "name": "Studio",
            "rooms": ["Studio"],
            "degrees": "45/2",
            "lines": [0, 10, 20],
            "areas": [{"outer": [[0, 0], [20, 0], [20, 20]], "holes": [[[11, 5], [13, 5], [13, 6]]]}],
        }
    ],
    "rooms": [
        {
            "name": "Studio",
            "field": "Studio",
            "corners": [[0, 0], [20, 0], [20, 20]],
            "names": ["A", "B", "C"],
        }
    ],
    "things": [
        {
            "name": "post",
            "kind": "column",
            "room": "Studio",
            "field": "Studio",
            "corners": [[11, 5], [13, 5], [13, 6]],
            "gap": 0,
        }
    ],
    "doorways": [
        {
            "name": "way out",
            "rooms": ["Studio"],
            "fields": ["Studio"],
            "opening": [[2, 0], [4, 0], [4, -1], [2, -1]],
        }
    ],
}


def with_ground(ground) -> str:
    return json.dumps(load("handed") | {"ground": ground})


def changed(*path, to) -> str:
    ground = json.loads(json.dumps(STUDIO))
    *steps, key = path
    target = ground
    for step in steps:
        target = target[step]
    target[key] = to
    return with_ground(ground)


@STEADY
@given(grounds)
def test_a_ground_reads_back_the_same(ground):
    plan = replace(read_plan(json.dumps(load("handed"))), ground=ground)
    text = write_plan(plan)
    assert read_plan(text) == plan
    assert write_plan(read_plan(text)) == text
    assert ("ground" in json.loads(text)) == (ground != NOWHERE)


@STEADY
@given(st.none() | counts, st.none() | sizes, st.none() | counts, st.none() | counts)
def test_rips_and_measured_widths_read_back_the_same(wide, narrow, nominal, thickness):
    plan = read_plan(json.dumps(load("handed")))
    first = replace(plan.rows[0], run=replace(plan.rows[0].run, wide=wide, narrow=narrow))
    plank = replace(plan.plank, nominal_width=nominal, thickness=thickness, width_tolerance=narrow or 0)
    plan = replace(plan, rows=(first, *plan.rows[1:]), plank=plank)
    assert read_plan(write_plan(plan)) == plan


def test_a_ground_by_hand_is_understood():
    ground = read_plan(with_ground(STUDIO | {"of_later": [1]})).ground
    (field,), (doorway,) = ground.fields, ground.doorways
    assert field.frame == Frame(degrees=Fraction(45, 2))
    assert field.areas[0].holes == (((11, 5), (13, 5), (13, 6)),)
    assert (field.lines, doorway.undercut, doorway.strip) == ((0, 10, 20), 0, None)
    assert ground.things[0].kind is ThingKind.COLUMN


def test_lists_that_are_missing_are_empty():
    assert read_plan(with_ground({})).ground == NOWHERE


FIELD, AREA, OUTER = ("fields", 0), ("fields", 0, "areas", 0), ("fields", 0, "areas", 0, "outer")


@pytest.mark.parametrize(
    ("path", "value", "message"),
    [
        (("fields",), 7, "7 will not do - ground.fields - write a list in square brackets"),
        (
            (*FIELD, "degrees"),
            22.5,
            "22.5 will not do - ground.fields[1].degrees - write the degrees as a whole number or a fraction",
        ),
        ((*FIELD, "degrees"), "1/0", "'1/0' will not do - ground.fields[1].degrees - write the degrees"),
        ((*FIELD, "origin"), 7, "7 will not do - ground.fields[1].origin - write a corner as [x, y]"),
        ((*FIELD, "lines", 1), 1.5, "1.5 will not do - ground.fields[1].lines[2] - write a whole number"),
        ((*FIELD, "lines", 1), 10**12, f"{10**12} will not do - ground.fields[1].lines[2] - write a whole"),
        ((*FIELD, "lines"), [0] * 100_002, "a list of 100002 will not do - ground.fields[1].lines - list at"),
        (OUTER, [[0, 0], [1, 1]], "a list of 2 will not do - ground.fields[1].areas[1].outer - list 3 to"),
        (OUTER, None, "null will not do - ground.fields[1].areas[1].outer - list 3 to 100000 corners"),
        (
            (*OUTER, 2),
            [1, 2, 3],
            "a list of 3 will not do - ground.fields[1].areas[1].outer[3] - write a corner as [x, y]",
        ),
        ((*OUTER, 0), [0, True], "a list of 2 will not do - ground.fields[1].areas[1].outer[1] - write a"),
        (
            (*AREA, "holes", 0, 1),
            "B",
            "'B' will not do - ground.fields[1].areas[1].holes[1][2] - write a corner as [x, y]",
        ),
        (
            ("rooms", 0, "names"),
            ["A", "B"],
            "2 names will not do - ground.rooms[1].names - name each of the 3 corners",
        ),
        (
            ("things", 0, "kind"),
            "vents",
            "'vents' will not do - ground.things[1].kind - did you mean \"vent\"? use one of hearth",
        ),
        (("things", 0, "gap"), -1, "-1 will not do - ground.things[1].gap - write a whole number of 0 or"),
        (
            ("doorways", 0, "strip"),
            {},
            "a table will not do - ground.doorways[1].strip - list 3 to 100000 corners as [x, y]",
        ),
    ],
)
def test_a_wrong_value_is_shown_with_its_place(path, value, message):
    (told,) = refusal(changed(*path, to=value))
    assert told.replace("plan file: ", "").startswith(message)


def test_every_missing_key_is_told():
    told = refusal(with_ground({"fields": [{}], "rooms": [{}], "things": [{}], "doorways": [{}]}))
    keys = [
        *("fields[1]: name", "fields[1]: rooms", "fields[1]: areas", "fields[1]: lines"),
        *("rooms[1]: corners", "rooms[1]: names", "rooms[1]: name", "rooms[1]: field"),
        *(f"things[1]: {key}" for key in ("name", "room", "field", "corners", "gap")),
        *(f"doorways[1]: {key}" for key in ("name", "rooms", "fields", "opening")),
    ]
    wanted = [
        f'the key "{key.split(": ")[1]}" is missing - plan file: ground.{key.split(": ")[0]}' for key in keys
    ]
    assert sorted(line.rsplit(" - ", 1)[0] for line in told) == sorted(wanted)
