"""The sheet's sections on what is set out: plain lines, every figure in its place, nothing where nothing is."""

from dataclasses import replace

import pytest
from grounds import Door, Drawn, Thing, inches, rectangle
from rich.cells import cell_len
from test_setout_lines import flat, ring_round_core, side_by_side

from cutopt.model.floor import NOWHERE
from cutopt.model.job import AS_USUAL, LayoutSpec, PlankKind
from cutopt.model.rooms import ThingKind
from cutopt.setout import set_out
from cutopt.sheet._round import areas, doorways, run_limits, things
from cutopt.sheet._setout import laying_order, working_lines
from cutopt.sheet._text import printed
from cutopt.units import Unit

SECTIONS = (working_lines, things, doorways, laying_order, run_limits, areas)
LIMITS = LayoutSpec(run_limit_along=inches(150), run_limit_across=inches(100), movement=inches("1/64"))


def furnished():
    """Return a parlour with a hearth, an island, a heater and a vent, and a door beside the last rows."""
    return Drawn(
        rooms={"Parlour": rectangle(0, 0, 192, 144)},
        things={
            ("Parlour", "chimney"): Thing(rectangle(60, 0, 48, 21), ThingKind.HEARTH),
            ("Parlour", "island"): Thing(rectangle(80, 60, 40, 30), ThingKind.ISLAND),
            ("Parlour", "stove"): Thing(rectangle(180, 20, 12, 20), ThingKind.HEATER),
            ("Parlour", "grille"): Thing(rectangle(150, 101, 10, 3), ThingKind.VENT),
        },
        doors={"garden door": Door(("Parlour",), ((192, 100), (192, 132), (196, 132), (196, 100)))},
        gap="1/4",
        kind=PlankKind.CLICK_VINYL,
        thickness=5 * 320,
    )


def drawings():
    studio = Drawn(rooms={"Studio": rectangle(0, 0, 120, 140)}, degrees=45, gap="1/4")
    return {
        "furnished": furnished(),
        "flat": replace(flat(), tolerance=127),
        "ring": ring_round_core(),
        "two": side_by_side(),
        "studio": studio,
        "long names": Drawn(rooms={"Saal " * 30: rectangle(0, 0, 120, 140)}),
    }


def told(section, drawn, layout=AS_USUAL):
    plan = drawn.plan()
    return " ".join(" ".join(printed(section(set_out(plan, layout), plan))).split())


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("name", drawings())
def test_no_line_is_over_80_columns_in_any_unit(name, unit):
    plan = replace(drawings()[name].plan(), unit=unit)
    found = set_out(plan, LIMITS)
    for section in SECTIONS:
        for line in printed(section(found, plan)):
            assert cell_len(line) <= 80
            assert line == line.rstrip()
            assert line.isascii()


def test_rows_given_outright_have_no_such_sections_but_limits():
    plan = replace(Drawn(rooms={"Hall": rectangle(0, 0, 100, 100)}).plan(), ground=NOWHERE)
    assert [section(set_out(plan), plan) for section in SECTIONS] == [[]] * len(SECTIONS)
    assert "movement" not in told(run_limits, furnished())


def test_base_line_is_told_from_its_walls():
    text = told(working_lines, side_by_side())
    assert "Base line: the far edge of row 6, 6 whole rows from the first row's near edge, 275\" long" in text
    assert "through Hall + Study." in text
    assert 'Hall, left end: on wall D-A; 30-1/4" from wall A-B; 29-3/4" from wall C-D' in text
    assert 'Study, right end: on wall B-C; 30-1/4" from wall A-B; 129-3/4" from wall C-D' in text
    assert 'Check diagonals of Study: A to C 200", B to D 200".' in text


def test_square_is_told_in_three_measures():
    text = told(working_lines, Drawn(rooms={"Hall": rectangle(0, 0, 160, 145)}))
    # The line lies 70 in up, which leaves 75 in: room for 72 and 96 in, not for 81 and 108.
    assert (
        'Square to it: start 96" from the line\'s left end. 96" to the left on the line, 72" away from the '
        "first row's wall, and between these two points 120\"."
    ) in text


def test_loop_is_told_with_one_distance_for_both_sides():
    text = told(working_lines, ring_round_core())
    assert "Loop round chimney: Rows part after row 14 and meet again at row 25, the closing row." in text
    assert "on the left (Loft) and on the right (Loft): measure both arms as they advance." in text


def test_cut_outs_are_told_piece_by_piece():
    text = told(things, furnished())
    assert 'chimney (Parlour, hearth), gap 1/4": hits rows 1 to 5' in text
    assert "rows 1 to 4 end at it on its left" in text
    assert "grille (Parlour, vent), no gap: hits row 21" in text
    assert 'piece 21.4: cut-out 10" x 3", 3/4" from the near edge, 5-3/4" from its left (factory) end' in text
    assert 'stove (Parlour, heater), gap 1/4": hits rows 4 to 8' in text
    assert "!! chimney, island, stove: what is heavy must not pin a floating floor." in text
    assert "!! stove: the heater's own sheet says what clearance it needs" in text


def test_slivers_and_whole_widths_are_told():
    drawn = Drawn(
        rooms={"Hall": rectangle(0, 0, 200, 100)},
        things={("Hall", "pier"): Thing(rectangle(4, 21, 30, 14), ThingKind.COLUMN)},
    )
    text = told(things, drawn)
    assert 'row 5: only 1" wide beside it, under the minimum rip of 2"' in text
    assert 'row 6: only 4" long beside it, under the minimum piece of 8"' in text
    assert "pier (Hall, column), no gap: hits rows 5 to 7" in text


def test_break_that_is_not_enough_is_told():
    text = told(run_limits, side_by_side(), LayoutSpec(run_limit_along=inches(130)))
    assert (
        'at least 2 breaks. A strip in doorway "study door" leaves 149-3/4" and 119-3/4", which is still'
        in text
    )
    none = told(run_limits, furnished(), LayoutSpec(run_limit_across=inches(100)))
    assert "No doorway on the way would part it: ask for a break elsewhere, or another product." in none


def test_line_at_a_thing_and_slanted_walls_are_told():
    text = told(working_lines, drawings()["studio"])
    assert " in from there" in text
    assert "from corner" in text


def test_undercut_height_is_rounded_up():
    # 5 mm and 1/64 in are 13.6 sixty-fourths of an inch.
    assert 'undercut both jambs and 2 casing legs at 7/32"' in told(doorways, furnished())
    assert "the thickness is not told" in told(doorways, flat())


def test_doorways_are_told_by_what_the_floor_does_in_them():
    (door,) = side_by_side().doors.values()
    out = Door(("Hall",), ((0, 40), (0, 10), (-5, 10), (-5, 40)), strip=rectangle(-3, 10, 2, 30))
    strip = replace(door, strip=rectangle(152, 15, 1, 32), undercut="1/2")
    drawn = replace(
        side_by_side(),
        doors={"study door": strip, "front door": out},
        fields={"Hall": "hall", "Study": "study"},
    )
    text = told(doorways, drawn)
    assert "study door between Hall and Study, a transition strip in it: rows end there" in text
    assert 'undercut both jambs and 4 casing legs; planks go 1/2" under each jamb' in text
    assert "front door leads out of Hall, a transition strip in it: rows end there" in text
    assert "study door rows run through between Hall and Study" in told(doorways, side_by_side())
    last = Door(("Hall",), ((60, 100), (92, 100), (92, 104), (60, 104)))
    assert "row 21, the last, lies in it: it must slide in under the jambs" in told(
        doorways, Drawn(rooms={"Hall": rectangle(0, 0, 200, 100)}, doors={"front door": last})
    )


def test_order_names_what_must_be_down_first_and_the_way_out():
    text = told(laying_order, flat())
    assert "1 Parlour + Hall, rows 1 to 28 2 Study, rows 29 to 53 (after 1)" in text
    assert 'after row 28 no bare floor leads from Study, rows 29 to 53, to doorway "front door".' in text
    assert "not told, no doorway leads out" in told(laying_order, side_by_side())


def test_way_out_from_the_other_side_is_proposed():
    door = Door(("Hall",), ((60, 0), (92, 0), (92, -4), (60, -4)))
    drawn = Drawn(rooms={"Hall": rectangle(0, 0, 200, 100)}, doors={"front door": door})
    assert "Laid from the other side, from the last row back to the first, there is a way out." in told(
        laying_order, drawn
    )
    door = Door(("Hall",), ((60, 100), (92, 100), (92, 104), (60, 104)))
    drawn = replace(drawn, doors={"front door": door})
    assert told(laying_order, drawn).endswith('by doorway "front door", over bare floor to the last row.')


def test_limits_are_told_with_room_extent_limit_and_doorway():
    text = told(run_limits, side_by_side(), LayoutSpec(run_limit_along=inches(200)))
    assert text.endswith(
        '- Hall + Study: the longest run is 274-1/2" along the planks, over the run limit of 200": at least '
        '1 break. A strip in doorway "study door" leaves 149-3/4" and 119-3/4".'
    )


def test_movement_is_told_against_the_gaps():
    # flooringdoctor.com, "the reason behind T-moldings": 78 x 1/64 in against 2 x 1/4 in.
    drawn = Drawn(rooms={"Hall": rectangle(0, 0, 60, 624.5)}, width=8, gap="1/4", kind=PlankKind.LAMINATE)
    text = told(run_limits, drawn, LayoutSpec(movement=inches("1/64")))
    assert 'Hall: 78 rows x 1/64" may grow by 1-7/32", both gaps together are 1/2": 23/32" too much.' in text


def test_areas_are_told_from_gross_to_net():
    plan = furnished().plan()
    lines = [line.rsplit(maxsplit=3) for line in printed(areas(set_out(plan), plan))[3:]]
    size = {label.strip(): float(value) for label, value, _, _ in lines}
    assert size["gross"] == 192.0 + 0.89
    assert size["net"] == round(size["gross"] - sum(size[k] for k in size if k.startswith("-")), 2)
    assert size["- grille"] == 0.21
