"""Charts of estimates: all that is told is there, readable without colour, and nothing overlaps."""

import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import shapely
from figured import FOOT, figure, rooms, study

from cutopt.drawing._letters import text_width
from cutopt.drawing._scene import Line, Text
from cutopt.drawing.charts import loss_drawing, loss_svg, study_svg, waste_svg
from cutopt.drawing.charts._losses import draw_losses
from cutopt.drawing.charts._rooms import draw_rooms
from cutopt.drawing.charts._scale import scale_of
from cutopt.drawing.charts._study import draw_study
from cutopt.drawing.charts._told import percent
from cutopt.model.estimate import Study
from cutopt.model.pricing import Shape
from cutopt.units import Unit

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "<script>alert(1)</script> &amp; ]]> \x07\x1b[2J \u202e \ud800 \uffff"
SHOWN = r"<script>alert(1)</script> &amp; ]]> \x07\x1b[2J \u202e \ud800 \uffff"
SHORT, OVER = 3, 4
"""How many corners the signs of a habit have that is short, or buys too many boxes."""

LONG = ["as told", *(f"stagger {nth}, {'wide board ' * 30}" for nth in range(1, 5))]
CHARTS = {
    "study": draw_study(study(), Unit.IN),
    "study without prices": draw_study(study(priced=False), Unit.IN),
    "study of long names": draw_study(study(names=LONG), Unit.IN),
    "large study": draw_study(study(range(171, 301)), Unit.IN),
    "study of nothing": draw_study(Study(rows=()), Unit.IN),
    "study of clashes": draw_study(study([None, None]), Unit.IN),
    "rooms": draw_rooms(rooms(tuple(Shape)), Unit.FT),
    "rooms in mm": draw_rooms(rooms(), Unit.MM),
    "many rooms": draw_rooms(rooms(along=range(8, 30), across=range(8, 20)), Unit.IN),
    "no rooms": draw_rooms((), Unit.MM),
    "losses": draw_losses(figure(), titled=True),
    "losses on a page": draw_losses(figure(unit=Unit.M), titled=False),
    "losses of a closet": draw_losses(figure(9, 3), titled=True),
    "nothing lost": draw_losses(figure(20, 20), titled=True),
}
charts = pytest.mark.parametrize("name", CHARTS)


def texts(chart):
    return [item for item in chart.items if isinstance(item, Text)]


def told(chart):
    return [text.text for text in texts(chart)]


def box_of(text):
    """Return where a text lies: a box of its own letters, down from the top."""
    (x, y), width = text.at, text_width(text.text, text.size, bold=text.bold)
    return shapely.box(x, y - 0.7 * text.size, x + width, y + 0.1 * text.size)


def line_of(chart, first):
    """Return the texts that stand on the line with a text, from left to right."""
    y = next(text.at[1] for text in texts(chart) if text.text == first)
    return [text.text for text in sorted(texts(chart), key=lambda text: text.at) if text.at[1] == y]


def shapes(chart, *, greys):
    return [
        item for item in chart.items if isinstance(item, Line) and item.closed and item.style.fill in greys
    ]


@charts
def test_no_two_texts_overlap(name):
    found = texts(CHARTS[name])
    tree = shapely.STRtree([box_of(text) for text in found])
    one, other = tree.query(tree.geometries, predicate="intersects")
    assert [(found[i].text, found[j].text) for i, j in zip(one, other, strict=True) if i < j] == []


@charts
def test_all_is_on_the_picture_in_letters_that_print(name):
    chart = CHARTS[name]
    picture = shapely.box(0, 0, chart.width, chart.y).buffer(0.5)
    for item in chart.items:
        if isinstance(item, Text):
            assert item.size >= 7
            assert picture.covers(box_of(item)), item.text
        else:
            assert all(picture.covers(shapely.Point(at)) for part in item.parts for at in part)


@charts
def test_letters_stand_on_light_paper(name):
    """A text is black: what is painted last below it is light enough to read it on (a contrast of 4.5 and more)."""
    chart = CHARTS[name]
    painted = []
    for item in chart.items:
        if isinstance(item, Text):
            below = [grey for area, grey in painted if area.intersects(box_of(item))]
            assert not below or below[-1] >= 0.5, item.text
        elif item.closed and item.style.fill is not None:
            painted.append((shapely.Polygon(item.parts[0]), item.style.fill))


@charts
def test_pictures_are_well_formed_and_their_texts_in_them(name):
    svg = CHARTS[name].svg()
    root = ET.fromstring(svg)  # noqa: S314 - our own text
    assert root.tag == SVG + "svg"
    assert [text.text for text in root.iter(SVG + "text")] == told(CHARTS[name])
    assert "nan" not in svg.lower()
    assert float(root.get("width").removesuffix("mm")) == pytest.approx(
        float(root.get("viewBox").split()[2]) * 25.4 / 72, abs=0.01
    )


def test_same_data_same_text():
    assert study_svg(study(), Unit.IN) == study_svg(study(), Unit.IN)
    assert waste_svg(rooms(), Unit.FT) == waste_svg(rooms(), Unit.FT)
    assert loss_svg(figure()) == loss_svg(figure())


def test_same_data_same_text_in_another_process():
    code = (
        "from figured import *; from cutopt.drawing.charts import *;"
        "print(study_svg(study(), Unit.IN), waste_svg(rooms(), Unit.FT), loss_svg(figure()))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        check=True,
        text=True,
        cwd=Path(__file__).parent,
        env={"PYTHONHASHSEED": "1"},
    )
    wanted = (study_svg(study(), Unit.IN), waste_svg(rooms(), Unit.FT), loss_svg(figure()))
    assert done.stdout.rstrip("\n") == " ".join(wanted).rstrip("\n")


def test_a_choice_has_its_figures_beside_it():
    chart = CHARTS["study"]
    assert line_of(chart, "stagger 1") == ["stagger 1", "5.9 %", "180", "179", "10", "649.90"]
    assert line_of(chart, "stagger 3") == ["stagger 3", "no plan: the rules cannot all be met"]
    assert "with tax" in told(chart)
    assert "with tax" not in told(CHARTS["study without prices"])
    assert line_of(CHARTS["study without prices"], "stagger 1")[-1] == "10"


def test_the_best_are_told_in_words_and_signs():
    chart = draw_study(study((176, 180, 176, 190)), Unit.IN)
    assert line_of(chart, "stagger 0")[-1] == "least waste, cheapest"
    assert line_of(chart, "stagger 2")[-1] == "least waste"
    assert line_of(chart, "stagger 1")[-1] == "649.90"
    stars = [shape for shape in shapes(chart, greys=[0.0]) if len(shape.parts[0]) == 10]
    coins = [shape for shape in shapes(chart, greys=[0.0]) if len(shape.parts[0]) == 16]
    assert (len(stars), len(coins)) == (2 + 1, 1 + 1)  # one of each in the legend


def test_bars_are_as_long_as_the_waste_and_ticks_stand_at_the_bound():
    chart = draw_study(study((190, 180, 210)), Unit.IN)
    bars = [shape.parts[0] for shape in shapes(chart, greys=[0.86, 1.0]) if high(shape.parts[0]) == 10]
    ticks = [item.parts[0] for item in chart.items if isinstance(item, Line) and item.style.width == 1.4]
    left = bars[0][0][0]
    lengths = [bar[1][0] - left for bar in bars]
    wastes = [190 / 170 - 1, 180 / 170 - 1, 210 / 170 - 1]
    bounds = [190 / 170 - 1, 179 / 170 - 1, 208 / 170 - 1]
    assert [length / lengths[0] for length in lengths] == pytest.approx([one / wastes[0] for one in wastes])
    found = [tick[0][0] - left for tick in ticks[1:]]  # the first is in the legend
    assert [one / lengths[0] for one in found] == pytest.approx([one / wastes[0] for one in bounds])


def high(ring):
    return ring[2][1] - ring[0][1]


def test_titles_of_columns_come_again_on_a_tall_picture():
    assert told(CHARTS["large study"]).count("planks") == 4
    assert told(CHARTS["study"]).count("planks") == 1


@pytest.mark.parametrize(
    ("shares", "step", "last"),
    [([], 1, 1), ([0.004], 1, 1), ([0.06], 1, 6), ([0.061], 2, 8), ([0.3, 0.01], 5, 30), ([4.0], 100, 400)],
)
def test_scales_have_few_round_steps_and_room_for_all(shares, step, last):
    scale = scale_of([Fraction(share).limit_denominator(1000) for share in shares], left=10, width=100)
    assert (scale.step, scale.step * scale.steps) == (step, last)
    assert [x for x, _ in scale.marks()][:: len(scale.marks()) - 1] == [10, 110]


def test_every_room_has_its_waste_and_its_boxes_under_and_beside_its_size():
    chart = draw_rooms(rooms(along=(8, 10, 12), across=(7, 9)), Unit.FT)
    middle = {text.text: middle_of(text) for text in texts(chart)}
    for cell in rooms(along=(8, 10, 12), across=(7, 9)):
        x = middle[f"{cell.along // FOOT}' 0\""][0]
        y = middle[f"{cell.across // FOOT}' 0\""][1]
        area = shapely.box(x - 28, y - 15, x + 28, y + 15)
        inside = [text.text for text in texts(chart) if area.contains(box_of(text))]
        assert inside[:2] == [percent(cell.figure.as_laid), f"{cell.figure.boxes} boxes"]


def middle_of(text):
    place = box_of(text).centroid
    return place.x, place.y


def test_a_room_without_a_plan_is_told():
    assert told(draw_rooms(rooms(along=(10, 12), across=(8,)), Unit.FT)).count("no plan") == 1
    assert "no plan" not in told(draw_rooms(rooms(along=(12,), across=(8,)), Unit.FT))


def test_the_habit_that_is_short_or_over_is_told_by_different_signs():
    cells = [
        replace(cell, figure=figure(*planks, boxes=boxes))
        for cell, planks, boxes in zip(
            rooms(along=(8,), across=(8, 9, 11)), ((90, 70), (90, 90), (90, 89)), (6, 3, 5), strict=True
        )
    ]
    chart = draw_rooms(cells, Unit.FT)
    assert [cell.figure.boxes - cell.figure.habits[1].boxes for cell in cells] == [2, -2, 0]
    assert line_of(chart, "6 boxes") == ["6 boxes"]
    text = " ".join(told(chart))
    assert "is short, by so many boxes (1 of 3 rooms)" in text
    assert "more than needed (1 of 3 rooms)" in text
    triangles = [shape for shape in shapes(chart, greys=[0.0]) if len(shape.parts[0]) == SHORT]
    boxes = [shape for shape in shapes(chart, greys=[1.0]) if shape.style.width == 1.1]
    assert (len(triangles), len(boxes)) == (2, 2)  # one of each in the legend
    assert told(chart).count("2") == 2


def test_darker_rooms_waste_more():
    chart = CHARTS["many rooms"]
    cells = [(shapely.Polygon(item.parts[0]), item.style.fill) for item in chart.items if is_cell(item)]
    wastes = [text for text in texts(chart) if text.text.endswith(" %") and "." in text.text]
    areas = shapely.STRtree([area for area, _ in cells])
    found = {}
    for text in wastes:
        (cell,) = areas.query(box_of(text), predicate="within")
        found.setdefault(cells[cell][1], []).append(float(text.text.removesuffix(" %")))
    assert sum(map(len, found.values())) == 22 * 12 - 1
    assert len(found) >= 3
    for (_, lighter), (_, darker) in pairwise(sorted(found.items(), reverse=True)):
        assert max(lighter) <= min(darker)


def is_cell(item):
    return (
        isinstance(item, Line) and item.closed and item.style.fill is not None and high(item.parts[0]) == 30
    )


def test_losses_are_told_each_and_drawn_to_scale():
    one = figure()
    chart = CHARTS["losses"]
    assert line_of(chart, "floor (net area)")[:2] == ["floor (net area)", "184.17 sq ft, 85.0 %"]
    shown = " ".join(told(chart))
    for name in ("cut ends", "rips", "slanted cuts", "kerf", "culls", "spare planks", "rounding to boxes"):
        assert name in shown
    assert "= bought 216.67 sq ft, 100.0 %" in shown
    bars = [ring.parts[0] for ring in shapes(chart, greys=[0.93, 1.0, 0.2, 0.7]) if high(ring.parts[0]) == 26]
    assert sum(ring[1][0] - ring[0][0] for ring in bars) == pytest.approx(515)
    assert bars[0][1][0] - bars[0][0][0] == pytest.approx(515 * float(one.losses.net / one.losses.bought))


def test_what_is_not_lost_is_not_told():
    shown = " ".join(told(draw_losses(figure(170, 170), titled=True)))
    assert "kerf" not in shown
    assert "culls" in shown


def test_losses_for_a_page_are_bare():
    drawing = loss_drawing(figure())
    assert drawing.width == 515
    assert "Quay Row" not in " ".join(told(CHARTS["losses on a page"]))


@pytest.mark.parametrize("hostile", [HOSTILE, "W" * 5000, "中文" * 300, ""])
def test_text_from_files_is_text(hostile):
    one = study(names=[hostile] * 5)
    rows = tuple(
        row and replace(row, figure=row.figure and replace(row.figure, title=hostile)) for row in one.rows
    )
    for svg in (study_svg(replace(one, rows=rows), Unit.IN), loss_svg(figure(title=hostile))):
        root = ET.fromstring(svg)  # noqa: S314 - our own text
        assert not list(root.iter(SVG + "script"))
        assert float(root.get("viewBox").split()[2]) < 1200
        if hostile is HOSTILE:
            assert SHOWN in " ".join(root.itertext())


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (Fraction(1, 12), "8.3 %"),
        (Fraction(45, 2000), "2.3 %"),
        (Fraction(0), "0.0 %"),
        (Fraction(3), "300.0 %"),
    ],
)
def test_shares_are_rounded_half_up(share, text):
    assert percent(share) == text
