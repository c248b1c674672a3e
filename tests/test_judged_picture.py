"""Breaches marked in pictures: in the terminal below their rows, in SVG by rings and numbers keyed to a list."""

import re
import subprocess
import sys
from dataclasses import replace
from itertools import accumulate, pairwise
from xml.etree import ElementTree as ET

import pytest
import shapely
from grounds import Drawn, rectangle
from judged import ROWS, breaches, laid, mended, ticks

from cutopt.drawing import judged_picture, judged_svg, picture
from cutopt.drawing._judged import draw_judged
from cutopt.drawing._letters import text_width
from cutopt.drawing._scene import Line, Text
from cutopt.drawing._spots import spots_of
from cutopt.model.judgement import Breach
from cutopt.units import Unit

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "<img onerror='x'>&\x1b[31m\x00\u202e]]>"
HALVES = tuple((24, 48, 48, 14) if nth % 2 else (48, 48, 38) for nth in range(18))
NARROW = ((10, 48, 11), (13, 48, 8), (17, 48, 4)) * 9


def h_joints(rows=HALVES):
    """Return an H-joint for every three rows of a half pattern."""
    return tuple(
        Breach(
            number=nth - 1,
            rule="H-joint",
            words="joints two rows apart are too close",
            rows=(nth - 1, nth, nth + 1),
            row=nth + 1,
            run=1,
            place=ticks(rows[nth][0]),
            found='0"',
            wanted='at least 3"',
        )
        for nth in range(2, len(rows))
    )


def crowd(number, rows):
    """Return so many breaches at few places, every rule and every kind of place among them."""
    rules = ("stagger", "H-joint", "stair-step", "minimum piece", "pattern", "lots kept apart")
    return tuple(
        Breach(
            number=nth,
            rule=rules[nth % len(rules)],
            words="something is wrong",
            rows=tuple(range(max(1, row - nth % 4), row + 1)),
            row=row,
            run=1 + nth % 2,
            place=None if nth % 7 == 0 else ticks(nth * 5 % 130),
            must=nth % 3 > 0,
        )
        for nth in range(1, number + 1)
        for row in [1 + nth * nth % rows]
    )


CASES = {
    "all kinds": (laid(), breaches(), laid(mended())),
    "none": (laid(), (), None),
    "halves": (laid(HALVES, unit=Unit.MM), h_joints(), laid(mended(HALVES, 9, 36), unit=Unit.MM)),
    "crowd": (laid(), crowd(60, 7), None),
    "tall": (laid(ROWS * 30), crowd(40, 200), None),
    "short": (laid(NARROW), crowd(9, 27), laid(mended(NARROW, 2, 5))),
    "started elsewhere": (laid(starts=(0, 3, 9, 1, 30, 2, 7)), breaches(), None),
    "in a room": (Drawn(rooms={"Loft": rectangle(0, 0, 150, 62)}, degrees=45).plan(), crowd(9, 7), None),
    "in two rooms": (
        Drawn(
            rooms={"Hall": rectangle(0, 0, 150, 40), "Study": rectangle(0, 60, 90, 40)},
            fields={"Hall": "south", "Study": "north"},
        ).plan(),
        crowd(14, 12),
        None,
    ),
    "rows that are not": (laid(), (replace(breaches()[1], row=99, rows=(98, 99)),), None),
    "far out": (laid(), (replace(breaches()[1], place=ticks(9999)),), None),
}
cases = pytest.mark.parametrize("name", CASES)


def numbers(breaches_):
    return sorted(breach.number for breach in breaches_)


@cases
def test_every_number_is_in_the_picture_once(name):
    plan, found, _ = CASES[name]
    text = judged_picture(plan, found)
    body = text.partition("The first row is at the bottom")[0]
    assert sorted(int(number) for number in re.findall(r"\((\d+)\)", body)) == numbers(found)


@cases
@pytest.mark.parametrize("width", [80, 40])
def test_the_picture_keeps_to_its_width_and_ascii(name, width):
    plan, found, _ = CASES[name]
    lines = judged_picture(plan, found, width).split("\n")
    assert all(len(line) <= width and line.isascii() and line == line.rstrip() for line in lines)


def test_picture_of_every_kind_of_breach():
    assert judged_picture(laid(), breaches(), 60) == (
        """\
7 |__________|___________________|____________________|____|
  row (4)
6 |_|___________________|____________________|_____________|
  (3)
5 |_____|___________________|___________________|__________|
                           (2)
4 |______|____________________|___________________|________|
                             (1)
3 |_________________|____________________|_________________|
2 |______|____________________|___________________|________|
1 |____________|___________________|____________________|__|

Of no one row: (5).
The first row is at the bottom; (1) marks where breach 1 is,
below its row.
"""
    )


def test_picture_without_breaches_is_the_plain_one():
    assert judged_picture(laid(), ()) == picture(laid())


@pytest.mark.parametrize("nth", [1, 2])
def test_a_number_stands_below_its_joint(nth):
    """Below the column that is as far along the line as the joint along the row, give or take one."""
    breach = breaches()[nth - 1]
    lines = judged_picture(laid(), breaches()).split("\n")
    at = next(at for at, line in enumerate(lines) if line.startswith(f"{breach.row} "))
    column = lines[at + 1].index(f"({nth})") + 1
    wanted = 2 + 77 * breach.place / ticks(134)
    assert abs(column - wanted) <= 1
    assert lines[at][column] == "|"


def test_numbers_at_one_place_stand_below_each_other():
    first = breaches()[1]
    lines = judged_picture(laid(), [replace(first, number=nth) for nth in (7, 8, 9)]).split("\n")
    found = [line.index(f"({nth})") for nth in (7, 8, 9) for line in lines if f"({nth})" in line]
    assert len(found) == 3
    assert len(set(found)) == 1


def test_of_a_tall_floor_only_rows_with_breaches_and_their_neighbours_are_shown():
    plan = laid(ROWS * 30)
    breach = replace(breaches()[1], rows=(101, 102), row=102)
    lines = judged_picture(plan, [breach]).split("\n")
    assert lines[0] == "    ... 107 rows"
    assert [line.split()[0] for line in lines[1:6]] == ["103", "102", "(2)", "101", "100"]
    assert lines[6] == "    ... 99 rows"


def test_a_picture_needs_no_drawing_library():
    code = "import sys, cutopt.drawing; sys.exit('reportlab' in sys.modules)"
    subprocess.run([sys.executable, "-c", code], check=True)


def chart(name):
    return draw_judged(*CASES[name])


def texts(name):
    return [item for item in chart(name).items if isinstance(item, Text)]


def tags(name):
    """Return the numbers in frames, in the drawing and in the list, in the order drawn."""
    items = chart(name).items
    return [
        item.text
        for before, item in pairwise(items)
        if isinstance(item, Text)
        and isinstance(before, Line)
        and before.closed
        and item.bold
        and item.size == 8.5
    ]


@cases
def test_svg_is_well_formed_and_the_same_each_time(name):
    svg = judged_svg(*CASES[name])
    assert ET.fromstring(svg).tag == SVG + "svg"  # noqa: S314 - our own text
    assert "nan" not in svg.lower()
    assert svg == judged_svg(*CASES[name])


@cases
def test_every_number_is_in_the_list_and_on_the_drawing_where_it_has_a_place(name):
    plan, found, _ = CASES[name]
    shown = tags(name)
    placed = numbers(spot.breach for spot in spots_of(plan, found) if spot.run is not None)
    parts = [int(number) for text in shown for number in text.split(", ")]
    assert sorted(parts) == sorted([*placed, *numbers(found)])
    assert shown[len(shown) - len(found) :] == [str(breach.number) for breach in found]


@pytest.mark.parametrize("name", [name for name in CASES if name != "crowd"])
def test_no_two_texts_of_the_svg_overlap(name):
    boxes = [
        shapely.box(
            item.at[0],
            item.at[1] - 0.7 * item.size,
            item.at[0] + text_width(item.text, item.size, bold=item.bold),
            item.at[1] + 0.1 * item.size,
        )
        for item in texts(name)
    ]
    one, other = shapely.STRtree(boxes).query(boxes, predicate="intersects")
    assert all(i == j for i, j in zip(one, other, strict=True))


@cases
def test_all_is_on_the_chart(name):
    drawn = chart(name)
    paper = shapely.box(0, 0, drawn.width, drawn.y)
    for item in drawn.items:
        if isinstance(item, Text):
            assert item.at[0] + item.width <= drawn.width
            assert item.at[0] >= 0
            assert 0 <= item.at[1] <= drawn.y
        else:
            assert all(paper.covers(shapely.Point(at)) for part in item.parts for at in part)


def ring_centres(name):
    """Return the centres of the solid rings, and the place each would have on a floor 134 in long."""
    return [
        shapely.Polygon(item.parts[0]).centroid
        for item in chart(name).items
        if isinstance(item, Line) and not item.closed and item.style.width == 1.6 and len(item.parts[0]) > 20
    ]


def test_rings_stand_to_scale_round_the_joints():
    """The legend's ring apart: its place along the floor in inches, at 1:24 three points an inch."""
    _, h_joint, stagger = ring_centres("all kinds")
    assert [round((at.x - 54) / 3, 2) for at in (h_joint, stagger)] == [65, 61]
    assert round(h_joint.y - stagger.y, 2) == 18  # rows are 6 in wide


def test_joints_that_a_rule_compares_are_found():
    spots = spots_of(laid(), breaches())
    at = [[(run.run.row, place) for run, place in spot.joints] for spot in spots]
    assert at[:2] == [[(4, ticks(65)), (2, ticks(65))], [(5, ticks(61)), (4, ticks(65))]]
    assert (spots[2].left, spots[2].right) == (0, ticks(4))
    assert spots[3].whole
    assert spots[4].run is None


def test_a_stair_is_followed_by_even_steps():
    rows = ((16, 48, 48, 8), (32, 48, 40), (48, 48, 24))
    breach = Breach(number=1, rule="stair-step", words="w", rows=(1, 2, 3), row=3, run=1, place=ticks(48))
    (spot,) = spots_of(laid(rows), [breach])
    assert [(run.run.row, place) for run, place in spot.joints] == [
        (3, ticks(48)),
        (2, ticks(32)),
        (1, ticks(16)),
    ]


def test_remarks_are_counted_apart():
    assert any(item.text.startswith("4 breaches, 1 remark. First row") for item in texts("all kinds"))
    assert any(item.text.startswith("No breach. First row") for item in texts("none"))


def test_a_mended_layout_is_shown_with_its_row_marked():
    found = [item.text for item in texts("all kinds")]
    assert "Before" in found
    assert "After: row 5 moved, which mends 2" in found
    assert [item.bold for item in texts("all kinds") if item.text == "5" and item.size == 7.5] == [
        False,
        True,
    ]
    dashed = [
        part
        for item in chart("all kinds").items
        if isinstance(item, Line) and item.style.dash == (2, 2)
        for part in item.parts
    ]
    joints = list(accumulate(ROWS[4]))[:-1]
    assert [round((part[0][0] - 54) / 3, 2) for part in dashed] == joints
    assert not [item for item in texts("none") if item.text in {"Before", "After"}]


def test_narrow_floors_stand_side_by_side():
    caption = {item.text[:5]: item.at for item in texts("short") if item.text.startswith(("Befor", "After"))}
    assert caption["Befor"][1] == caption["After"][1]
    caption = {item.text[:5]: item.at for item in texts("halves") if item.text.startswith(("Befor", "After"))}
    assert caption["Befor"][0] == caption["After"][0]


def test_the_list_tells_rule_found_and_wanted():
    found = [item.text for item in texts("all kinds")]
    at = found.index("stagger")
    assert found[at : at + 2] == [
        "stagger",
        'rows 4, 5, 61" along row 5: found 4", wanted at least 6". Mend: start row 5 at 21" instead of 13".',
    ]


def test_text_from_outside_is_shown_as_text():
    bad = replace(breaches()[1], rule=HOSTILE, found=HOSTILE, wanted=HOSTILE * 20, mend=None)
    worse = replace(bad, number=3, found="", wanted="", words=HOSTILE)
    plan = laid(title=HOSTILE, field=HOSTILE)
    svg = judged_svg(plan, (bad, worse), plan)
    root = ET.fromstring(svg)  # noqa: S314 - our own text
    shown = [node.text or "" for node in root.iter(SVG + "text")]
    assert r"<img onerror='x'>&\x1b[31m\x00\u202e]]>" in shown
    assert all(text.isprintable() for text in shown)
    assert {node.tag.removeprefix(SVG) for node in root.iter()} <= {
        "svg",
        "title",
        "desc",
        "g",
        "path",
        "text",
        "defs",
        "clipPath",
        "rect",
    }
    assert judged_picture(plan, (bad, worse)).isascii()


def test_a_plan_without_pieces_is_drawn_empty():
    plan = laid()
    bare = replace(plan, rows=tuple(replace(row, pieces=()) for row in plan.rows))
    assert "waiting offcuts" in judged_svg(bare, breaches(), None)
    assert "waiting offcuts" in judged_svg(replace(plan, rows=()), breaches(), None)
    assert judged_picture(replace(plan, rows=()), breaches()) == ""
