"""Workbooks, read back by another library."""

import re
import warnings
from decimal import Decimal
from fractions import Fraction
from io import BytesIO
from xml.etree import ElementTree as ET
from zipfile import ZipFile

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutopt.model.grids import Grid
from cutopt.workbook import render_workbook
from cutopt.workbook._text import legal, units16
from cutopt.workbook._titles import sheet_titles

STUDY = Grid(
    name="study",
    header=("choice", "planks", "waste", "price", "net area"),
    rows=(
        ("as it is", 64, Fraction(1, 12), Decimal("1234.50"), Fraction(2000, 3)),
        ("stagger 8", None, None, None, None),
        ("", 10_000, Fraction(0), Decimal(0), Fraction(0)),
    ),
    percent=frozenset({2}),
)
HOSTILE = (
    "=1+1",
    "{=SUM(A1:A9)}",
    "+41 22",
    "@here",
    "-2",
    "1e5",
    "http://example.org/a",
    "internal:study!A1",
    "<r><t>bold</t></r>",
    "<r>& no end</r>",
    "_x0041_",
    "a & b < c",
)


def sheets_of(*grids):
    return openpyxl.load_workbook(BytesIO(render_workbook(grids))).worksheets


def cells(sheet):
    return [[cell.value for cell in row] for row in sheet.iter_rows()]


def test_numbers_are_numbers_and_nothing_is_nothing():
    (sheet,) = sheets_of(STUDY)
    assert sheet.title == "study"
    assert cells(sheet) == [
        list(STUDY.header),
        ["as it is", 64, 1 / 12, 1234.5, 2000 / 3],
        ["stagger 8", None, None, None, None],
        [None, 10_000, 0, 0, 0],
    ]
    formats = [cell.number_format for cell in sheet[2]]
    assert formats[1:] == ["#,##0", "0.0%", "#,##0.00", "#,##0.00"]


def test_a_count_in_a_column_of_shares_is_a_share():
    (sheet,) = sheets_of(Grid(name="a", header=("share",), rows=((1,),), percent=frozenset({0})))
    assert (sheet["A2"].value, sheet["A2"].number_format) == (1, "0.0%")


def test_the_header_is_bold_and_always_in_sight():
    (sheet,) = sheets_of(STUDY)
    assert sheet.freeze_panes == "A2"
    assert all(cell.font.bold for cell in sheet[1])
    assert not any(cell.font.bold for cell in sheet[2])
    assert sheet.print_title_rows == "$1:$1"


def test_columns_are_as_wide_as_what_stands_there():
    wide, narrow = "a choice of many words, " * 3, "short"
    (sheet,) = sheets_of(Grid(name="a", header=("x", "y"), rows=((wide, narrow), (wide * 100, narrow))))
    assert 55 < sheet.column_dimensions["A"].width <= 61
    assert 5 < sheet.column_dimensions["B"].width < 9


@pytest.mark.parametrize("text", HOSTILE)
def test_text_stays_the_text_it_is(text):
    data = render_workbook([Grid(name="a", header=(text,), rows=((text,),))])
    sheet = openpyxl.load_workbook(BytesIO(data)).active
    for cell in (sheet["A1"], sheet["A2"]):
        assert (cell.value, cell.data_type, cell.hyperlink) == (text, "s", None)
    for name, part in parts(data).items():
        tags = {element.tag.rpartition("}")[2] for element in ET.fromstring(part).iter()}  # noqa: S314 - our own
        assert not tags & {"f", "hyperlink"}, name


def parts(data):
    with ZipFile(BytesIO(data)) as file:
        return {name: file.read(name) for name in file.namelist()}


def test_what_xml_may_not_hold_is_spelled():
    text = "bell \x07 escape \x1b turn \u202e half \ud800 none \uffff\ttab\nline"
    (sheet,) = sheets_of(Grid(name=text, header=("a",), rows=((text,),)))
    assert sheet["A2"].value == (r"bell \x07 escape \x1b turn \u202e half \ud800 none \uffff" + " tab line")
    assert sheet.title == "bell -x07 escape -x1b turn -..."


def test_a_text_too_long_for_a_cell_is_cut_with_a_sign():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        (sheet,) = sheets_of(Grid(name="a", header=("a",), rows=(("\U0001f600" * 20_000,), ("b" * 32_767,))))
    found = sheet["A2"].value
    assert found.endswith("...")
    assert 32_760 < units16(found) <= 32_767
    assert sheet["A3"].value == "b" * 32_767


NAMES = st.lists(
    st.one_of(st.text(), st.sampled_from(["", "Study", "STUDY", "'", "History", "a" * 40, "\U0001f600" * 30]))
)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(NAMES)
def test_titles_of_sheets_are_legal_and_there_once(names):
    titles = sheet_titles(names)
    assert len(titles) == len(names)
    assert len({title.lower() for title in titles} | {"history"}) == len(names) + 1
    for title in titles:
        assert 1 <= units16(title) <= 31
        assert not set(title) & set("[]:*?/\\")
        assert title.strip("'") == title == legal(title)


def test_titles_are_the_names_where_they_can_be():
    assert sheet_titles(["study", "rooms: L/hall", "Study", "study (2)", "'tis'"]) == [
        "study",
        "rooms- L-hall",
        "Study (2)",
        "study (2) (2)",
        "tis",
    ]
    assert [sheet.title for sheet in sheets_of(STUDY, STUDY)] == ["study", "study (2)"]


def test_same_grids_same_bytes_and_no_date_but_a_settled_one():
    first = render_workbook([STUDY])
    assert render_workbook([STUDY]) == first
    with ZipFile(BytesIO(first)) as file:
        assert {one.date_time[0] for one in file.infolist()} == {1980}
    told = b"".join(parts(first).values())
    assert set(re.findall(rb"\d{4}-\d\d-\d\dT[\d:]+Z", told)) == {b"2000-01-01T00:00:00Z"}


def test_a_workbook_of_nothing_opens():
    assert [cells(sheet) for sheet in sheets_of()] == [[]]
    assert cells(*sheets_of(Grid(name="a", header=("only", "titles"), rows=()))) == [["only", "titles"]]
