"""Bad layout files: what is wrong, where, and what would help; all of it at once, and never a traceback."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutopt.errors import JobError, Problem
from cutopt.jobfile import parse_layout, read_layout
from cutopt.model.layouts import LayoutRow


def problems(text, where="floor.csv"):
    with pytest.raises(JobError) as caught:
        parse_layout(text, where)
    assert all(problem.what and problem.remedy for problem in caught.value.problems)
    return [
        (problem.what, problem.where.removeprefix(where).removeprefix(": "))
        for problem in caught.value.problems
    ]


def read_or_refused(text):
    """The rows of a text, or what is wrong with it."""
    try:
        return parse_layout(text).rows
    except JobError as error:
        return error.problems


ROW = "\n17, 48"
BAD = {
    "unit = in\n17, 48x, 21": ('"48x" names no unit known here', "line 2, cell 2"),
    "unit = in\nstart = 2, 17, forty, 21": ('"forty" is not a length', "line 2, cell 3"),
    "unit = in\n17, , 21": ('"" is not a length', "line 2, cell 2"),
    "unit = in\n17, 0, 21": ('"0" is no length', "line 2, cell 2"),
    "unit = in\n17, -4, 21": ('"-4" is negative', "line 2, cell 2"),
    "unit = in\n17,5; 48": ('"17,5" has a comma', "line 2, cell 1"),
    "unit = in\n17 | 20, 48": ('"17 | 20" is not a length', "line 2, cell 1"),
    "unit = in\n17, 48 @ one": ('"one" is not a whole number of 1 or more', "line 2, cell 2"),
    "unit = in\n17, 48 @ 0": ("0 is not a whole number of 1 or more", "line 2, cell 2"),
    "unit = in\n17, 48 @": ('"" is not a whole number of 1 or more', "line 2, cell 2"),
    "unit = in\n17 @ 1, 48 @ 2, count = 2": ("2 rows cannot come from the same planks", "line 2, count"),
    "unit = in\nstart = x, 17, 48": ('"x" is not a length', "line 2, start"),
    "unit = in\nstart = 4": ('"pieces" is missing', "line 2, pieces"),
    "unit = in\nstrt = 4, 17, 48": ('"strt" is not known here', "line 2, cell 1"),
    "unit = in\nstart = 4, start = 5, 17": ('"start" is told twice', "line 2, cell 2"),
    "unit = in\ncount = 0, 17": ("0 is not a whole number of 1 or more", "line 2, count"),
    'unit = in\n"17, 48': ("this is not CSV: unexpected end of data", "line 2"),
    "unit = in\nstager = 6" + ROW: ('"stager" is not known here', "line 2, cell 1"),
    "unit = in\nplank.stagger = 6" + ROW: ('"plank.stagger" is not known here', "line 2, cell 1"),
    "unit = in\nkind = oak" + ROW: ('"oak" is not known here', "line 2, cell 1, kind"),
    "unit = in, unit = mm" + ROW: ('"unit" is told already, at line 1, cell 1', "line 1, cell 2"),
    "unit = inches" + ROW: ('"inches" is not known here', "line 1, cell 1, unit"),
    "unit = in\nlength = 48, kerf = 50" + ROW: (
        'the kerf, 50", is over the plank\'s length, 48"',
        "plank.kerf",
    ),
    "17, 48": ('"unit" is missing, but line 1, cell 1 = "17" (and 1 more) needs it', "unit"),
    "unit = in": ("the layout has no rows", ""),
    "title =\nunit = in\n17": ('"" is not a name to print', "line 1, title"),
    "unit = in\n[[row]]\npieces = [17]": ("this is not TOML: invalid value", "line 1, column 8"),
    'unit = "in"\n[plank]\nlength = 48': ('"row" is missing', "row"),
    'unit = "in"\n[[row]]\nstart = 4': ('"pieces" is missing', "row[1].pieces"),
    'unit = "in"\n[[row]]\npieces = []': ("a list of 0 is empty", "row[1].pieces"),
    'unit = "in"\n[[row]]\npieces = 17': ("17 is not a list", "row[1].pieces"),
    'unit = "in"\n[[row]]\npieces = [17, true]': ("true is not a length", "row[1].pieces[2]"),
    'unit = "in"\n[[row]]\npieces = [17]\nplanks = [1, 2]': (
        "a list of 2 does not tell the planks of 1 pieces",
        "row[1].planks",
    ),
    'unit = "in"\n[[row]]\npieces = [17]\nplanks = []': ("a list of 0 is empty", "row[1].planks"),
    'unit = "in"\n[[row]]\npieces = [17]\nplanks = [1.5]': (
        "1.5 is not a whole number of 1 or more",
        "row[1].planks[1]",
    ),
    'unit = "in"\n[row]\npieces = [17]': ("a table is not a list", "row"),
    'unit = "in"\n[[rows]]\npieces = [17]': ('"rows" is not known here', "rows"),
    'unit = "in"\n[[row]]\npieces = [17]\nlength = 3': ('"length" is not known here', "row[1].length"),
    'unit = "in"\n[[row]]\npieces = [17]\n[plank]\nlength = 0': ("0 is no length", "plank.length"),
    b"unit = in\n17, \xff": ("the file is not UTF-8 text", "line 2"),
}


@pytest.mark.parametrize(("text", "wanted"), BAD.items())
def test_one_thing_wrong(text, wanted):
    assert wanted in problems(text)


def test_only_rows_missing_follow_from_other_faults():
    assert all(len(problems(text)) <= 2 for text in BAD)


def test_everything_at_once():
    text = "unit = in\nstager = 6, kind = oak\n17, x\n20, 0, y @ z\nstart = q, 20\n30, 40"
    assert [place for _, place in problems(text)] == [
        "line 2, cell 1",
        "line 2, cell 2, kind",
        "line 3, cell 2",
        "line 4, cell 2",
        "line 4, cell 3",
        "line 4, cell 3",
        "line 5, start",
    ]


def test_control_characters_are_shown_as_text():
    (what, _), *_ = problems("unit = in\n17\x1b[2J, 48")
    assert what.startswith('"17\\u001b[2J"')


def test_a_file_that_is_something_else_is_not_told_line_by_line():
    found = problems("dear all\n" * 100_000)
    assert len(found) == 51
    assert found[-1][0] == "50 rows are wrong, and no more are read"


def test_counts_without_end():
    for text in (
        "unit = in\ncount = 100001, 17",
        'unit = "in"\n[[row]]\npieces = [17]\ncount = 1000000000',
        "unit = in\n" + "count = 1000, 17, 48, 21\n" * 100,
    ):
        ((what, _),) = problems(text)
        assert what.endswith("are too many")
    ((what, place),) = problems('unit = "in"\n[[row]]\npieces = [' + "1, " * 200_001 + "]")
    assert (what, place) == ("a list of 200001 is too long", "row[1].pieces")


def test_files_that_cannot_be_read(tmp_path):
    large = tmp_path / "large.csv"
    large.write_bytes(b"17, 48\n" * 1_500_000)
    for path, word in (
        (tmp_path / "none.csv", "there is no such file"),
        (tmp_path, "this is a folder"),
        (large, "the file is over 10 MB"),
    ):
        with pytest.raises(JobError, match=word):
            read_layout(path)


CELLS = st.sampled_from(
    [
        "17",
        '48"',
        "x",
        "",
        "@",
        "17@1",
        "17@@",
        "start=1",
        "count=3",
        "count=x",
        "=",
        "unit=in",
        "title=",
        '"',
        "#",
        "[row]",
    ]
)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(
    st.one_of(
        st.text(max_size=80),
        st.binary(max_size=80),
        st.lists(st.lists(CELLS, max_size=5).map(",".join), max_size=6).map("\n".join),
        st.lists(
            st.sampled_from(
                [
                    "[[row]]",
                    "pieces = [1, 2]",
                    "planks = [1]",
                    "unit = 'in'",
                    "[plank]",
                    "length = 1",
                    "row = 3",
                    "start = []",
                ]
            ),
            max_size=7,
        ).map("\n".join),
    )
)
def test_any_text_is_a_layout_or_a_job_error(text):
    found = read_or_refused(text)
    assert found
    assert all(isinstance(one, LayoutRow | Problem) for one in found)
