"""The published schemas, held against what the readers take and refuse."""

import json
import tomllib
from copy import deepcopy
from decimal import Decimal
from enum import StrEnum
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from inside import inside as cutopt
from job_texts import ATTIC, FULL, SHORT
from jsonschema import Draft202012Validator
from plan_documents import PLANS, load
from test_job_estimator import PLANKS, TABLES
from test_job_extremes import as_toml
from test_plan_file import plans
from test_plan_ground import STUDIO
from test_portfolio_file import COUNTED, HOUSES

from cutopt.errors import JobError, PlanFileError, UnsupportedError
from cutopt.jobfile import parse_job, read_catalogue, read_portfolio
from cutopt.jobfile._read import read_values
from cutopt.jobfile._report import Report
from cutopt.jobfile._table import LengthReader
from cutopt.model.job import EdgePolicy, Ends, KeepLots, Lay, Pattern, PlankKind, ShareOffcuts, ShareRips
from cutopt.model.plan import End, Keeps, Source
from cutopt.model.portfolio import Level
from cutopt.model.pricing import Shape
from cutopt.model.rooms import StopSide, ThingKind, Turn
from cutopt.planfile import read_plan, write_plan
from cutopt.rulebook import RULES
from cutopt.schema import SchemaOf, schema
from cutopt.units import Unit

ROOT = Path(__file__).parents[1]
STEADY = settings(derandomize=True, deadline=None, max_examples=50)
JUNK = (True, -1, 1.5, "no such word", "", [], {}, [{}], [1], ["x"], 10**30)
JOBS = sorted([*(ROOT / "examples").glob("*.toml"), *(ROOT / "tests" / "data" / "sheets").glob("*/job.toml")])
STORED = [*PLANS.glob("*.json"), *(ROOT / "tests" / "data" / "sheets").glob("*/plan.json")]


@cache
def validator(of):
    return Draft202012Validator(json.loads(schema(of)))


def fits(document, of):
    return validator(of).is_valid(document)


def problems(document, of):
    return [error.message for error in validator(of).iter_errors(document)]


def places(value, path=()):
    """Every place in a document, the first two entries of each list."""
    yield path
    if isinstance(value, dict):
        for key, entry in value.items():
            yield from places(entry, (*path, key))
    elif isinstance(value, list):
        for nth, entry in enumerate(value[:2]):
            yield from places(entry, (*path, nth))


def changed(document, path, junk):
    copy = deepcopy(document)
    inside = copy
    for step in path[:-1]:
        inside = inside[step]
    inside[path[-1]] = junk
    return copy


def without(document, path):
    copy = deepcopy(document)
    inside = copy
    for step in path[:-1]:
        inside = inside[step]
    del inside[path[-1]]
    return copy


def mutants(document, some=4):
    """The document with one key or entry left out or spoiled, in some ways, which take turns from place to place."""
    for nth, path in enumerate(path for path in places(document) if path):
        yield path, "left out", without(document, path)
        for junk in (JUNK * 2)[some * nth % len(JUNK) :][:some]:
            yield path, junk, changed(document, path, junk)


# The schemas themselves


@pytest.mark.parametrize("of", SchemaOf)
def test_they_are_sound_schemas_and_every_key_is_described(of):
    document = json.loads(schema(of))
    Draft202012Validator.check_schema(document)
    assert document["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema(of).isascii()
    assert [
        name for name, entry in keys_of(document) if not {"description", "$ref", "const"} & set(entry)
    ] == []


def keys_of(schema_part):
    """Every key that a schema names, and what it says of it."""
    if isinstance(schema_part, dict):
        properties = schema_part.get("properties", {})
        yield from properties.items()
        for entry in schema_part.values():
            yield from keys_of(entry)
    elif isinstance(schema_part, list):
        for entry in schema_part:
            yield from keys_of(entry)


def enums_of(of):
    return {name: entry["enum"] for name, entry in keys_of(json.loads(schema(of))) if "enum" in entry}


ENUMS: dict[str, type[StrEnum]] = {
    "unit": Unit,
    "kind": ThingKind,
    "ends": Ends,
    "pattern": Pattern,
    "lay": Lay,
    "share_offcuts": ShareOffcuts,
    "share_rips": ShareRips,
}


@pytest.mark.parametrize(
    ("of", "enums"),
    [
        (SchemaOf.JOB, ENUMS | {"edges": EdgePolicy, "turn": Turn, "side": StopSide}),
        (
            SchemaOf.PLAN,
            ENUMS
            | {
                "left": End,
                "right": End,
                "keeps": Keeps,
                "factory": Keeps,
                "source": Source,
                "lots": KeepLots,
            },
        ),
        (SchemaOf.CATALOGUE, {"unit": Unit, "ends": Ends}),
        (SchemaOf.PORTFOLIO, {"share": Level, "boxes": Level}),
    ],
)
def test_closed_sets_of_words_are_those_of_the_program(of, enums):
    assert enums_of(of) == {name: [str(word) for word in words] for name, words in enums.items()}


def test_words_to_vary_are_those_of_the_program():
    known = json.loads(schema(SchemaOf.JOB))["properties"]
    study, shapes = known["study"]["properties"], known["waste_table"]["properties"]["shapes"]
    assert shapes["items"]["enum"] == [str(shape) for shape in Shape]
    for key, words in (("pattern", Pattern), ("share_rips", ShareRips), ("share_offcuts", ShareOffcuts)):
        assert study[key]["items"]["enum"] == [str(word) for word in words]


@pytest.mark.parametrize("of", [SchemaOf.JOB, SchemaOf.PLAN])
def test_kinds_of_planks_are_those_of_the_program(of):
    plank = json.loads(schema(of))["properties"]["plank"]["properties"]
    assert plank["kind"]["enum"] == [str(kind) for kind in PlankKind]


def test_every_rule_has_its_key():
    known = json.loads(schema(SchemaOf.JOB))["properties"]
    for rule in RULES:
        section, key = rule.key.split(".")
        assert rule.says in known[section]["properties"][key]["description"]


# Plan files


@pytest.mark.parametrize("path", STORED, ids=lambda path: path.parent.name + path.stem)
def test_every_stored_plan_fits(path):
    assert problems(json.loads(path.read_text(encoding="utf-8")), SchemaOf.PLAN) == []


@STEADY
@given(plans)
def test_every_plan_that_is_written_fits(plan):
    assert problems(json.loads(write_plan(plan)), SchemaOf.PLAN) == []


def full_plan():
    """A plan that has every key there is, however little sense it makes."""
    document = load("handed") | {"ground": deepcopy(STUDIO), "spoiled": [1], "supply": 99, "note": "stopped"}
    document["down"] = [{"field": "Studio", "line": 0, "offset": 0, "length": 100, "joints": [40]}]
    document["ground"]["fields"][0]["origin"] = [1, 2]
    document["ground"]["doorways"][0] |= {"undercut": 3, "strip": [[2, 0], [4, 0], [4, -1]]}
    document["plank"] |= {
        "kind": "laminate",
        "single_length": True,
        "box_coverage_mm2": "4339/2",
        "box_price": "61.50",
        "nominal_width": 9,
        "width_tolerance": 1,
        "thickness": 5,
    }
    document["rules"] |= {"share_rips": "no", "lots": "mix"}
    document["rows"][0] |= {
        "left_slant": 1,
        "right_slant": 2,
        "left_mitre": True,
        "right_mitre": False,
        "area2": 7,
        "wide": 4,
        "narrow": 3,
        "touches": [1],
    }
    document["rows"][0]["pieces"][0] |= {"left_slant": 1, "right_slant": 0}
    document["planks"][0] |= {"factory": "both", "source": "box", "lot": "A", "lost": 0, "done": ["1.1"]}
    document["planks"].insert(
        1, document["planks"][0] | {"strip": 2, "width": 9, "length": 5, "beside": "1.1"}
    )
    return document


def test_the_full_plan_has_every_key_of_the_schema():
    def names(value):
        if isinstance(value, dict):
            return set(value) | {name for entry in value.values() for name in names(entry)}
        return {name for entry in value for name in names(entry)} if isinstance(value, list) else set()

    read_plan(json.dumps(full_plan()))
    assert {name for name, _ in keys_of(json.loads(schema(SchemaOf.PLAN)))} <= names(full_plan())


def is_read(document):
    try:
        read_plan(json.dumps(document))
    except PlanFileError:
        return False
    return True


def test_a_plan_is_refused_by_the_schema_where_the_reader_refuses_it_and_only_there():
    # Between values: joints inside their run, a name for every corner.
    between = {"joints", "names", "corners", "offset", "length"}
    count = 0
    for path, junk, document in mutants(full_plan()):
        count += 1
        read, fitting = is_read(document), fits(document, SchemaOf.PLAN)
        if read or not between & set(path):
            assert read == fitting, (path, junk, problems(document, SchemaOf.PLAN))
    assert count > 600


@pytest.mark.parametrize("version", [0, 2, "1", None])
def test_plans_of_another_version_are_refused_in_words(version):
    document = load("handed") | {"version": version}
    assert not fits(document, SchemaOf.PLAN)
    with pytest.raises(PlanFileError) as caught:
        read_plan(json.dumps(document))
    shown = {None: "null", "1": "'1'"}.get(version, version)
    assert str(caught.value.problems[0]) == (
        f"version {shown} is not known - plan file: version - this program reads plan files with version 1"
    )


# Job files


def image(text):
    return tomllib.loads(text)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.parent.name + path.stem)
def test_every_example_job_fits(path):
    assert problems(image(path.read_text(encoding="utf-8")), SchemaOf.JOB) == []


WALLED = """
unit = "in"
[plank]
length = 48
width = 5
per_box = 8
pitch = { rows = 20, measure = "100-3/8" }
width_tolerance = "1/64"
thickness = "5 mm"
single_length = true
[layout]
direction = 45
edges = "stops"
first_width = "3-1/2"
run_limit_along = "40 ft"
run_limit_across = "40 ft"
movement = "1/64"
[[room]]
name = "Parlour"
at = [0, 0]
size = [240, 144]
down = [[20, 68, 116], [44, 92]]
[[room.fixed]]
name = "hearth"
kind = "hearth"
at = [60, 0]
size = [48, 20]
gap = "1/4"
[[room.fixed]]
outline = [[0, 0], [10, 0], [10, 10]]
[[room]]
name = "Bay"
[room.survey]
accuracy = "1/8"
angle_accuracy = 0.5
walls = [{ length = 144, turn = "left", angle = 90, corner = "P" }, { length = 100 }, { length = 144 }, { length = 100 }]
diagonals = [{ from = "A", to = "C", length = 175 }]
[[room]]
name = "Hall"
stations = [[0, 100], [120, 101.5]]
[[room]]
name = "Loft"
stations = { every = "2 ft", length = 40, widths = [50, 51, 52] }
[[doorway]]
name = "study door"
rooms = ["Parlour", "Hall"]
walls = ["B-C", "D-A"]
from = [26, 12]
width = 32
depth = 4.5
undercut = "1/2"
strip = 1.5
[[stop]]
name = "hearth front"
room = "Parlour"
thing = "hearth"
side = "before"
full = true
[[stop]]
room = "Parlour"
at = "12 ft"
min_rip = 3
"""


def is_sound(document):
    """Whether the reader takes every value by itself."""
    report = Report("job")
    try:
        read_values(json.loads(json.dumps(document), parse_float=Decimal), LengthReader(report))
        report.raise_if_any()
    except (JobError, UnsupportedError):
        return False
    return True


MEANT = {
    "rooms",  # names that must be those of other tables
    "walls",
    "from",
    "to",
    "wall",
    "thing",
    "doorway",
    "room",
    "name",
    "stations",  # figures that must go together
    "widths",
    "every",
    "outline",
    "corner",
    "unit",  # what lengths without a unit take theirs from
}


ESTIMATED = SHORT + TABLES.replace("[study]", '[study]\nplanks = "planks.csv"')


@pytest.mark.parametrize(
    "text",
    [FULL, SHORT, ATTIC, WALLED, ESTIMATED],
    ids=["every key", "short", "attic", "walled", "estimated"],
)
def test_a_job_is_refused_by_the_schema_where_its_structure_is_wrong_and_never_where_it_is_read(text):
    document = image(text)
    assert is_sound(document)
    assert problems(document, SchemaOf.JOB) == []
    for path, junk, mutant in mutants(document):
        sound, fitting = is_sound(mutant), fits(mutant, SchemaOf.JOB)
        assert fitting or not sound, (path, junk, problems(mutant, SchemaOf.JOB))
        told_by_name = path[-1] == "fixed" and junk == "left out"
        within = MEANT & set(path) and isinstance(path[-1], int)
        if path[-1] not in MEANT and not within and not told_by_name:
            assert sound or not fitting, (path, junk)


@pytest.mark.parametrize(
    "path", [(), ("plank",), ("rules",), ("order",), ("room", 0), ("room", 2, "rows", 0)]
)
def test_a_key_that_is_not_known_is_refused(path):
    document = image(FULL)
    assert not fits(changed(document, (*path, "lenght"), 1), SchemaOf.JOB)
    assert not is_sound(changed(document, (*path, "lenght"), 1))


def test_jobs_together_have_every_key_of_the_schema():
    def names(value):
        if isinstance(value, dict):
            return set(value) | {name for entry in value.values() for name in names(entry)}
        return {name for entry in value for name in names(entry)} if isinstance(value, list) else set()

    known = {name for name, _ in keys_of(json.loads(schema(SchemaOf.JOB)))}
    assert known - {"wall"} <= names(image(FULL)) | names(image(WALLED)) | names(image(ESTIMATED))


# Catalogues and portfolios


def is_taken(read, document, path):
    path.write_text("\n".join(f"{key} = {as_toml(value)}" for key, value in document.items()))
    try:
        read(path)
    except JobError:
        return False
    return True


def test_a_catalogue_is_refused_by_the_schema_where_the_reader_refuses_it_and_only_there(tmp_path):
    job = parse_job(SHORT)
    for path, junk, document in mutants(image(PLANKS)):
        taken = is_taken(lambda file: read_catalogue(file, job), document, tmp_path / "planks.toml")
        assert taken == fits(document, SchemaOf.CATALOGUE), (path, junk)


def test_a_portfolio_is_refused_by_the_schema_where_its_structure_is_wrong_and_never_where_it_is_read(
    tmp_path,
):
    count = 0
    for text in (HOUSES, COUNTED):
        assert problems(image(text), SchemaOf.PORTFOLIO) == []
        for path, junk, document in mutants(image(text)):
            taken = is_taken(read_portfolio, document, tmp_path / "houses.toml")
            fitting = fits(document, SchemaOf.PORTFOLIO)
            assert fitting or not taken, (path, junk, problems(document, SchemaOf.PORTFOLIO))
            names = path[-1] in ("name", "phase") or isinstance(path[-1], int)
            assert names or taken == fitting, (path, junk)
            count += 1
    assert count > 150


@pytest.mark.parametrize(
    ("name", "of"),
    [
        ("studio", SchemaOf.JOB),
        ("planks", SchemaOf.CATALOGUE),
        ("quay-row", SchemaOf.PORTFOLIO),
    ],
)
def test_the_examples_of_an_estimator_fit(name, of):
    path = ROOT / "examples" / "estimate" / f"{name}.toml"
    assert problems(image(path.read_text(encoding="utf-8")), of) == []


# What is laid


def test_what_the_phone_page_saves_fits():
    good = {
        "format": "cutopt-laid",
        "version": 1,
        "title": "Loft",
        "plan": "0" * 64,
        "pieces": ["1.1", "1.2"],
    }
    assert fits(good, SchemaOf.LAID)
    for wrong in ({"format": "cutopt-plan"}, {"version": 2}, {"pieces": "1.1"}, {"pieces": [1]}):
        assert not fits(good | wrong, SchemaOf.LAID)


# The command


@pytest.mark.parametrize("of", SchemaOf)
def test_the_command_prints_a_schema(of, tmp_path):
    done = cutopt("schema", str(of), cwd=tmp_path)
    assert (done.returncode, done.stderr, done.stdout.decode()) == (0, b"", schema(of))


def test_another_word_is_wrong_usage(tmp_path):
    done = cutopt("schema", "sheet", cwd=tmp_path)
    assert done.returncode == 2
    assert b"'job', 'plan', 'laid', 'catalogue', 'portfolio'" in b" ".join(
        done.stderr.replace(b"\xe2\x94\x82", b" ").split()
    )
