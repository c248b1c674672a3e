"""Drawings of plans: what is on the sheets, that it is all readable, and the small picture for the terminal.

The stored drawing is of a stored plan. After a wanted change of the look, run the tests once with
UPDATE_SHEETS=1 and review the difference.
"""

import os
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import shapely
from grounds import Door, Drawn, Thing, inches, rectangle
from rich.cells import cell_len
from shapely.affinity import rotate

from cutopt.drawing import GuideLine, picture, render_svg
from cutopt.drawing._draft import SMALLEST
from cutopt.drawing._laid import fields_of
from cutopt.drawing._letters import plain, shortened, text_width, wrapped
from cutopt.drawing._render import to_svg
from cutopt.drawing._scene import Line, Text
from cutopt.drawing._sheets import draw_floor
from cutopt.drawing._view import scale_text
from cutopt.model.floor import Frame
from cutopt.model.job import Lay
from cutopt.model.rooms import ThingKind
from cutopt.planfile import read_plan
from cutopt.units import Unit

DATA = Path(__file__).parent / "data"
STORED = sorted([*DATA.glob("plans/*.json"), *DATA.glob("sheets/*/plan.json")])
SVG = "{http://www.w3.org/2000/svg}"
names = [f"{path.parent.name}-{path.stem}" for path in STORED]


def room(**changes):
    """Return a room with a column in it and a doorway out."""
    drawn = Drawn(
        rooms={"Parlour": rectangle(0, 0, 150, 62)},
        things={("Parlour", "column"): Thing(rectangle(60, 22, 12, 12), gap=Fraction(1, 4))},
        doors={"way in": Door(("Parlour",), ((20, 0), (52, 0), (52, -5), (20, -5)))},
        gap=Fraction(3, 8),
        first=3,
    )
    return replace(drawn, **changes).plan()


def flat(**changes):
    """Return a hall whose rows run through into a study, and a parlour behind a transition strip."""
    drawn = Drawn(
        rooms={
            "Hall": rectangle(0, 0, 240, 48),
            "Study": rectangle(0, 54, 117, 120),
            "Parlour": rectangle(123, 54, 117, 120),
        },
        things={
            ("Parlour", "hearth"): Thing(
                rectangle(200, 90, 40, 48), kind=ThingKind.HEARTH, gap=Fraction(1, 4)
            ),
            ("Parlour", "floor vent"): Thing(rectangle(140, 140, 10, 4), kind=ThingKind.VENT),
        },
        doors={
            "study door": Door(("Hall", "Study"), ((40, 48), (72, 48), (72, 54), (40, 54))),
            "parlour door": Door(
                ("Hall", "Parlour"),
                ((160, 48), (192, 48), (192, 54), (160, 54)),
                strip=((160, 50), (192, 50), (192, 52), (160, 52)),
            ),
        },
        fields={"Hall": "south", "Study": "south", "Parlour": "north"},
        gap=Fraction(3, 8),
        first=Fraction(7, 2),
    )
    return replace(drawn, **changes).plan()


GUIDES = (
    GuideLine(start=(0, inches(13)), end=(inches(240), inches(13)), label="line A"),
    GuideLine(start=(inches(100), 0), end=(inches(100), inches(170)), label="square to it"),
)
FLOORS = {
    "room": room(),
    "turned room": room(degrees=45),
    "flat": flat(),
    "flat along y": flat(degrees=90),
    "flat at 45": flat(degrees=45),
    "flat at 135": flat(degrees=135),
    "many sheets": Drawn(
        rooms={"Loft": rectangle(0, 0, 200, 220)},
        things={("Loft", "post"): Thing(rectangle(90, 61, 9, 9))},
        width=2,
        length=72,
        unit=Unit.MM,
    ).plan(),
    **{name: read_plan(path) for name, path in zip(names, STORED, strict=True)},
}
floors = pytest.mark.parametrize("name", FLOORS)


@cache
def sheets_of(name, *lines):
    return draw_floor(FLOORS[name], lines)


def layer(sheet, name):
    return next(found.items for found in sheet.layers if found.name == name)


def texts(sheet):
    return [item for found in sheet.layers for item in found.items if isinstance(item, Text)]


def box_of(text):
    """Return where a text lies on paper: a box of its own letters, by another route than the program's."""
    x, y = text.at
    width = text_width(text.text, text.size, bold=text.bold)
    flat_box = shapely.box(x, y - 0.1 * text.size, x + width, y + 0.7 * text.size)
    return rotate(flat_box, text.degrees, origin=(x, y))


def ids(plan):
    return [piece.id for row in plan.rows for piece in row.pieces]


def numbers(sheet):
    found = [item.text.partition(" / ")[0] for item in layer(sheet, "numbers") if isinstance(item, Text)]
    return [text for text in found if not text.startswith("p")]  # the plank may stand on a line of its own


def areas(items, *, greys=(None,)):
    """Return the areas drawn, without fillings."""
    return [
        shapely.Polygon(item.parts[0], item.parts[1:])
        for item in items
        if isinstance(item, Line) and item.closed and item.style.fill in greys
    ]


def test_drawing_is_as_stored():
    path = DATA / "drawings" / "two_runs.svg"
    (svg,) = render_svg(read_plan(DATA / "plans" / "two_runs.json"))
    if os.environ.get("UPDATE_SHEETS"):
        path.write_bytes(svg.encode())
    assert path.read_bytes().decode() == svg


@floors
def test_sheets_are_well_formed(name):
    for sheet in sheets_of(name, *GUIDES)[:2]:
        svg = to_svg(sheet)
        root = ET.fromstring(svg)  # noqa: S314 - our own text
        assert root.tag == SVG + "svg"
        assert root.get("viewBox") == f"0 0 {sheet.width} {sheet.height}"
        assert "nan" not in svg.lower()


@pytest.mark.parametrize(("paper", "sizes"), [("a4", {"210mm", "297mm"}), ("letter", {"8.5in", "11in"})])
@pytest.mark.parametrize(("along", "across"), [(150, 40), (40, 150)])
def test_a_sheet_has_the_size_of_its_paper_turned_as_suits_the_floor(along, across, paper, sizes):
    (svg,) = render_svg(Drawn(rooms={"Passage": rectangle(0, 0, along, across)}).plan(), paper=paper)
    root = ET.fromstring(svg)  # noqa: S314 - our own text
    assert {root.get("width"), root.get("height")} == sizes
    _, _, width, height = map(int, root.get("viewBox").split())
    assert (width > height) is (along > across)
    assert float(root.get("width").strip("min")) / float(root.get("height").strip("min")) == pytest.approx(
        width / height, rel=0.001
    )


@pytest.mark.parametrize(("unit", "width"), [(Unit.IN, "11in"), (Unit.FT, "11in"), (Unit.MM, "297mm")])
def test_paper_follows_the_unit(unit, width):
    assert ET.fromstring(render_svg(room(unit=unit))[0]).get("width") == width  # noqa: S314 - our own text


@floors
def test_every_piece_is_numbered_or_named_as_left_out(name):
    plan = FLOORS[name]
    sheets = sheets_of(name)
    found = [name for sheet in sheets for name in numbers(sheet)]
    notes = " ".join(
        item.text for sheet in sheets for item in layer(sheet, "frame") if isinstance(item, Text)
    )
    left_out = {word.rstrip(",.;") for word in notes.split()}
    missing = {name for name in ids(plan) if name not in found and name not in left_out}
    assert not missing or "..." in notes
    assert len(set(found) & set(ids(plan))) >= 0.9 * len(ids(plan))


@pytest.mark.parametrize("name", ["room", *names])
def test_a_small_floor_has_every_number_on_its_one_sheet(name):
    (sheet,) = sheets_of(name)
    assert sorted(numbers(sheet)) == sorted(ids(FLOORS[name]))


@floors
def test_planks_are_named_beside_their_pieces(name):
    plan = FLOORS[name]
    planks = {f"{piece.id} / p{piece.plank}" for row in plan.rows for piece in row.pieces}
    named = {
        item.text for sheet in sheets_of(name) for item in layer(sheet, "numbers") if isinstance(item, Text)
    }
    assert {text for text in named if " / " in text} <= planks
    assert len(named & planks) >= len(planks) // 2


@floors
def test_no_two_texts_overlap(name):
    for sheet in sheets_of(name, *GUIDES):
        found = texts(sheet)
        tree = shapely.STRtree([box_of(text) for text in found])
        one, other = tree.query(tree.geometries, predicate="intersects")
        assert [(found[i].text, found[j].text) for i, j in zip(one, other, strict=True) if i < j] == []


@floors
def test_all_is_on_the_paper_in_letters_and_lines_that_print(name):
    for sheet in sheets_of(name, *GUIDES):
        paper = shapely.box(0, 0, sheet.width, sheet.height).buffer(-20)
        for found in sheet.layers:
            for item in found.items:
                if isinstance(item, Text):
                    assert item.size >= SMALLEST == 6
                    assert paper.covers(box_of(item)), item.text
                else:
                    assert item.style.stroke is None or item.style.width >= 0.3
                    assert all(paper.covers(shapely.Point(at)) for part in item.parts for at in part)


@floors
def test_a_number_stands_in_its_own_piece_or_beside_the_floor(name):
    for sheet in sheets_of(name, *GUIDES):
        if "overview" in " ".join(text.text for text in texts(sheet)):
            continue
        pieces = areas(layer(sheet, "pieces"))
        for item in layer(sheet, "numbers"):
            if isinstance(item, Text):
                box = box_of(item).buffer(-0.1)
                assert sum(piece.intersects(box) for piece in pieces) <= 1, item.text


@floors
def test_pieces_cover_the_floor_and_nothing_else(name):
    plan = FLOORS[name]
    """Laws of area, by shapely, in square ticks."""
    for field in fields_of(plan):
        pieces = [piece.shape for run in field.runs for piece in run.pieces]
        whole = shapely.union_all(pieces)
        slack = 1 + field.area.length  # a tick along the walls
        assert abs(sum(piece.area for piece in pieces) - field.area.area) <= slack
        assert abs(whole.area - field.area.area) <= slack
        assert shapely.difference(whole, field.area).area <= slack


@pytest.mark.parametrize("name", ["room", "turned room", "flat", "flat along y", "flat at 45"])
def test_what_is_drawn_is_the_floor_to_scale(name):
    plan = FLOORS[name]
    (sheet,) = sheets_of(name)
    drawn = sum(piece.area for piece in areas(layer(sheet, "pieces")))
    scale = next(text.text for text in texts(sheet) if text.text.startswith("Scale"))
    factor = 72 / 8128 / int(scale.partition("1:")[2].partition(" ")[0].rstrip(")"))
    floor = sum(field.area.area for field in fields_of(plan))
    assert drawn == pytest.approx(floor * factor**2, rel=1e-6)
    house = [line for item in (*layer(sheet, "walls"), *layer(sheet, "doorways")) for line in item.parts]
    assert (
        shapely.MultiLineString(house)
        .convex_hull.buffer(0.01)
        .covers(shapely.union_all(areas(layer(sheet, "pieces"))))
    )


@pytest.mark.parametrize("degrees", [0, 45, 90, 135])
def test_rows_are_drawn_in_their_direction(degrees):
    """The joints, which are square to the rows, tell it."""
    (sheet,) = draw_floor(flat(degrees=degrees))
    for item in layer(sheet, "joints"):
        for (x0, y0), (x1, y1) in item.parts:
            along = Frame(degrees=Fraction(degrees)).to_rows((1e6 * (x1 - x0), 1e6 * (y1 - y0)))
            assert abs(along[0]) < abs(along[1]) / 1e6 + 2


def test_moving_a_floor_on_its_plan_changes_nothing_on_paper():
    moved = replace(
        Drawn(rooms={"Parlour": rectangle(0, 0, 150, 62)}),
        rooms={"Parlour": rectangle(1000, -500, 150, 62)},
    ).plan()
    assert render_svg(moved) == render_svg(Drawn(rooms={"Parlour": rectangle(0, 0, 150, 62)}).plan())


def test_the_same_plan_gives_the_same_text_in_another_process():
    code = (
        "import sys, pathlib; from cutopt.planfile import read_plan; from cutopt.drawing import render_svg;"
        "sys.stdout.buffer.write(''.join(render_svg(read_plan(pathlib.Path(sys.argv[1])))).encode())"
    )
    path = DATA / "sheets" / "slanted_walls" / "plan.json"
    runs = [
        subprocess.run(
            [sys.executable, "-c", code, str(path)],
            capture_output=True,
            check=True,
            env={"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1] == "".join(render_svg(read_plan(path))).encode()


def test_a_picture_needs_no_drawing_library():
    code = "import sys, cutopt.drawing; sys.exit('reportlab' in sys.modules)"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_text_from_files_is_shown_as_text():
    bad = "<img onerror='x'>&\x1b[31m\x00\u202e]]>"
    plan = replace(room(), title=bad)
    ground = replace(
        plan.ground,
        rooms=tuple(replace(found, name=bad, names=(bad,) * 4) for found in plan.ground.rooms),
        things=tuple(replace(thing, name=bad) for thing in plan.ground.things),
    )
    (svg,) = render_svg(replace(plan, ground=ground), [GuideLine(start=(0, 0), end=(99, 99), label=bad)])
    root = ET.fromstring(svg)  # noqa: S314 - our own text
    assert r"<img onerror='x'>&\x1b[31m\x00\u202e]]>" in [node.text for node in root.iter(SVG + "text")]
    assert root.find(SVG + "title").text == r"<img onerror='x'>&\x1b[31m\x00\u202e]]>"
    assert {node.tag.removeprefix(SVG) for node in root.iter()} == {
        "svg", "title", "desc", "clipPath", "rect", "g", "path", "text"
    }  # fmt: skip


def test_letters_are_letters_of_a_plain_face():
    (svg,) = render_svg(room())
    assert "font-family: Helvetica, Arial, sans-serif" in svg


def test_names_rips_first_row_and_working_lines_are_told():
    (sheet,) = draw_floor(flat(), GUIDES)
    said = " ".join(text.text for text in texts(sheet))
    for what in ("Hall", "Study", "Parlour", "hearth", "floor vent", "study door", "line A", "square to it"):
        assert what in said
    assert 'rip 3-1/2"' in said
    assert "first row (1)" in said
    assert '240"' in said
    assert "product's own instructions come first" in said


def test_cut_pieces_are_hatched_and_whole_planks_are_not():
    plan = read_plan(DATA / "sheets" / "feet_and_inches" / "plan.json")
    (sheet,) = draw_floor(plan)
    pieces = {
        piece.piece.id: piece for field in fields_of(plan) for run in field.runs for piece in run.pieces
    }
    hatched = [item for item in layer(sheet, "pieces") if isinstance(item, Line) and not item.closed]
    assert len(hatched) == sum(piece.is_cut for piece in pieces.values())
    assert {piece.is_cut for piece in pieces.values()} == {True, False}


def test_an_arrow_points_the_way_rows_are_laid():
    tips = {}
    for lay in Lay:
        plan = room()
        (sheet,) = draw_floor(replace(plan, rules=replace(plan.rules, lay=lay)))
        (head,) = [item for item in layer(sheet, "tags") if isinstance(item, Line) and item.style.fill == 0]
        tip, back, _ = head.parts[0]
        tips[lay] = tip[0] - back[0]
    assert tips[Lay.LEFT_TO_RIGHT] > 0 > tips[Lay.RIGHT_TO_LEFT]


def test_a_large_floor_takes_an_overview_and_parts_that_overlap():
    plan = FLOORS["many sheets"]
    sheets = sheets_of("many sheets")
    assert len(sheets) > 2
    said = [" ".join(text.text for text in texts(sheet)) for sheet in sheets]
    assert f"Sheet 1 of {len(sheets)}: overview" in said[0]
    for nth, text in enumerate(said[1:], 2):
        assert f"Sheet {nth} of {len(sheets)}." in text
        assert f"sheet {nth}" in said[0]
        assert "goes on from here" in text
    whole = sum(field.area.area for field in fields_of(plan))
    shown = sum(piece.area for sheet in sheets[1:] for piece in areas(layer(sheet, "pieces")))
    scale = next(text.text for text in texts(sheets[1]) if text.text.startswith("Scale")).split()[1]
    assert shown > whole * (72 / 8128 / int(scale.removeprefix("1:"))) ** 2


def test_three_hundred_rows_are_some_megabytes_at_most():
    long = Drawn(rooms={"Long room": rectangle(0, 0, 300, 300 * 3)}, width=3).plan()
    assert len(long.rows) == 300
    assert sum(map(len, render_svg(long))) < 4_000_000


def test_a_floor_beyond_all_paper_is_drawn_by_its_rows_only():
    huge = Drawn(rooms={"Hangar": rectangle(0, 0, 12_000, 12_000)}, width=40, length=6000).plan()
    narrow = replace(huge, plank=replace(huge.plank, width=inches(2)))
    (sheet,) = draw_floor(narrow)
    assert "see the cut sheet" in " ".join(text.text for text in texts(sheet))


@pytest.mark.parametrize(
    ("scale", "unit", "text"),
    [
        (25, Unit.MM, "1:25"),
        (24, Unit.IN, "1/2 in = 1 ft (1:24)"),
        (40, Unit.FT, "1:40"),
        (12, Unit.IN, "1 in = 1 ft (1:12)"),
    ],
)
def test_scales_are_told_as_drawings_tell_them(scale, unit, text):
    assert scale_text(scale, unit) == text


def test_texts_are_cut_to_their_room():
    assert plain("a\n b") == "a b"
    assert text_width("床", 10) == 10
    assert shortened("working line", 30, 6).endswith("...")
    assert text_width(shortened("working line", 30, 6), 6) <= 30
    assert all(text_width(line, 6) <= 60 for line in wrapped("some words that go on, " + "x" * 99, 60, 6))


@floors
def test_picture_keeps_to_its_width(name):
    plan = FLOORS[name]
    lines = picture(plan).splitlines()
    assert max(map(cell_len, lines)) <= 78
    assert len(lines) <= 42
    assert "".join(lines).isascii()


def test_picture_of_a_room():
    small = Drawn(
        rooms={"Nook": rectangle(0, 0, 76, 20)},
        things={("Nook", "post"): Thing(rectangle(30, 5, 10, 10))},
    )
    assert picture(small.plan(), 40) == (
        "4 |______________________|_____________|\n"
        "3 |______________|###|_________________|\n"
        "2 |______________|###|_________________|\n"
        "1 |______________________|_____________|\n"
    )


def test_picture_leaves_out_rows_of_a_long_room_and_says_so():
    lines = picture(Drawn(rooms={"Long room": rectangle(0, 0, 60, 500)}).plan()).splitlines()
    assert lines[-1] == "One row in 3 is shown."
    assert len(lines) == 35
    assert lines[-2].startswith("  1 |")
    assert picture(flat()).splitlines()[-1] == "One more floor is not shown."
