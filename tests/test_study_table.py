"""The rooms of a table of waste factors."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rooms import inch, job, size
from studies import real_boxes, small

from cutopt.errors import JobError
from cutopt.layout import lay_out
from cutopt.model.job import Order
from cutopt.model.pricing import Shape, Steps, TableSpec
from cutopt.model.rooms import Doorway, Stop
from cutopt.study import table_jobs
from cutopt.units import TICKS_PER_MM, Unit

STEADY = settings(derandomize=True, deadline=None, max_examples=25)


def steps(first, last, step):
    return Steps(first=inch(first), last=inch(last), step=inch(step))


def table(*shapes, along=(96, 144, 24), across=(96, 120, 12)):
    return TableSpec(along=steps(*along), across=steps(*across), shapes=shapes)


def one_size(shape, along, across):
    return TableSpec(
        along=Steps(first=along, last=along, step=1),
        across=Steps(first=across, last=across, step=1),
        shapes=(shape,),
    )


def net2(one):
    return sum(run.area2 for run in lay_out(one).runs)


def test_every_size_of_every_shape_is_there_in_order():
    found = table_jobs(small(), table(Shape.L_ROOM, Shape.RECTANGLE))
    sizes = [(inch(x), inch(y)) for x in (96, 120, 144) for y in (96, 108, 120)]
    assert [(shape, along, across) for shape, along, across, _ in found] == [
        (shape, *size) for shape in (Shape.L_ROOM, Shape.RECTANGLE) for size in sizes
    ]


@given(st.integers(2, 10**6), st.integers(2, 10**6))
@STEADY
def test_a_rectangle_is_all_floor_and_an_l_three_quarters(along, across):
    for shape, quarters in ((Shape.RECTANGLE, 4), (Shape.L_ROOM, 3)):
        ((_, _, _, one),) = table_jobs(small(), one_size(shape, 2 * along, 2 * across))
        assert net2(one) == 2 * quarters * along * across


def test_the_rest_of_the_job_stays_but_what_stands_on_its_plan():
    one = replace(
        job(size(100, 50), size(40, 40, name="Closet"), gap="1/4"),
        order=Order(culls=Fraction(1, 50), spare=6),
        doorways=(
            Doorway(name="way out", rooms=("Studio",), walls=(("A", "B"),), offsets=(0,), width=inch(32)),
        ),
        stops=(Stop(name="", room="Studio", at=inch(20)),),
        warnings=("Studio: a sliver",),
    )
    turned = replace(one, layout=replace(one.layout, direction=Fraction(90), run_limit_along=inch(400)))
    for shape in (Shape.RECTANGLE, Shape.L_ROOM, Shape.HALL):
        for *_, other in table_jobs(turned, table(shape)):
            assert (other.doorways, other.stops, other.warnings) == ((), (), ())
            assert len(other.rooms) == 1
            assert other.layout == replace(turned.layout, direction=Fraction(0))
            assert (other.plank, other.rules, other.order) == (one.plank, one.rules, one.order)


def test_a_hall_has_a_width_told_that_a_hall_may_have():
    found = table_jobs(small(), table(Shape.HALL, across=(60, 84, 6)))
    assert {across for _, _, across, _ in found} == {inch(60), inch(66), inch(72)}
    assert all((one.rooms[0].along, one.rooms[0].across) == (x, y) for _, x, y, one in found)


def test_where_no_width_told_is_a_halls_the_usual_ones_are_taken():
    found = table_jobs(small(), table(Shape.HALL, across=(96, 120, 12)))
    assert [across for _, _, across, _ in found][:4] == [inch(36), inch(48), inch(60), inch(72)]
    metric = replace(small(), unit=Unit.MM)
    widths = [y for _, _, y, _ in table_jobs(metric, table(Shape.HALL, along=(96, 96, 1)))]
    assert widths == [mm * TICKS_PER_MM for mm in (900, 1200, 1500, 1800)]


@given(st.integers(70, 400), st.integers(170, 400), st.sampled_from([Unit.FT, Unit.CM]))
@STEADY
def test_a_flat_is_one_floor_through_all_its_rooms(along, across, unit):
    ((_, _, _, one),) = table_jobs(
        replace(small(), unit=unit), one_size(Shape.FLAT, inch(along), inch(across))
    )
    floor = lay_out(one)
    assert len({run.field for run in floor.runs}) == 1
    living, hall, *bedrooms = one.rooms
    wall = hall.at[1] - living.across
    rooms = sum(room.along * room.across for room in one.rooms)
    doors = sum(doorway.width for doorway in one.doorways) * wall
    assert net2(one) == 2 * (rooms + doors)
    assert living.along == hall.along == inch(along)
    assert bedrooms[0].across == bedrooms[1].across == living.across
    assert hall.across == inch(across) // 5
    far = (
        max(room.at[0] + room.along for room in one.rooms),
        max(room.at[1] + room.across for room in one.rooms),
    )
    assert 0 <= inch(across) - far[1] <= 1  # an odd tick is left
    assert far[0] == inch(along)
    assert max(room.at[0] + room.along for room in bedrooms) in (inch(along), inch(along) - 1)


def test_a_flat_too_small_for_its_doors_is_left_out():
    found = table_jobs(small(), table(Shape.FLAT, along=(60, 72, 12), across=(156, 168, 12)))
    assert [(along, across) for _, along, across, _ in found] == [(inch(72), inch(168))]


def test_a_room_too_small_to_lay_is_told_by_its_plan():
    ((*_, one),) = table_jobs(small(gap="1/2"), one_size(Shape.RECTANGLE, inch(40), inch(1)))
    with pytest.raises(JobError):
        lay_out(one)


def test_every_shape_can_be_planned():
    found = [
        *table_jobs(
            small(), table(Shape.RECTANGLE, Shape.L_ROOM, Shape.HALL, along=(96, 96, 1), across=(70, 70, 1))
        ),
        *table_jobs(small(), table(Shape.FLAT, along=(96, 96, 1), across=(168, 168, 1))),
    ]
    assert [(shape, real_boxes(one) is not None) for shape, *_, one in found] == [
        (shape, True) for shape in Shape
    ]
