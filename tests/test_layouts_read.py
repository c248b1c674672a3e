"""Layouts read from CSV and TOML: notations, separators, quotes, settings, and what is taken as usual."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutopt.jobfile import is_layout, parse_layout, read_layout
from cutopt.model.job import Ends, Pattern, PlankKind
from cutopt.model.layouts import Untold
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Unit, parse_length

IN = TICKS_PER_INCH


def lengths(layout):
    return [[piece.length for piece in row.pieces] for row in layout.rows]


def planks(layout):
    return [[piece.plank for piece in row.pieces] for row in layout.rows]


@pytest.mark.parametrize("mark", [",", ";", "\t", ", ", " ;  "])
@pytest.mark.parametrize(
    "cells",
    [
        ["17", "48", "21"],
        ['17"', "4'", "1' 9\""],
        ["1 ft 5 in", "4 ft", "1 3/4 ft"],
        ["17 in", "48 in", "21 in"],
        ["17.0", "48.000", "21.0"],
        ["431.8 mm", "121.92 cm", "0.5334 m"],
        ["1' 5\u2033", "4\u2032", "21\u201d"],
    ],
)
def test_notations(cells, mark):
    assert lengths(parse_layout("unit = in\n" + mark.join(cells))) == [[17 * IN, 48 * IN, 21 * IN]]


def test_inch_marks_as_spreadsheets_write_them():
    told = ['17-1/2"', "4' 0\"", '20 1/2"']
    for quoting in (csv.QUOTE_MINIMAL, csv.QUOTE_ALL):
        out = io.StringIO()
        csv.writer(out, quoting=quoting).writerow(told)
        assert lengths(parse_layout(out.getvalue())) == [[35 * IN // 2, 48 * IN, 41 * IN // 2]]


@settings(derandomize=True, deadline=None, max_examples=100)
@given(
    rows=st.lists(
        st.lists(
            st.sampled_from(
                ['17-1/2"', "4' 6\"", "4'", "0.6 m", '3/4"', "12 ft 1 in", "610mm", "1\u00be in"]
            ),
            min_size=1,
            max_size=5,
        ),
        min_size=1,
        max_size=5,
    ),
    mark=st.sampled_from(",;\t"),
    quoting=st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
    padding=st.integers(0, 3),
)
def test_what_a_spreadsheet_exports(rows, mark, quoting, padding):
    out = io.StringIO()
    writer = csv.writer(out, delimiter=mark, quoting=quoting)
    writer.writerows([*row, *[""] * padding] for row in rows)
    want = [[parse_length(cell) for cell in row] for row in rows]
    assert lengths(parse_layout(out.getvalue().encode("utf-8-sig"))) == want


def test_settings_of_a_layout_and_of_rows():
    layout = parse_layout(
        """# the floor of the reading room
        title = Quay house; reading room, upper floor #2
        Unit = in
        kind = click vinyl, plank.length = 48, width = 7, per_box=10
        rules.stagger = 6", min_piece = 0.5 ft, max_waiting = any
        culls = 2%, spare = 3

        17 @1, 48, 48, 21 @2   # laid first
        start = 1/2, width = 3-1/2", 40, 48, 46
        48, 40, 45, count = 2
        """
    )
    assert layout.title == "Quay house; reading room, upper floor #2"
    assert layout.unit is Unit.IN
    assert (layout.plank.kind, layout.plank.ends) == (PlankKind.CLICK_VINYL, Ends.HANDED)
    assert (layout.plank.length, layout.plank.width, layout.plank.per_box) == (48 * IN, 7 * IN, 10)
    assert (layout.rules.stagger, layout.rules.min_piece, layout.rules.h_joint) == (6 * IN, 6 * IN, 2 * IN)
    assert layout.rules.max_waiting is None
    assert (layout.order.culls * 50, layout.order.spare) == (1, 3)
    assert layout.told == {
        "rules.stagger",
        "rules.min_piece",
        "rules.max_waiting",
        "order.culls",
        "order.spare",
    }
    assert planks(layout)[0] == [1, None, None, 2]
    assert [row.start for row in layout.rows] == [0, IN // 2, 0, 0]
    assert [row.width for row in layout.rows] == [None, 7 * IN // 2, None, None]
    assert lengths(layout)[2] == lengths(layout)[3] == [48 * IN, 40 * IN, 45 * IN]
    assert [row.place for row in layout.rows] == ["line 8", "line 9", "line 10", "line 10"]


def test_toml():
    layout = parse_layout(
        """
        unit = "in"
        title = "Reading room"
        [plank]
        kind = "laminate"
        length = 48
        width = 7.5
        kerf = 0
        [rules]
        pattern = "third"
        [order]
        spare = 2
        [[row]]
        start = 0.5
        pieces = [17, "4 ft", 48, '21"']
        planks = [1, 2, 3, 1]
        [[row]]
        pieces = [48, 48]
        width = 3
        count = 3
        """
    )
    assert layout.title == "Reading room"
    assert lengths(layout) == [[17 * IN, 48 * IN, 48 * IN, 21 * IN], *[[48 * IN, 48 * IN]] * 3]
    assert planks(layout)[0] == [1, 2, 3, 1]
    assert layout.rows[0].start == IN // 2
    assert layout.rows[1].width == 3 * IN
    assert layout.rows[3].place == "row[2]"
    assert (layout.plank.kerf, layout.plank.ends) == (0, Ends.HANDED)
    assert (layout.rules.pattern, layout.rules.h_joint) == (Pattern.THIRD, 0)
    assert layout.rules.stagger == 12 * IN
    assert layout.untold == {Untold.STARTS}


def test_rows_written_within_one_line_of_toml():
    layout = parse_layout('unit = "cm"\nrow = [{ pieces = [60, 60] }, { pieces = [30, 90] }]')
    assert lengths(layout) == [[600 * TICKS_PER_MM] * 2, [300 * TICKS_PER_MM, 900 * TICKS_PER_MM]]


def test_usual_values_are_those_of_a_job_and_round_in_the_unit():
    text = "unit = {}\nkind = laminate, length = {}, width = {}\n{}"
    inches = parse_layout(text.format("in", 48, 7, "20, 48, 28"))
    metric = parse_layout(text.format("mm", 1220, 180, "500, 1220, 720"))
    assert (inches.rules.stagger, inches.plank.kerf) == (12 * IN, IN // 8)
    assert (metric.rules.stagger, metric.plank.kerf) == (300 * TICKS_PER_MM, 3 * TICKS_PER_MM)
    assert inches.rules.gap == metric.rules.gap == 0  # rows are net of gaps
    assert inches.rules.min_rip == 0
    assert parse_layout(text.format("in", 48, 7, "width = 1, 20, 48")).rules.min_rip == 2 * IN


def test_what_is_not_told_is_named():
    full = "unit = in\nkind = click vinyl, length = 48, width = 7\n20 @ 1, 48, 28 @ 1\n28 @ 2, 48, 20 @ 2"
    assert parse_layout(full).untold == frozenset()
    assert parse_layout(full.replace("28 @ 1", "28")).untold == {Untold.PLANKS}
    assert parse_layout(full.replace("length = 48, ", "").replace("48", "48 @ 9")).untold == {
        Untold.PLANK_LENGTH
    }
    assert parse_layout(full.replace(", width = 7", "")).untold == {Untold.WIDTHS}
    assert parse_layout(full.replace("kind = click vinyl, ", "")).untold == {Untold.RULES}
    assert parse_layout(full + ", 48").untold == {Untold.STARTS}
    assert parse_layout(full.replace("20 @ 1", "start = 0, 20 @ 1") + ", 48").untold == {Untold.STARTS}


def test_unit_of_the_first_length_that_names_one():
    assert parse_layout('17", 48"').unit is Unit.IN
    assert parse_layout("1 ft 5 in, 48 in").unit is Unit.FT
    assert parse_layout("600 mm, 48 in").unit is Unit.MM


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_ends_of_lines(end):
    layout = parse_layout(end.join(["unit = in", "", "17, 48", "20, 45"]).encode())
    assert [row.place for row in layout.rows] == ["line 3", "line 4"]


def test_files(tmp_path):
    for name, text in (
        ("floor.csv", "unit = in\n17, 48\n"),
        ("floor.toml", 'unit = "in"\n[[row]]\npieces = [17, 48]\n'),
    ):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        assert lengths(read_layout(path)) == [[17 * IN, 48 * IN]]


@pytest.mark.parametrize(
    "text", ['{"format": "cutopt-plan"}', '  \n{\n "rows": []}', "\ufeff{}", b"\xef\xbb\xbf{}", "", b""]
)
def test_a_plan_file_is_no_layout(text):
    assert not is_layout(text)


@pytest.mark.parametrize(
    "text", ["17, 48", "unit = in", '[plank]\nlength = "4 ft"', "# a floor\n17", b"17 in", "\ufeff17"]
)
def test_a_layout_is_one(text):
    assert is_layout(text)
