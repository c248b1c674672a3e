"""Plan files: what is written reads back the same, and what is wrong is told with its place."""

import json
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_documents import NAMES, PLANS, load

from cutopt.errors import PlanFileError
from cutopt.model.floor import Run
from cutopt.model.job import Ends, Lay, Order, Pattern, PlankKind, PlankSpec, Rules, ShareOffcuts, ShareRips
from cutopt.model.plan import Bound, CutPlank, End, Keeps, LaidRun, Offcut, Piece, Plan, Totals
from cutopt.planfile import read_plan, write_plan
from cutopt.units import MAX_LENGTH, Unit

STEADY = settings(derandomize=True, deadline=None, max_examples=200)

ticks = st.integers(-MAX_LENGTH, MAX_LENGTH)
sizes = st.integers(0, MAX_LENGTH)
counts = st.integers(1, 10**6)
texts = st.text(
    st.characters(exclude_categories=("Cc", "Cs", "Cf", "Zl", "Zp")), max_size=8
) | st.sampled_from(
    ["", 'Anna\'s "den"', "Küche / 厨房", "tab\tand\nline", "\\", "null", "nbsp\u00a0x", "e\u0301"]
)
figures = st.floats(allow_nan=False, allow_infinity=False)
pieces = st.builds(
    Piece,
    id=texts,
    plank=counts,
    length=ticks,
    left=st.sampled_from(End),
    right=st.sampled_from(End),
    left_slant=st.just(0) | ticks,
    right_slant=st.just(0) | ticks,
)


@st.composite
def laid_runs(draw):
    length, width = draw(ticks), draw(sizes)
    run = Run(
        room=draw(texts),
        field=draw(texts),
        line=draw(counts),
        row=draw(counts),
        run=draw(counts),
        offset=draw(ticks),
        length=length,
        width=width,
        left_slant=draw(st.just(0) | ticks),
        right_slant=draw(st.just(0) | ticks),
        area2=draw(st.just(2 * length * width) | st.integers(0, 2 * MAX_LENGTH**2)),
    )
    return LaidRun(run=run, pieces=tuple(draw(st.lists(pieces, max_size=3))))


plank_specs = st.builds(
    PlankSpec,
    length=st.integers(1, MAX_LENGTH),
    width=st.integers(1, MAX_LENGTH),
    per_box=counts,
    ends=st.sampled_from(Ends),
    kerf=sizes,
    kind=st.none() | st.sampled_from(PlankKind),
    single_length=st.booleans(),
    box_coverage_mm2=st.none() | st.fractions(0, 10**8, max_denominator=10**6),
    box_price=st.none() | st.decimals(0, 10**6, places=2),
)
rules = st.builds(
    Rules,
    **dict.fromkeys(
        ("stagger", "min_piece", "h_joint", "stair_step", "cut_step", "min_rip", "gap", "fit"), sizes
    ),
    max_waiting=st.none() | counts,
    pattern=st.sampled_from(Pattern),
    lay=st.sampled_from(Lay),
    share_offcuts=st.sampled_from(ShareOffcuts),
    share_rips=st.sampled_from(ShareRips),
)
_of_cut = {
    "plank": counts,
    "pieces": st.lists(texts, max_size=3).map(tuple),
    "offcuts": st.lists(st.builds(Offcut, length=ticks, keeps=st.sampled_from(Keeps)), max_size=2).map(tuple),
    "factory": st.sampled_from(Keeps),
}
strip_measures = st.integers(1, MAX_LENGTH)
cut_planks = st.builds(CutPlank, **_of_cut, length=st.none() | strip_measures) | st.builds(
    CutPlank,
    **_of_cut,
    length=strip_measures,
    strip=st.integers(1, 9),
    width=strip_measures,
    beside=texts,
)
plans = st.builds(
    Plan,
    title=texts,
    unit=st.sampled_from(Unit),
    plank=plank_specs,
    rules=rules,
    order=st.builds(Order, culls=st.fractions(0, Fraction(99, 100), max_denominator=10**6), spare=sizes),
    rows=st.lists(laid_runs(), max_size=3).map(tuple),
    planks=st.lists(cut_planks, max_size=3).map(tuple),
    totals=st.builds(
        Totals,
        planks=counts,
        boxes=counts,
        cuts=counts,
        peak_waiting=counts,
        net_area_mm2=figures,
        waste_factor_percent=figures,
    ),
    bound=st.builds(Bound, planks=counts, reason=texts, proven=st.booleans()),
    seed=st.integers(-(2**63) + 1, 2**63 - 1),
    note=texts,
)


@STEADY
@given(plans)
def test_what_is_written_reads_back_the_same(plan):
    text = write_plan(plan)
    assert read_plan(text) == plan
    assert write_plan(read_plan(text)) == text


@pytest.mark.parametrize("name", NAMES)
def test_stored_plans_are_written_as_they_stand(name):
    path = PLANS / f"{name}.json"
    assert write_plan(read_plan(path)) == path.read_text(encoding="utf-8")


MINIMAL = """\
{"format": "cutopt-plan", "version": 1, "ticks_per_mm": 320, "title": "Studio",
 "plank": {"length": 384000, "width": 64000, "kerf": 0, "per_box": 8, "ends": "square"},
 "rules": {"stagger": 0, "min_piece": 0, "h_joint": 0, "stair_step": 0, "cut_step": 0, "max_waiting": null,
           "pattern": "random", "of_later": {"deep": [1, 2.5, null]}},
 "rows": [{"room": "Studio", "field": "Studio", "line": 1, "row": 1, "run": 1, "offset": 0, "length": 320000,
           "width": 64000,
           "pieces": [{"id": "1.1", "plank": 1, "length": 320000, "left": "cut", "right": "factory",
                       "left_slant": 640}]}],
 "planks": [{"plank": 1, "pieces": ["1.1"], "offcuts": [{"length": 64000, "keeps": "left"}],
             "lot": "B7", "source": "box"}],
 "totals": {"planks": 1, "boxes": 1, "cuts": 1, "peak_waiting": 0, "net_area_mm2": 200000,
            "waste_factor_percent": 20.0},
 "bound": {"planks": 1, "proven": true, "reason": "one plank"}, "seed": 0}
"""


def test_a_minimal_file_has_the_usual_meanings():
    plan = read_plan(MINIMAL)
    assert (plan.unit, plan.order, plan.note) == (Unit.MM, Order(), "")
    assert (plan.rules.max_waiting, plan.rules.fit, plan.rules.lay) == (None, 0, Lay.LEFT_TO_RIGHT)
    assert plan.rules.share_offcuts is ShareOffcuts.JOB
    (laid,) = plan.rows
    assert laid.run.area2 == 2 * 320000 * 64000
    assert (laid.run.left_slant, laid.run.right_slant) == (640, 0)
    assert (plan.planks[0].length, plan.planks[0].factory) == (None, Keeps.BOTH)
    assert plan.plank.kind is None
    assert plan.plank.single_length


def test_a_byte_order_mark_is_passed_over(tmp_path):
    path = tmp_path / "plan.json"
    path.write_text("\ufeff" + MINIMAL, encoding="utf-8")
    assert read_plan(path) == read_plan("\ufeff" + MINIMAL) == read_plan(MINIMAL)


def test_money_and_areas_keep_their_exact_value():
    document = json.loads(MINIMAL)
    document["plank"] |= {"box_price": "61.50", "box_coverage_mm2": "5202/3"}
    plank = read_plan(json.dumps(document)).plank
    assert str(plank.box_price) == str(Decimal("61.50"))
    assert plank.box_coverage_mm2 == Fraction(1734)


def refusal(text_or_path) -> list[str]:
    with pytest.raises(PlanFileError) as caught:
        read_plan(text_or_path)
    return [str(problem) for problem in caught.value.problems]


def changed(*path, to):
    document = json.loads(MINIMAL)
    *steps, key = path
    target = document
    for step in steps:
        target = target[step]
    target[key] = to
    return json.dumps(document)


ANEW = "give a file that cutopt plan --json wrote"
MEND = "mend the text there, or write the file anew"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", f"not JSON: Expecting value - plan file: line 1, column 1 - {MEND}"),
        ('{"a": 1,\n "b" 2}', f"not JSON: Expecting ':' delimiter - plan file: line 2, column 6 - {MEND}"),
        (MINIMAL + "x", f"not JSON: Extra data - plan file: line 14, column 1 - {MEND}"),
        ("[]", f"a plan file holds one table, not a list of 0 - plan file - {ANEW}"),
        ("null", f"a plan file holds one table, not null - plan file - {ANEW}"),
        ("[" * 100_000, f"lists within lists without end - plan file - {ANEW}"),
        ('{"a":' * 100_000, f"lists within lists without end - plan file - {ANEW}"),
        (
            "{}",
            (
                'the key "format" is missing - plan file: format'
                " - this program reads plan files with format 'cutopt-plan'"
            ),
        ),
        (
            changed("format", to="other"),
            (
                "format 'other' is not known - plan file: format"
                " - this program reads plan files with format 'cutopt-plan'"
            ),
        ),
        (
            changed("version", to=2),
            "version 2 is not known - plan file: version - this program reads plan files with version 1",
        ),
        (
            changed("version", to=True),
            "version true is not known - plan file: version - this program reads plan files with version 1",
        ),
        (
            changed("ticks_per_mm", to=100),
            (
                "ticks_per_mm 100 is not known - plan file: ticks_per_mm"
                " - this program reads plan files with ticks_per_mm 320"
            ),
        ),
    ],
)
def test_what_is_no_plan_file_is_refused_at_once(text, message):
    assert refusal(text) == [message]


PIECE = ("rows", 0, "pieces", 0)


@pytest.mark.parametrize(
    ("path", "value", "message"),
    [
        ((*PIECE, "length"), True, "true will not do - rows[1].pieces[1].length - write a whole number"),
        ((*PIECE, "length"), 1.0, "1.0 will not do - rows[1].pieces[1].length - write a whole number"),
        ((*PIECE, "length"), "12", "'12' will not do - rows[1].pieces[1].length - write a whole number"),
        ((*PIECE, "length"), None, "null will not do - rows[1].pieces[1].length - write a whole number"),
        (
            (*PIECE, "length"),
            10**30,
            f"{10**30} will not do - rows[1].pieces[1].length - write a whole number",
        ),
        (
            (*PIECE, "left"),
            "Cut",
            "'Cut' will not do - rows[1].pieces[1].left - did you mean \"cut\"? use one of",
        ),
        ((*PIECE, "id"), 1.1, "1.1 will not do - rows[1].pieces[1].id - write a text in double quotes"),
        ((*PIECE, "id"), "\x1b[2J", r"'\x1b[2J' will not do - rows[1].pieces[1].id - leave out control char"),
        (("title",), "\ud800", r"'\ud800' will not do - title - leave out control characters and halves"),
        (("unit",), "yd", "'yd' will not do - unit - use one of in, ft, mm, cm, m"),
        (("plank", "length"), 0, "0 will not do - plank.length - write a whole number of 1 or more"),
        (("plank", "per_box"), -1, "-1 will not do - plank.per_box - write a whole number of 1 or more"),
        (("plank", "box_price"), "NaN", "'NaN' will not do - plank.box_price - write the amount as text"),
        (("rules", "stagger"), -1, "-1 will not do - rules.stagger - write a whole number of 0 or more"),
        (
            ("rules", "max_waiting"),
            "any",
            "'any' will not do - rules.max_waiting - write a whole number of 0",
        ),
        (("order",), [], "a list of 0 will not do - order - write a table in braces"),
        (
            ("order",),
            {"culls": "1/0"},
            "'1/0' will not do - order.culls - write an exact number of 0 or more",
        ),
        (("order",), {"culls": 0.02}, "0.02 will not do - order.culls - write an exact number of 0 or more"),
        (("order",), {"culls": "1e9999999"}, "'1e9999999' will not do - order.culls - write an exact number"),
        (("order",), {"culls": "1"}, "'1' will not do - order.culls - cull less than every plank"),
        (("rows",), {}, "a table will not do - rows - write a list in square brackets"),
        (("rows", 0), 7, "7 will not do - rows[1] - write a table in braces"),
        (("planks", 0, "pieces"), [3], "3 will not do - planks[1].pieces[1] - write a text in double quotes"),
        (
            ("totals", "net_area_mm2"),
            False,
            "false will not do - totals.net_area_mm2 - write a finite number",
        ),
        (("bound", "proven"), 1, "1 will not do - bound.proven - write true or false"),
        (("seed",), 2**64, f"{2**64} will not do - seed - write a whole number"),
    ],
)
def test_a_wrong_value_is_shown_with_its_place(path, value, message):
    (told,) = refusal(changed(*path, to=value))
    assert told.replace("plan file: ", "").startswith(message)


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity", "1e999", "9" * 5000])
def test_numbers_beyond_json_are_refused_where_they_count(word):
    told = refusal(MINIMAL.replace("200000,\n", f"{word},\n"))
    assert any("totals.net_area_mm2 - write a finite number" in line for line in told)
    told = refusal(MINIMAL.replace('"offset": 0', f'"offset": {word}'))
    assert any("rows[1].offset - write a whole number" in line for line in told)


def test_nan_is_refused_even_under_a_key_nobody_reads():
    assert refusal(MINIMAL.replace("2.5", "NaN")) == [
        "NaN is no number that a plan file may hold - plan file - write finite numbers only"
    ]


def test_a_key_that_stands_twice_is_refused():
    assert refusal(MINIMAL.replace('"seed": 0', '"seed": 0, "seed": 1')) == [
        "the key 'seed' stands twice in one table - plan file - keep one of the two"
    ]


def test_a_key_that_stands_twice_is_found_quickly_in_a_wide_table():
    # Counting every key by going through all of them again would take minutes.
    wide = ", ".join(f'"more {nth}": 0' for nth in range(100_000))
    assert refusal(MINIMAL.replace('"seed": 0', f'"seed": 0, {wide}, "seed": 1')) == [
        "the key 'seed' stands twice in one table - plan file - keep one of the two"
    ]


def test_every_missing_key_is_told():
    needed = ["title", "plank", "rules", "rows", "planks", "totals", "bound", "seed"]
    told = refusal('{"format": "cutopt-plan", "version": 1, "ticks_per_mm": 320}')
    assert [line.split(" - ")[0] for line in told] == [f'the key "{key}" is missing' for key in needed]
    document = json.loads(MINIMAL)
    del document["rules"]["stagger"], document["rows"][0]["pieces"][0]["plank"]
    document["rules"]["staggr"] = 5
    assert refusal(json.dumps(document)) == [
        'the key "stagger" is missing - plan file: rules - is "staggr" meant for it?',
        'the key "plank" is missing - plan file: rows[1].pieces[1] - add it, or write the plan file anew',
    ]


def test_files_that_cannot_be_read(tmp_path):
    missing, folder, latin = tmp_path / "none.json", tmp_path, tmp_path / "latin.json"
    latin.write_bytes(b'{"title": "K\xfcche"}')
    assert refusal(missing) == [f"there is no such plan file - {missing} - check the name and the folder"]
    assert refusal(folder) == [f"this is a folder, not a plan file - {folder} - name a file in it"]
    assert refusal(latin) == [f"the plan file is not UTF-8 text - {latin}: byte 13 - save it as UTF-8"]
    assert refusal(tmp_path / "nul\0.json")[0].startswith("the plan file cannot be read - ")
    assert refusal(latin / "below.json")[0].startswith("the plan file cannot be read - ")


def test_places_name_the_file(tmp_path):
    path = tmp_path / "plan.json"
    path.write_text(changed("seed", to="x"), encoding="utf-8")
    (told,) = refusal(path)
    assert f" - {path}: seed - " in told


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)


def places(value, path=()):
    """Every place of a document, as a path of keys."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, entry in inner:
        yield (*path, key)
        yield from places(entry, (*path, key))


@STEADY
@given(st.sampled_from(list(places(load("slanted")))), JUNK)
def test_junk_anywhere_is_refused_or_read_but_never_a_crash(path, junk):
    document = load("slanted")
    *steps, key = path
    target = document
    for step in steps:
        target = target[step]
    target[key] = junk
    try:
        plan = read_plan(json.dumps(document))
    except PlanFileError:
        return
    assert read_plan(write_plan(plan)) == plan


@STEADY
@given(st.text(max_size=40) | st.binary(max_size=40))
def test_any_text_at_all_is_refused(tmp_path_factory, text):
    if isinstance(text, bytes):
        path = tmp_path_factory.mktemp("junk") / "plan.json"
        path.write_bytes(text)
        assert refusal(path)
    else:
        assert refusal(text)
