"""What an estimator adds to a job file: prices, risks, studies, tables of rooms, catalogues of planks."""

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_texts import SHORT
from test_job_extremes import FLOATS, NASTY, as_toml

from cutopt.errors import CutoptError, JobError
from cutopt.jobfile import parse_job, read_catalogue, read_job, vary
from cutopt.model.job import CataloguePlank, Ends, PlankKind, PlankSpec
from cutopt.model.pricing import (
    NO_RISK,
    NO_STUDY,
    NOT_PRICED,
    Pricing,
    RiskSpec,
    Shape,
    Steps,
    StudySpec,
    TableSpec,
    Varied,
    Vary,
)

IN = 8128
FT = 12 * IN
STEADY = settings(derandomize=True, deadline=None, max_examples=60)

TABLES = """
[price]
tax = "8.25%"
returnable = false
return_fee = 5.00
return_least = 4
trip = 45
delay = 120.5
[risk]
damage = ["0.5%", 0.03]
mismeasure = "1/8"
trials = 2000
[study]
every = true
kerf = [0, "1/8", "3 mm"]
stagger = [6, "8 in"]
min_piece = [0, 6.5]
pattern = ["random", "half"]
direction = ["x", 45, 22.5, "y"]
first_width = ["3-1/2"]
share_rips = ["no"]
share_offcuts = ["room", "job"]
[waste_table]
along = ["8 ft", "20 ft", "1 ft"]
across = [96, 150, 24]
shapes = ["hall", "L-room", "flat", "rectangle"]
"""


def refusal(text):
    with pytest.raises(JobError) as caught:
        parse_job(text, "loft.toml")
    return str(caught.value)


def test_every_table_of_an_estimator_is_read():
    job = parse_job(SHORT + TABLES)
    assert job.pricing == Pricing(
        tax=Fraction(33, 400),
        returnable=False,
        return_fee=Decimal("5.00"),
        return_least=4,
        trip=Decimal(45),
        delay=Decimal("120.5"),
    )
    assert str(job.pricing.return_fee) == "5.00"
    assert job.risk == RiskSpec(damage=(Fraction(1, 200), Fraction(3, 100)), mismeasure=IN // 8, trials=2000)
    assert job.study == StudySpec(
        every=True,
        vary=(
            Vary(what=Varied.KERF, choices=(0, IN // 8, 960)),
            Vary(what=Varied.STAGGER, choices=(6 * IN, 8 * IN)),
            Vary(what=Varied.MIN_PIECE, choices=(0, 13 * IN // 2)),
            Vary(what=Varied.PATTERN, choices=("random", "half")),
            Vary(what=Varied.DIRECTION, choices=(Fraction(0), Fraction(45), Fraction(45, 2), Fraction(90))),
            Vary(what=Varied.FIRST_WIDTH, choices=(7 * IN // 2,)),
            Vary(what=Varied.SHARE_RIPS, choices=("no",)),
            Vary(what=Varied.SHARE_OFFCUTS, choices=("room", "job")),
        ),
    )
    assert job.table == TableSpec(
        along=Steps(first=8 * FT, last=20 * FT, step=FT),
        across=Steps(first=8 * FT, last=150 * IN, step=2 * FT),
        shapes=(Shape.HALL, Shape.L_ROOM, Shape.FLAT, Shape.RECTANGLE),
    )


def test_nothing_of_it_need_be_said():
    for job in (parse_job(SHORT), parse_job(SHORT + "[price]\n[risk]\n[study]\n")):
        assert (job.pricing, job.risk, job.study) == (NOT_PRICED, NO_RISK, NO_STUDY)
        assert (job.catalogue, job.table) == ((), None)


def test_a_table_of_rooms_has_rectangles_where_no_shape_is_named():
    job = parse_job(SHORT + "[waste_table]\nalong = [1, 2, 1]\nacross = [3, 3, 9]\n")
    assert job.table == TableSpec(
        along=Steps(first=IN, last=2 * IN, step=IN), across=Steps(first=3 * IN, last=3 * IN, step=9 * IN)
    )


@pytest.mark.parametrize(("written", "share"), [('"15%"', "3/20"), ("0.15", "3/20"), ('" 0 %"', "0")])
def test_a_single_damage_is_known_exactly(written, share):
    job = parse_job(f"{SHORT}[risk]\ndamage = {written}\n")
    assert job.risk.damage == (Fraction(share), Fraction(share))


STEPS = 'write the shortest, the longest and the step, such as ["8 ft", "20 ft", "1 ft"]'
SHARE = 'write it like "2%" or 0.02'
ROOM = "[waste_table]\nalong = [96, 120, 12]\n"
TOP = '"title", "unit", "plank", "rules", "order", "layout", "room", "doorway", "stop"'
REFUSED = {
    "a floor of spoiled planks": (
        '[risk]\ndamage = "60%"',
        (
            "no floor is laid with 60 % of the planks spoiled - loft.toml: risk.damage - give the share spoiled while "
            "cutting and laying, at most 50 %"
        ),
    ),
    "a wrong key of prices": (
        "[price]\ntaxes = 1",
        (
            '"taxes" is not known here - loft.toml: price.taxes - did you mean "tax"? use one of '
            '"tax", "returnable", "return_fee", "return_least", "trip", "delay"'
        ),
    ),
    "prices in a list": (
        "[[price]]\ntax = 0",
        "a list of 1 is not a table - loft.toml: price - write a [price] table",
    ),
    "tax of all": (
        '[price]\ntax = "100%"',
        f'"100%" is not a share under 100 % - loft.toml: price.tax - {SHARE}',
    ),
    "tax that is none": (
        "[price]\ntax = nan",
        f"nan is not a share under 100 % - loft.toml: price.tax - {SHARE}",
    ),
    "a fee with a sign": (
        '[price]\nreturn_fee = "$5"',
        '"$5" is not a price - loft.toml: price.return_fee - give a plain number such as 61.50, without a currency sign',
    ),
    "a trip that pays": (
        "[price]\ntrip = -1",
        "-1 is not a price - loft.toml: price.trip - give a plain number such as 61.50, without a currency sign",
    ),
    "returns of nothing": (
        "[price]\nreturn_least = 0",
        "0 is not a whole number of 1 or more - loft.toml: price.return_least - give a whole number from 1 up",
    ),
    "returns perhaps": (
        '[price]\nreturnable = "yes"',
        '"yes" is neither true nor false - loft.toml: price.returnable - write true or false without quotes',
    ),
    "damage of three": (
        "[risk]\ndamage = [0, 0.1, 0.2]",
        'a list of 3 is not two shares - loft.toml: risk.damage - write it like "1%", or ["0%", "3%"] for anything between',
    ),
    "damage in words": (
        '[risk]\ndamage = ["0%", "some"]',
        f'"some" is not a share under 100 % - loft.toml: risk.damage[2] - {SHARE}',
    ),
    "damage that falls": (
        '[risk]\ndamage = ["3%", "1%"]',
        "the damage goes from 3 % down to 1 % - loft.toml: risk.damage - write the least share first, then the most",
    ),
    "a tape out by feet": (
        "[risk]\nmismeasure = 13",
        (
            'a tape is not out by 13" - loft.toml: risk.mismeasure - '
            "give how far a room's measures usually are out, such as 1/8 in or 3 mm"
        ),
    ),
    "no trials": (
        "[risk]\ntrials = 0",
        "0 is not a whole number of 1 or more - loft.toml: risk.trials - give a whole number from 1 up",
    ),
    "too many trials": (
        "[risk]\ntrials = 2001",
        "2001 is too many - loft.toml: risk.trials - give a whole number from 1 to 2000",
    ),
    "something else varied": (
        "[study]\nstager = [4]",
        (
            '"stager" is not known here - loft.toml: study.stager - did you mean "stagger"? use one of "every", '
            '"stagger", "min_piece", "pattern", "direction", "first_width", "kerf", "share_rips", "share_offcuts", "planks"'
        ),
    ),
    "a choice that is no list": (
        "[study]\nstagger = 4",
        "4 is not a list - loft.toml: study.stagger - write it like stagger = [6, 8, 12]",
    ),
    "no choice": (
        "[study]\npattern = []",
        'a list of 0 is empty - loft.toml: study.pattern - write it like pattern = ["random", "third"]',
    ),
    "too many choices": (
        f"[study]\nkerf = {[0] * 201}",
        "a list of 201 is too long - loft.toml: study.kerf - give at most 200",
    ),
    "a negative stagger": (
        "[study]\nstagger = [4, -6]",
        "-6 is negative - loft.toml: study.stagger[2] - a length is 0 or more: check the sign",
    ),
    "a first row of nothing": (
        "[study]\nfirst_width = [3, 0]",
        "0 is no length - loft.toml: study.first_width[2] - give a length above zero",
    ),
    "a first row wider than a plank": (
        "[study]\nfirst_width = [3, 8]",
        (
            'the first row, 8", is over the plank\'s width, 7" - loft.toml: study.first_width[2] - '
            "make it shorter, or check the plank's width"
        ),
    ),
    "a piece longer than a plank": (
        "[study]\nmin_piece = [6, 49]",
        (
            'the minimum piece, 49", is over the plank\'s length, 48" - loft.toml: study.min_piece[2] - '
            "make it shorter, or check the plank's length"
        ),
    ),
    "a kerf longer than a plank": (
        "[study]\nkerf = [60]",
        (
            'the kerf, 60", is over the plank\'s length, 48" - loft.toml: study.kerf[1] - '
            "make it shorter, or check the plank's length"
        ),
    ),
    "a direction of half a turn": (
        "[study]\ndirection = [0, 180]",
        '180 is no angle - loft.toml: study.direction[2] - give "x", "y", or degrees from 0 to under 180',
    ),
    "a pattern that is none": (
        '[study]\npattern = ["half", "thrid"]',
        (
            '"thrid" is not known here - loft.toml: study.pattern[2] - did you mean "third"? '
            'use one of "random", "half", "third"'
        ),
    ),
    "sharing perhaps": (
        "[study]\nshare_rips = [true]",
        'true is not known here - loft.toml: study.share_rips[1] - use one of "yes", "no"',
    ),
    "every combination perhaps": (
        "[study]\nevery = 1",
        "1 is neither true nor false - loft.toml: study.every - write true or false without quotes",
    ),
    "a catalogue without a name": (
        '[study]\nplanks = " "',
        '" " names no file - loft.toml: study.planks - name a CSV or TOML file of planks, such as "planks.csv"',
    ),
    "a catalogue that is a list": (
        "[study]\nplanks = [1]",
        'a list of 1 is not a text - loft.toml: study.planks - put it in quotes: "..."',
    ),
    "one side of the rooms": (
        ROOM,
        f'"across" is missing - loft.toml: waste_table.across - {STEPS}',
    ),
    "two lengths of three": (
        ROOM + "across = [96, 120]",
        f"a list of 2 is not three lengths - loft.toml: waste_table.across - {STEPS}",
    ),
    "a length alone": (
        ROOM + "across = 96",
        f"96 is not a list - loft.toml: waste_table.across - {STEPS}",
    ),
    "steps of nothing": (
        ROOM + "across = [96, 120, 0]",
        "0 is no length - loft.toml: waste_table.across[3] - give a length above zero",
    ),
    "steps down": (
        ROOM + "across = [120, 96, 12]",
        (
            'the steps go from 120" down to 96" - loft.toml: waste_table.across - '
            "write the shortest length first, then the longest"
        ),
    ),
    "steps too fine": (
        ROOM + 'across = [96, 120, "1/64"]',
        "1537 lengths are too many - loft.toml: waste_table.across - ask for at most 200: make the step longer",
    ),
    "too many rooms": (
        "[waste_table]\nalong = [1, 100, 1]\nacross = [1, 51, 1]",
        "5100 rooms are too many for a table - loft.toml: waste_table - ask for at most 5000: make the steps longer",
    ),
    "a shape that is none": (
        ROOM + 'across = [96, 120, 12]\nshapes = ["l-room"]',
        (
            '"l-room" is not known here - loft.toml: waste_table.shapes[1] - did you mean "L-room"? '
            'use one of "rectangle", "L-room", "hall", "flat"'
        ),
    ),
    "a shape twice": (
        ROOM + 'across = [96, 120, 12]\nshapes = ["flat", "flat"]',
        '"flat" is told already - loft.toml: waste_table.shapes[2] - name each shape once',
    ),
    "rooms in a list": (
        "[[waste_table]]\nalong = 1",
        "a list of 1 is not a table - loft.toml: waste_table - write a [waste_table] table",
    ),
    "a table of another name": (
        "[prices]",
        (
            f'"prices" is not known here - loft.toml: prices - did you mean "price"? use one of {TOP}, '
            '"price", "risk", "study", "waste_table"'
        ),
    ),
}


@pytest.mark.parametrize(("added", "said"), REFUSED.values(), ids=REFUSED)
def test_what_is_wrong_is_refused_word_for_word(added, said):
    assert refusal(f"{SHORT}{added}\n") == said


def test_all_that_is_wrong_comes_in_one_go():
    said = refusal(
        SHORT + '[price]\ntax = 2\n[risk]\ntrials = "x"\n[study]\nstagger = [-1, "?"]\nkerf = [60]\n'
    )
    assert [line.split(" - ")[1] for line in said.splitlines()] == [
        f"loft.toml: {place}"
        for place in ("price.tax", "risk.trials", "study.stagger[1]", "study.stagger[2]", "study.kerf[1]")
    ]


def test_lengths_of_a_study_need_a_unit_as_all_others_do():
    text = SHORT.replace('unit = "in"\n', "").replace("= 48", '= "48 in"').replace("= 7", '= "7 in"')
    said = refusal(text.replace("[149, 182]", '["149 in", "182 in"]') + "[study]\nstagger = [6, 8]\n")
    assert said == (
        '"unit" is missing, but study.stagger[1] = 6 (and 1 more) needs it - loft.toml: unit - '
        'put a line like unit = "in" at the top, or write every length with its unit'
    )


# Catalogues

PLANKS = """
unit = "mm"
[[plank]]
name = "Oak  look"
length = 1220
width = "7 in"
per_box = 9
kerf = 3
ends = "square"
box_price = 61.50
box_coverage = "18.67 sq ft"
[[plank]]
name = "Ash"
length = "5 ft"
width = 228.6
per_box = 6
"""
LINES = """\
name,length,width,per_box,kerf,ends,box_price,box_coverage
"Oak  look",1220 mm,7,9,3 mm,square,61.50,18.67 sq ft

Ash,5 ft,9,6
"""
READ = (
    CataloguePlank(
        name="Oak look",
        plank=PlankSpec(
            length=1220 * 320,
            width=7 * IN,
            per_box=9,
            ends=Ends.SQUARE,
            kerf=960,
            kind=PlankKind.CLICK_VINYL,
            box_price=Decimal("61.50"),
            box_coverage_mm2=Fraction(1867, 100) * Fraction(3048, 10) ** 2,
        ),
    ),
    CataloguePlank(
        name="Ash",
        plank=PlankSpec(
            length=60 * IN,
            width=9 * IN,
            per_box=6,
            ends=Ends.HANDED,
            kerf=IN // 16,
            kind=PlankKind.CLICK_VINYL,
        ),
    ),
)
PRICED = SHORT.replace("per_box = 8", 'per_box = 8\nkerf = "1/16"\nbox_price = 50\nthickness = "5 mm"')
JOB = parse_job(PRICED)


def catalogue(tmp_path, text, name="planks.csv"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("planks.toml", PLANKS),
        ("planks.csv", LINES),
        ("PLANKS.CSV", LINES.replace(",", ";")),
        ("planks.csv", "\ufeff" + LINES.replace(",", "\t").replace("\n", "\r\n")),
        (
            "planks.csv",
            LINES.replace("per_box,", " Per Box ,").replace("name", "NAME").replace("Ash,", "\n Ash ,"),
        ),
        ("planks.csv", LINES.replace("box_coverage\n", "box_coverage,,\n").replace("9,6", "9,6,,,,,,,")),
    ],
    ids=["TOML", "commas", "semicolons", "tabs and a mark of UTF-8", "titles by hand", "empty columns"],
)
def test_a_catalogue_is_read_and_takes_from_the_job_what_it_leaves_out(tmp_path, name, text):
    path = catalogue(tmp_path, text, name)
    assert read_catalogue(path, JOB) == READ
    (tmp_path / "job.toml").write_text(f'{PRICED}[study]\nkerf = [0]\nplanks = "{name}"\n')
    job = read_job(tmp_path / "job.toml")
    assert job.catalogue == READ
    assert job.study.vary == (
        Vary(what=Varied.KERF, choices=(0,)),
        Vary(what=Varied.PLANK, choices=("Oak look", "Ash")),
    )


def test_a_job_without_a_folder_looks_where_it_is_read(tmp_path, monkeypatch):
    catalogue(tmp_path, LINES)
    monkeypatch.chdir(tmp_path)
    assert parse_job(PRICED + '[study]\nplanks = "planks.csv"\n').catalogue == READ


NEEDED = "name, length, width, per_box, kerf, ends, box_price, box_coverage"
WORDS = ", ".join(f'"{word}"' for word in NEEDED.split(", "))
ONE = "name,length,width,per_box\n"
WRONG_LINES = {
    "an empty file": ("", f"the file is empty - PATH - begin with a line of column titles: {NEEDED}"),
    "no titles": (
        "Ash,48,7,8\n",
        "\n".join(
            [
                *(
                    f'the column "{key}" is missing - PATH: line 1 - begin with a line of column titles: {NEEDED}'
                    for key in ("name", "length", "width", "per_box")
                ),
                *(
                    f'"{cell}" is not known here - PATH: line 1 - use one of {WORDS}'
                    for cell in ("ash", "48", "7", "8")
                ),
            ]
        ),
    ),
    "a title misspelt": (
        "name,length,width,per_box,box_prize\nAsh,48,7,8,60\n",
        f'"box_prize" is not known here - PATH: line 1 - did you mean "box_price"? use one of {WORDS}',
    ),
    "a title twice": (
        "name,length,width,per_box,length\nAsh,48,7,8,60\n",
        'the column "length" stands there twice - PATH: line 1 - leave one of the two out',
    ),
    "a cell missing": (
        ONE + "\nAsh,48,,8\n",
        '"width" is missing - PATH: line 3, width - give the cover width of a plank (the exposed face)',
    ),
    "a cell too many": (
        ONE + "Ash, grey,48,7,8\n",
        'found 5 cells under 4 titles - PATH: line 2 - put a text that holds the mark between columns in quotes: "..."',
    ),
    "a length in words": (
        ONE + "Ash,long,7,8\n",
        (
            '"long" is not a length - PATH: line 2, length - '
            "write it like 12' 5-1/2\", 12 ft 5 1/2 in, 149.5 in, 3.79 m or 3790 mm"
        ),
    ),
    "a count with a word": (
        ONE + "Ash,48,7,8 pcs\n",
        '"8 pcs" is not a whole number of 1 or more - PATH: line 2, per_box - give a whole number from 1 up',
    ),
    "a comma in a price": (
        "name;length;width;per_box;box_price\nAsh;48;7;8;61,50\n",
        '"61,50" is not a price - PATH: line 2, box_price - give a plain number such as 61.50, without a currency sign',
    ),
    "ends of another sort": (
        "name,length,width,per_box,ends\nAsh,48,7,8,sqare\n",
        '"sqare" is not known here - PATH: line 2, ends - did you mean "square"? use one of "handed", "square"',
    ),
    "a kerf over the plank": (
        "name,length,width,per_box,kerf\nAsh,48,7,8,50\n",
        "\"50\" is over the plank's length - PATH: line 2, kerf - make it shorter, or check the plank's length",
    ),
    "a coverage without a unit": (
        "name,length,width,per_box,box_coverage\nAsh,48,7,8,18\n",
        '"18" is not an area - PATH: line 2, box_coverage - write it like 18.67 sq ft or 2.17 m2',
    ),
    "the same name on another line": (
        ONE + '"A\nB",48,7,8\nA B,36,7,8\n',
        '"A B" is told already, at line 2, name - PATH: line 4, name - give every plank a name of its own',
    ),
    "a name that would colour the terminal": (
        ONE + "\x1b[1m,48,7,8\n",
        '"\\u001b[1m" is not a name to print - PATH: line 2, name - use 1 to 200 visible characters',
    ),
    "a quote left open": (
        ONE + 'Ash,48,7,8\n"Oak,48,7,8\n',
        (
            "this is not CSV: unexpected end of data - PATH: line 3 - "
            'mend the line; a text that begins with " ends with one, and each " within it is doubled'
        ),
    ),
    "not UTF-8": (
        ONE.encode() + b"Ash caf\xe9,48,7,8\n",
        "the file is not UTF-8 text - PATH: line 2 - save it as UTF-8 in the text editor",
    ),
    "from a spreadsheet's own encoding": (
        (ONE + "Ash,48,7,8\n").encode("utf-16"),
        "the file is not UTF-8 text - PATH: line 1 - save it as UTF-8 in the text editor",
    ),
    "too many planks": (
        ONE + "".join(f"Ash {n},48,7,8\n" for n in range(501)),
        "501 planks are too many - PATH - compare at most 500",
    ),
    "a width of threads": (
        ONE + "Ash,48,0.001,8\n",
        '184912 rows of "Ash" are too many - PATH: line 2, name - plan at most 100000 rows: check the plank\'s width and its unit',
    ),
}


@pytest.mark.parametrize(("text", "said"), WRONG_LINES.values(), ids=WRONG_LINES)
def test_a_wrong_catalogue_is_refused_word_for_word(tmp_path, text, said):
    path = catalogue(tmp_path, text)
    with pytest.raises(JobError) as caught:
        read_catalogue(path, JOB)
    assert str(caught.value) == said.replace("PATH", str(path))


WRONG_TABLES = {
    "no plank": (
        "",
        '"plank" is missing - PATH: plank - write each plank under a [[plank]] line, in double brackets',
    ),
    "one plank": (
        "[plank]\nname = 'Ash'",
        "a table is not a list - PATH: plank - write each plank under a [[plank]] line, in double brackets",
    ),
    "a wrong key": (
        PLANKS.replace("box_price", "price"),
        f'"price" is not known here - PATH: plank[1].price - did you mean "box_price"? use one of {WORDS}',
    ),
    "a unit that is none": (
        PLANKS.replace('"mm"', '"inch"'),
        '"inch" is not known here - PATH: unit - did you mean "in"? use one of "in", "ft", "mm", "cm", "m"',
    ),
    "the same name": (
        PLANKS.replace("Ash", "Oak look"),
        '"Oak look" is told already, at plank[1].name - PATH: plank[2].name - give every plank a name of its own',
    ),
    "no TOML": (
        LINES,
        (
            "this is not TOML: expected '=' after a key in a key/value pair - PATH: line 1, column 5 - "
            'mend the line; inside "..." an inch mark is written \\" and a backslash \\\\'
        ),
    ),
}


@pytest.mark.parametrize(("text", "said"), WRONG_TABLES.values(), ids=WRONG_TABLES)
def test_a_wrong_catalogue_in_toml_is_refused_word_for_word(tmp_path, text, said):
    path = catalogue(tmp_path, text, "planks.toml")
    with pytest.raises(JobError) as caught:
        read_catalogue(path, JOB)
    assert str(caught.value) == said.replace("PATH", str(path))


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("plank.csv", 'there is no such file - PATH - did you mean "planks.csv"?'),
        ("maple.toml", "there is no such file - PATH - check the name"),
        ("planks.xlsx", "this is no catalogue - PATH - name a file that ends in .toml or .csv"),
        ("folder.csv", "this is a folder - PATH - name the catalogue in it"),
    ],
)
def test_a_catalogue_that_cannot_be_opened_is_told_beside_all_else(tmp_path, name, said):
    catalogue(tmp_path, LINES)
    (tmp_path / "folder.csv").mkdir()
    job = tmp_path / "job.toml"
    job.write_text(f'{SHORT}[price]\ntax = 2\n[study]\nplanks = "{name}"\n')
    with pytest.raises(JobError) as caught:
        read_job(job)
    assert str(caught.value).splitlines() == [
        f"2 is not a share under 100 % - {job}: price.tax - {SHARE}",
        said.replace("PATH", str(tmp_path / name)),
    ]


def test_a_job_with_a_wrong_unit_does_not_blame_its_catalogue(tmp_path):
    catalogue(tmp_path, LINES)
    (tmp_path / "job.toml").write_text(SHORT.replace('"in"', '"inches"') + '[study]\nplanks = "planks.csv"\n')
    with pytest.raises(JobError) as caught:
        read_job(tmp_path / "job.toml")
    assert [problem.what for problem in caught.value.problems] == ['"inches" is not known here']


# What is varied by the command line


def test_what_texts_ask_to_be_varied():
    texts = ["stagger=6, 8 in,10-1/2", "share-rips=no", "direction = y,22.5", "kerf=0,3 mm"]
    assert vary(texts, JOB) == (
        Vary(what=Varied.STAGGER, choices=(6 * IN, 8 * IN, 21 * IN // 2)),
        Vary(what=Varied.SHARE_RIPS, choices=("no",)),
        Vary(what=Varied.DIRECTION, choices=(Fraction(90), Fraction(45, 2))),
        Vary(what=Varied.KERF, choices=(0, 960)),
    )
    assert vary([], JOB) == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("stagger", '"stagger" has no = - --vary - write it like stagger=6,8,12'),
        (
            "plank=Ash",
            (
                '"plank" cannot be varied - --vary - use one of "stagger", "min_piece", "pattern", "direction", '
                '"first_width", "kerf", "share_rips", "share_offcuts"'
            ),
        ),
        (
            "kerf=,1/8",
            (
                '"" is not a length - --vary: kerf[1] - '
                "write it like 12' 5-1/2\", 12 ft 5 1/2 in, 149.5 in, 3.79 m or 3790 mm"
            ),
        ),
        (
            "first_width=3,8",
            (
                'the first row, 8", is over the plank\'s width, 7" - --vary: first_width[2] - '
                "make it shorter, or check the plank's width"
            ),
        ),
        (
            "pattern=halves",
            '"halves" is not known here - --vary: pattern[1] - did you mean "half"? use one of "random", "half", "third"',
        ),
    ],
)
def test_texts_that_are_wrong_are_refused_word_for_word(text, said):
    with pytest.raises(JobError) as caught:
        vary([text], JOB)
    assert str(caught.value) == said


def test_a_thing_told_twice_is_refused():
    with pytest.raises(JobError) as caught:
        vary(["kerf=0", "kerf=1"], JOB)
    assert str(caught.value) == (
        '"kerf" is told twice - --vary - name all its values at once, with commas: write it like stagger=6,8,12'
    )


# Whatever stands there, a job or a refusal

KEYS = [line.partition(" =")[0] for line in TABLES.splitlines() if "=" in line]


@STEADY
@given(st.data())
def test_any_value_under_any_key_gives_a_job_or_a_refusal(data):
    keys = data.draw(st.sets(st.sampled_from(KEYS), min_size=1, max_size=4))
    values = NASTY | FLOATS | st.lists(NASTY | FLOATS, min_size=1, max_size=3)
    lines = [
        f"{key} = {as_toml(data.draw(values))}" if (key := line.partition(" =")[0]) in keys else line
        for line in TABLES.splitlines()
    ]
    refused_or_read(lambda: parse_job(SHORT + "\n".join(lines)))


def refused_or_read(read):
    try:
        read()
    except CutoptError as error:
        assert all(problem.what and problem.where and problem.remedy for problem in error.problems)  # noqa: PT017 - either end is right


@STEADY
@given(data=st.data())
def test_a_mangled_catalogue_is_read_or_refused(data, tmp_path_factory):
    folder: Path = tmp_path_factory.getbasetemp()
    text = data.draw(st.sampled_from([LINES, PLANKS])).encode()
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        junk = data.draw(
            st.sampled_from([b'"', b",", b";", b"\0", b"\xff", b"\r", b"9" * 30, b"-", b"[", b"nan"])
        )
        text = text[:at] + junk + text[at + data.draw(st.integers(0, 5)) :]
    path = catalogue(folder, text, data.draw(st.sampled_from(["planks.csv", "planks.toml"])))
    refused_or_read(lambda: read_catalogue(path, JOB))
