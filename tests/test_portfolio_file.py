"""Portfolio files: types of unit with their jobs, buildings, floors and phases."""

import tomllib
from copy import deepcopy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_texts import SHORT
from test_job_extremes import FLOATS, NASTY, as_toml, branches

from cutopt import jobfile
from cutopt.errors import CutoptError, JobError
from cutopt.jobfile import parse_job, read_portfolio
from cutopt.model.estimate import Failed, Why
from cutopt.model.portfolio import Level, Portfolio, Storey, UnitType

HOUSES = """
title = "Quay  Row"
share = "floor"
boxes = "building"
[[type]]
name = "A"
job = "flats/a.toml"
[[type]]
name = "corner flat"
job = "flats/b.toml"
[[phase]]
name = "spring"
lot = "L 7"
[[phase]]
name = "autumn"
[[building]]
name = "North"
phase = "spring"
[[building.floor]]
name = "1"
units = { "A" = 4, "corner flat" = 2 }
[[building.floor]]
name = "2"
units = { "A" = 3 }
phase = "autumn"
[[building]]
name = "South"
[[building.floor]]
name = "1"
phase = "autumn"
units = { "corner flat" = 1, "A" = 1 }
"""
COUNTED = """
[[type]]
name = "A"
job = "flats/a.toml"
count = 12
[[type]]
name = "B"
job = "flats/a.toml"
count = 3
"""
OTHER = SHORT.replace("149", "120")


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "flats").mkdir()
    (tmp_path / "flats" / "a.toml").write_text(SHORT)
    (tmp_path / "flats" / "b.toml").write_text(OTHER)
    return tmp_path


def portfolio(folder, text):
    path = folder / "row.toml"
    path.write_text(text)
    return path


def refusal(folder, text):
    path = portfolio(folder, text)
    with pytest.raises(JobError) as caught:
        read_portfolio(path)
    return str(caught.value).replace(str(path), "row.toml")


def test_every_key_is_read(folder):
    assert read_portfolio(portfolio(folder, HOUSES)) == Portfolio(
        title="Quay Row",
        types=(
            UnitType(name="A", job=parse_job(SHORT)),
            UnitType(name="corner flat", job=parse_job(OTHER)),
        ),
        storeys=(
            Storey(building="North", floor="1", phase="spring", units=(("A", 4), ("corner flat", 2))),
            Storey(building="North", floor="2", phase="autumn", units=(("A", 3),)),
            Storey(building="South", floor="1", phase="autumn", units=(("corner flat", 1), ("A", 1))),
        ),
        share=Level.FLOOR,
        round_boxes=Level.BUILDING,
        lots=(("spring", "L 7"),),
    )


def test_without_buildings_all_units_are_on_one_floor(folder):
    found = read_portfolio(portfolio(folder, COUNTED))
    assert found.storeys == (Storey(building="", floor="", phase="", units=(("A", 12), ("B", 3))),)
    assert (found.title, found.share, found.round_boxes, found.lots) == (
        "Portfolio",
        Level.UNIT,
        Level.UNIT,
        (),
    )


def test_a_job_file_of_several_types_is_read_once(folder, monkeypatch):
    read = []
    once = jobfile._portfolio.read_job
    monkeypatch.setattr(jobfile._portfolio, "read_job", lambda path: read.append(path) or once(path))
    types = read_portfolio(portfolio(folder, COUNTED.replace("a.toml", "../flats/a.toml", 1))).types
    assert read == [folder / "flats" / "a.toml"]
    assert types[0].job is types[1].job


def test_a_wrong_job_file_fails_its_own_type_alone(folder):
    (folder / "flats" / "b.toml").write_text(OTHER.replace("= 48", "= -48").replace("= 7", "= 0"))
    first, second = read_portfolio(portfolio(folder, HOUSES)).types
    assert first == UnitType(name="A", job=parse_job(SHORT))
    path = folder / "flats" / "b.toml"
    assert second == UnitType(
        name="corner flat",
        job=None,
        failed=Failed(
            why=Why.FILE,
            problems=(
                f"-48 is negative - {path}: plank.length - a length is 0 or more: check the sign",
                f"0 is no length - {path}: plank.width - give a length above zero",
            ),
        ),
    )


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("c.toml", None, "there is no such file - PATH - "),
        (
            "c.toml",
            "x",
            "this is not TOML: expected '=' after a key in a key/value pair - PATH: line 1, the end",
        ),
        (
            "c.toml",
            SHORT.replace("click vinyl", "solid strip"),
            "planks of mixed lengths are not planned yet - PATH: plank.single_length - ",
        ),
        ("../flats", None, "this is a folder - PATH - name the job file in it"),
    ],
    ids=["missing", "no TOML", "not built", "a folder"],
)
def test_whatever_is_wrong_with_a_job_file_fails_its_type(folder, name, text, said):
    path = folder / "flats" / name
    if text is not None:
        path.write_text(text)
    second = read_portfolio(portfolio(folder, HOUSES.replace("b.toml", name))).types[1]
    assert second.job is None
    assert second.failed.why is Why.FILE
    (problem,) = second.failed.problems
    assert problem.startswith(said.replace("PATH", str(path.resolve())))


ONE_OF = 'use one of "A", "corner flat"'
UNITS = 'write how many units of each type there are: units = { "A" = 4, "B" = 2 }'
TYPE = "write each type of unit under a [[type]] line, in double brackets"
REFUSED = {
    "an unknown key": (
        ("boxes =", "box ="),
        (
            '"box" is not known here - row.toml: box - did you mean "boxes"? '
            'use one of "title", "share", "boxes", "type", "phase", "building"'
        ),
    ),
    "a level that is none": (
        ('share = "floor"', 'share = "flor"'),
        (
            '"flor" is not known here - row.toml: share - did you mean "floor"? '
            'use one of "unit", "floor", "building", "phase"'
        ),
    ),
    "a type without a name": (
        ('[[type]]\nname = "corner flat"\n', "[[type]]\n"),
        (
            '"name" is missing - row.toml: type[2].name - give the type of unit a name, such as A\n'
            '"corner flat" is no type told - row.toml: building[1].floor[1].units."corner flat" - use one of "A", ""\n'
            '"corner flat" is no type told - row.toml: building[2].floor[1].units."corner flat" - use one of "A", ""'
        ),
    ),
    "a type twice": (
        ('[[phase]]\nname = "spring"', '[[type]]\nname = "A"\njob = "c.toml"\n[[phase]]\nname = "spring"'),
        '"A" is the name of type[1] too - row.toml: type[3].name - give each a name of its own',
    ),
    "a type without a job": (
        ('job = "flats/a.toml"\n', ""),
        '"job" is missing - row.toml: type[1].job - name the job file of this type',
    ),
    "a job without a name": (
        ("flats/a.toml", " "),
        '" " names no file - row.toml: type[1].job - name the job file of this type',
    ),
    "a count beside buildings": (
        ('job = "flats/a.toml"', 'job = "flats/a.toml"\ncount = 2'),
        "2 stands beside buildings - row.toml: type[1].count - count units on the floors of the buildings alone",
    ),
    "a phase without a name": (
        ('[[phase]]\nname = "autumn"\n', '[[phase]]\nlot = "L 8"\n'),
        (
            '"name" is missing - row.toml: phase[2].name - give the phase a name\n'
            '"autumn" is not known here - row.toml: building[1].floor[2].phase - use one of "spring", ""\n'
            '"autumn" is not known here - row.toml: building[2].floor[1].phase - use one of "spring", ""'
        ),
    ),
    "a phase twice": (
        ('name = "autumn"', 'name = "autumn"\n[[phase]]\nname = "spring"'),
        '"spring" is the name of phase[1] too - row.toml: phase[3].name - give each a name of its own',
    ),
    "a phase that is none": (
        ('phase = "spring"', 'phase = "spr1ng"'),
        (
            '"spr1ng" is not known here - row.toml: building[1].phase - did you mean "spring"? '
            'use one of "spring", "autumn"'
        ),
    ),
    "a floor without a phase": (
        ('name = "1"\nphase = "autumn"', 'name = "1"'),
        (
            '"phase" is missing - row.toml: building[2].floor[1].phase - '
            "name the phase of the building, or of each of its floors"
        ),
    ),
    "a building without a name": (
        ('[[building]]\nname = "South"\n', "[[building]]\n"),
        '"name" is missing - row.toml: building[2].name - give the building a name',
    ),
    "a building twice": (
        ("South", "North"),
        '"North" is the name of building[1] too - row.toml: building[2].name - give each a name of its own',
    ),
    "a floor without a name": (
        ('name = "2"\n', ""),
        '"name" is missing - row.toml: building[1].floor[2].name - give the floor a name',
    ),
    "a floor twice": (
        ('name = "2"', 'name = "1"'),
        (
            '"1" is the name of building[1].floor[1] too - row.toml: building[1].floor[2].name - '
            "give each a name of its own"
        ),
    ),
    "a building without floors": (
        (
            '[[building]]\nname = "South"',
            '[[building]]\nname = "West"\nphase = "spring"\n[[building]]\nname = "South"',
        ),
        (
            '"floor" is missing - row.toml: building[2].floor - '
            "write each floor under a [[building.floor]] line, in double brackets"
        ),
    ),
    "no units": (
        ('units = { "A" = 3 }\n', ""),
        f'"units" is missing - row.toml: building[1].floor[2].units - {UNITS}',
    ),
    "units of nothing": (
        ('{ "A" = 3 }', "{}"),
        f"a table names no type - row.toml: building[1].floor[2].units - {UNITS}",
    ),
    "units that are a number": (
        ('{ "A" = 3 }', "3"),
        f"3 is not a table - row.toml: building[1].floor[2].units - {UNITS}",
    ),
    "units of an unknown type": (
        ('{ "A" = 3 }', '{ "corner flats" = 3 }'),
        (
            '"corner flats" is no type told - row.toml: building[1].floor[2].units."corner flats" - '
            f'did you mean "corner flat"? {ONE_OF}'
        ),
    ),
    "no units of a type": (
        ('{ "A" = 3 }', '{ "A" = 0 }'),
        "0 is not a whole number of 1 or more - row.toml: building[1].floor[2].units.A - give a whole number from 1 up",
    ),
    "fewer than no units of a type": (
        ('{ "A" = 3 }', '{ "A" = -3 }'),
        "-3 is not a whole number of 1 or more - row.toml: building[1].floor[2].units.A - give a whole number from 1 up",
    ),
    "too many units": (
        ('{ "A" = 3 }', '{ "A" = 100_000 }'),
        "100008 units are too many - row.toml - tell at most 100000: check the counts",
    ),
    "a name that would colour the terminal": (
        ('"South"', '"\\u001b[1m"'),
        '"\\u001b[1m" is not a name to print - row.toml: building[2].name - use 1 to 200 visible characters',
    ),
}


@pytest.mark.parametrize(("change", "said"), REFUSED.values(), ids=REFUSED)
def test_what_is_wrong_is_refused_word_for_word(folder, change, said):
    assert change[0] in HOUSES
    assert refusal(folder, HOUSES.replace(*change)) == said


COUNT = "give the number of units of this type, or write [[building]] with its floors"
WRONG_COUNTS = {
    "nothing": (
        "",
        '"type" is missing - row.toml: type - add at least one type of unit: a [[type]] line, then name and job',
    ),
    "no count": (
        COUNTED.replace("count = 3\n", ""),
        f'"count" is missing - row.toml: type[2].count - {COUNT}',
    ),
    "a count of none": (
        COUNTED.replace("= 12", "= 0"),
        "0 is not a whole number of 1 or more - row.toml: type[1].count - give a whole number from 1 up",
    ),
    "phases of nothing": (
        COUNTED + '[[phase]]\nname = "spring"\n',
        (
            "phases stand there without buildings - row.toml: phase - "
            "write each building under a [[building]] line, in double brackets"
        ),
    ),
    "a phase not told": (
        '[[type]]\nname = "A"\njob = "a.toml"\n[[building]]\nname = "B"\nphase = "x"\nfloor = [{name = "1", units = {A = 1}}]',
        '"x" is no phase told - row.toml: building[1].phase - add a [[phase]] line, then name = "..."',
    ),
    "one type": ("[type]\nname = 'A'", f"a table is not a list - row.toml: type - {TYPE}"),
    "a type that is a word": ("type = ['A']", f'"A" is not a table - row.toml: type[1] - {TYPE}'),
    "far too many types": (
        "".join(f'[[type]]\nname = "T{n}"\njob = "a"\ncount = 1\n' for n in range(10_001)),
        "10001 types are too many - row.toml: type - tell at most 10000",
    ),
}


@pytest.mark.parametrize(("text", "said"), WRONG_COUNTS.values(), ids=WRONG_COUNTS)
def test_a_wrong_file_without_buildings_is_refused_word_for_word(folder, text, said):
    assert refusal(folder, text) == said


def test_all_that_is_wrong_comes_in_one_go(folder):
    text = (
        HOUSES.replace("share =", "shares =").replace("= 3 }", '= "x", "C" = 1 }').replace("South", "North")
    )
    assert [line.split(" - ")[1] for line in refusal(folder, text).splitlines()] == [
        f"row.toml: {place}"
        for place in (
            "shares",
            "building[1].floor[2].units.A",
            "building[1].floor[2].units.C",
            "building[2].name",
        )
    ]


def test_many_types_are_not_listed_where_one_is_wrong(folder):
    types = "".join(f'[[type]]\nname = "T{n}"\njob = "a.toml"\n' for n in range(21))
    text = types + '[[building]]\nname = "B"\nfloor = [{name = "1", units = {"T 20" = 1, other = 1}}]'
    assert refusal(folder, text) == (
        '"T 20" is no type told - row.toml: building[1].floor[1].units."T 20" - '
        'did you mean "T20"? use the name of a [[type]]\n'
        '"other" is no type told - row.toml: building[1].floor[1].units.other - use the name of a [[type]]'
    )


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("rwo.toml", None, 'there is no such file - PATH - did you mean "row.toml"?'),
        ("elsewhere.toml", None, "there is no such file - PATH - check the name"),
        ("flats", None, "this is a folder - PATH - name the portfolio file in it"),
        (
            "c.toml",
            b"title = '\xff'",
            "the file is not UTF-8 text - PATH: line 1 - save it as UTF-8 in the text editor",
        ),
    ],
)
def test_a_file_that_cannot_be_read(folder, name, text, said):
    portfolio(folder, HOUSES)
    if text is not None:
        (folder / name).write_bytes(text)
    with pytest.raises(JobError) as caught:
        read_portfolio(folder / name)
    assert str(caught.value) == said.replace("PATH", str(folder / name))


@settings(derandomize=True, deadline=None, max_examples=100)
@given(data=st.data())
def test_any_value_in_any_place_gives_a_portfolio_or_a_refusal(data, tmp_path_factory):
    document = {"title": "Row"} | tomllib.loads(data.draw(st.sampled_from([HOUSES, COUNTED])))
    for _ in range(data.draw(st.integers(1, 3))):
        inside, key = data.draw(st.sampled_from([*branches(document), (document, "new")]))
        if data.draw(st.booleans()) or key == "new":
            inside[key] = deepcopy(data.draw(NASTY | FLOATS))
        else:
            del inside[key]
    text = "\n".join(f"{key} = {as_toml(value)}" for key, value in document.items())
    try:
        found = read_portfolio(portfolio(tmp_path_factory.getbasetemp(), text))
    except CutoptError as error:
        assert all(problem.what and problem.where and problem.remedy for problem in error.problems)  # noqa: PT017 - either end is right
    else:
        names = {one.name for one in found.types}
        assert all(count > 0 and name in names for storey in found.storeys for name, count in storey.units)
