"""Job files that are wrong: every refusal word for word, all of a file's problems in one go."""

import pytest
from job_texts import SHORT, SIZE

from cutopt.errors import JobError
from cutopt.jobfile import parse_job

PLANK_KEYS = '"kind", "length", "width", "pitch", "width_tolerance", "thickness", "per_box", "box_coverage", "box_price", "single_length", "ends", "kerf"'


def problems(text):
    with pytest.raises(JobError) as caught:
        parse_job(text, "loft.toml")
    return str(caught.value).splitlines()


NEGATIVE = "a length is 0 or more: check the sign"
ENDLESS = "give a number that a tape can show"
TOML = 'mend the line; inside "..." an inch mark is written \\" and a backslash \\\\'
NOT_A_LENGTH = "write it like 12' 5-1/2\", 12 ft 5 1/2 in, 149.5 in, 3.79 m or 3790 mm"
CORNERS = "list the corners in order round the room, each once"
ROW = "write rows = [ { length = 97.5, count = 8 } ]"

ONE_PROBLEM = {
    "inch mark in a string": (
        ("[149, 182]", '["12\' 5"", 182]'),
        f"this is not TOML: unclosed array - loft.toml: line 11, column 16 - {TOML}",
    ),
    "unclosed list": (
        ("182]", "182"),
        f"this is not TOML: unclosed array - loft.toml: line 12, the end - {TOML}",
    ),
    "twice the same key": (
        ("width = 7", "width = 7\nwidth = 8"),
        f"this is not TOML: cannot overwrite a value - loft.toml: line 7, column 10 - {TOML}",
    ),
    "unknown key": (
        ("width", "wdith"),
        (
            f'"wdith" is not known here - loft.toml: plank.wdith - did you mean "width"? use one of {PLANK_KEYS}\n'
            '"width" is missing - loft.toml: plank.width - give the cover width of a plank (the exposed face)'
        ),
    ),
    "unknown table": (
        (SIZE, f"{SIZE}\n[rule]"),
        (
            '"rule" is not known here - loft.toml: rule - did you mean "rules"? use one of "title", "unit", "plank", '
            '"rules", "order", "layout", "room", "doorway", "stop", "price", "risk", "study", "waste_table"'
        ),
    ),
    "a key that would colour the terminal": (
        (SIZE, f'{SIZE}\n"\\u001b[1m" = 3'),
        (
            '"\\u001b[1m" is not known here - loft.toml: room[1]."\\u001b[1m" - use one of "name", "size", "outline", '
            '"rows", "survey", "stations", "at", "fixed", "down", "edges"'
        ),
    ),
    "missing unit": (
        ('unit = "in"\n', ""),
        (
            '"unit" is missing, but plank.length = 48 (and 3 more) needs it - loft.toml: unit - '
            'put a line like unit = "in" at the top, or write every length with its unit'
        ),
    ),
    "missing unit, one length": (
        (
            'unit = "in"\n\n[plank]\nkind = "click vinyl"\nlength = 48\nwidth = 7',
            '[plank]\nkind = "click vinyl"\nlength = "48 in"\nwidth = "7 in"\n#',
        ),
        (
            '"unit" is missing, but room[1].size[1] = 149 (and 1 more) needs it - loft.toml: unit - '
            'put a line like unit = "in" at the top, or write every length with its unit'
        ),
    ),
    "unknown unit": (
        ('"in"', '"inches"'),
        '"inches" is not known here - loft.toml: unit - did you mean "in"? use one of "in", "ft", "mm", "cm", "m"',
    ),
    "bare fraction in feet": (
        (
            'unit = "in"\n\n[plank]\nkind = "click vinyl"\nlength = 48',
            'unit = "ft"\n\n[plank]\nkind = "click vinyl"\nlength = "1/2"',
        ),
        '"1/2" is a bare fraction in a ft job - loft.toml: plank.length - say which it is: 1/2 in or 1/2 ft',
    ),
    "unknown kind": (
        ("click vinyl", "Clik Vinyl"),
        (
            '"Clik Vinyl" is not known here - loft.toml: plank.kind - did you mean "click vinyl"? use one of '
            '"glue-down vinyl", "click vinyl", "laminate", "engineered wood", "solid strip"'
        ),
    ),
    "no kind": (
        ('kind = "click vinyl"\n', ""),
        (
            '"kind" is missing, and so are plank.ends, plank.kerf, rules.stagger, rules.min_piece, rules.h_joint, '
            "rules.stair_step, rules.gap - loft.toml: plank.kind - give the kind of plank, such as "
            '"click vinyl", whose usual rules then hold, or set all of these'
        ),
    ),
    "negative": (("48", "-48"), f"-48 is negative - loft.toml: plank.length - {NEGATIVE}"),
    "negative text": (
        ("149,", '"-149 in",'),
        f'"-149 in" is negative - loft.toml: room[1].size[1] - {NEGATIVE}',
    ),
    "zero": (("48", "0"), "0 is no length - loft.toml: plank.length - give a length above zero"),
    "less than half a tick": (
        ("48", "1e-9"),
        "1e-9 is no length - loft.toml: plank.length - give a length above zero",
    ),
    "NaN": (("48", "nan"), f"nan is not a finite number - loft.toml: plank.length - {ENDLESS}"),
    "infinite": (
        ("182", "-inf"),
        f"-infinity is not a finite number - loft.toml: room[1].size[2] - {ENDLESS}",
    ),
    "huge": (
        ("182", "1e999999"),
        "1e+999999 is over 1000 km - loft.toml: room[1].size[2] - check the number and its unit",
    ),
    "huge whole number": (
        ("182", "0x" + "f" * 5000),
        "a number of very many digits is over 1000 km - loft.toml: room[1].size[2] - check the number and its unit",
    ),
    "more digits than can be read": (
        ("182", "9" * 5000),
        "a number has very many digits - loft.toml - check the numbers",
    ),
    "nested too deep": (
        ("[149, 182]", "[" * 9999),
        "lists or tables are nested too deep - loft.toml - a job file needs three levels",
    ),
    "no planks in a box": (
        ("per_box = 8", "per_box = 0"),
        "0 is not a whole number of 1 or more - loft.toml: plank.per_box - give a whole number from 1 up",
    ),
    "part of a plank in a box": (
        ("per_box = 8", "per_box = 8.5"),
        "8.5 is not a whole number of 1 or more - loft.toml: plank.per_box - give a whole number from 1 up",
    ),
    "too many planks in a box": (
        ("per_box = 8", "per_box = 10_000_000_000"),
        "10000000000 is too many - loft.toml: plank.per_box - give a whole number from 1 up",
    ),
    "minimum piece over the plank": (
        (SIZE, f"{SIZE}\n[rules]\nmin_piece = 49"),
        (
            'the minimum piece, 49", is over the plank\'s length, 48" - loft.toml: rules.min_piece - '
            "make it shorter, or check the plank's length"
        ),
    ),
    "stagger over the pattern's offset": (
        (SIZE, f'{SIZE}\n[rules]\npattern = "third"\nstagger = "16-1/64"'),
        (
            'the stagger, 16-1/64", is over the offset of the pattern, 16" - loft.toml: rules.stagger - '
            'lower the stagger, or use pattern = "random" instead of "third"'
        ),
    ),
    "no cut step": (
        (SIZE, f"{SIZE}\n[rules]\ncut_step = 0"),
        "0 is no length - loft.toml: rules.cut_step - give a length above zero",
    ),
    "a length that is a flag": (
        (SIZE, f"{SIZE}\n[rules]\ngap = true"),
        f"true is not a length - loft.toml: rules.gap - {NOT_A_LENGTH}",
    ),
    "too few waiting": (
        (SIZE, f'{SIZE}\n[rules]\nmax_waiting = "all"'),
        (
            '"all" is not a whole number of 0 or more or "any" - loft.toml: rules.max_waiting - '
            'give a whole number from 0 up or "any"'
        ),
    ),
    "all culls": (
        (SIZE, f'{SIZE}\n[order]\nculls = "100%"'),
        '"100%" is not a share under 100 % - loft.toml: order.culls - write it like "2%" or 0.02',
    ),
    "culls as a count": (
        (SIZE, f"{SIZE}\n[order]\nculls = 2"),
        '2 is not a share under 100 % - loft.toml: order.culls - write it like "2%" or 0.02',
    ),
    "culls without end": (
        (SIZE, f"{SIZE}\n[order]\nculls = 1e999999999"),
        '1e+999999999 is not a share under 100 % - loft.toml: order.culls - write it like "2%" or 0.02',
    ),
    "price of a millionth": (
        ("per_box = 8", "per_box = 8\nbox_price = 61.000001"),
        (
            "61.000001 is not a price - loft.toml: plank.box_price - "
            "give a plain number such as 61.50, without a currency sign"
        ),
    ),
    "room by a flag": (
        (SIZE, f"{SIZE}\n[[room]]\n{SIZE}\nname = true"),
        'true is not a text - loft.toml: room[2].name - put it in quotes: "..."',
    ),
    "single length as a text": (
        ("per_box = 8", 'per_box = 8\nsingle_length = "yes"'),
        '"yes" is neither true nor false - loft.toml: plank.single_length - write true or false without quotes',
    ),
    "coverage in acres": (
        ("per_box = 8", 'per_box = 8\nbox_coverage = "3 acres"'),
        '"3 acres" is not an area - loft.toml: plank.box_coverage - write it like 18.67 sq ft or 2.17 m2',
    ),
    "price with a sign": (
        ("per_box = 8", 'per_box = 8\nbox_price = "$61"'),
        '"$61" is not a price - loft.toml: plank.box_price - give a plain number such as 61.50, without a currency sign',
    ),
    "coverage without a unit": (
        ("per_box = 8", "per_box = 8\nbox_coverage = 18.67"),
        "18.67 is not an area - loft.toml: plank.box_coverage - write it like 18.67 sq ft or 2.17 m2",
    ),
    "title with a control character": (
        ('unit = "in"', 'unit = "in"\ntitle = "a\\u001b[1m"'),
        '"a\\u001b[1m" is not a name to print - loft.toml: title - use 1 to 200 visible characters',
    ),
    "plank as a text": (
        ('[plank]\nkind = "click vinyl"\nlength = 48\nwidth = 7\nper_box = 8', 'plank = "48 x 7"'),
        '"48 x 7" is not a table - loft.toml: plank - write a [plank] table',
    ),
    "no room": (
        (f'[[room]]\nname = "Loft"\n{SIZE}', ""),
        '"room" is missing - loft.toml: room - add at least one room: a [[room]] line, then name and size',
    ),
    "room in single brackets": (
        ("[[room]]", "[room]"),
        "a table is not a list - loft.toml: room - write each room under a [[room]] line, in double brackets",
    ),
    "empty room": (
        (SIZE, ""),
        "found none of size, outline, rows, survey and stations - loft.toml: room[1] - give a room exactly one of size, outline, rows, survey and stations",
    ),
    "two shapes of a room": (
        (SIZE, f"{SIZE}\nrows = []"),
        "found size and rows - loft.toml: room[1] - give a room exactly one of size, outline, rows, survey and stations",
    ),
    "no rows": ((SIZE, "rows = []"), f"a list of 0 is empty - loft.toml: room[1].rows - {ROW}"),
    "one side": (
        (SIZE, "size = [149]"),
        "a list of 1 is not two lengths - loft.toml: room[1].size - write size = [along the rows, across the rows]",
    ),
    "size as a text": (
        (SIZE, 'size = "149 x 182"'),
        '"149 x 182" is not a list - loft.toml: room[1].size - write size = [along the rows, across the rows]',
    ),
    "same name twice": (
        (SIZE, f'{SIZE}\n[[room]]\nname = "Loft"\n{SIZE}'),
        '"Loft" is the name of room[1] too - loft.toml: room[2].name - give every room a name of its own',
    ),
    "gaps wider than the room": (
        (SIZE, "size = [149, 0.5]"),
        "the gaps at two walls leave no floor - loft.toml: room[1] - check the room's size, and rules.gap",
    ),
    "two corners": (
        (SIZE, "outline = [[0, 0], [9, 0]]"),
        "found 2 corners - loft.toml: room[1].outline - give 3 to 10000 corners",
    ),
    "corner of three": (
        (SIZE, "outline = [[0, 0], [9, 0], [9, 9, 9]]"),
        (
            "a list of 3 is not a corner - loft.toml: room[1].outline[3] - "
            "write outline = [[0, 0], [149, 0], [149, 96]], corners in order"
        ),
    ),
    "outline that crosses itself": (
        (SIZE, "outline = [[0, 0], [99, 99], [99, 0], [0, 99]]"),
        f"wall 1-2 and wall 3-4 cross, touch or double back - loft.toml: room[1].outline - {CORNERS}",
    ),
    "outline that doubles back": (
        (SIZE, "outline = [[0, 0], [99, 0], [99, 50], [120, 50], [99, 50.0], [99, 99]]"),
        f"wall 2-3 and wall 4-5 cross, touch or double back - loft.toml: room[1].outline - {CORNERS}",
    ),
    "outline with a spike": (
        (SIZE, "outline = [[0, 0], [99, 0], [99, 99], [99, 50], [0, 50]]"),
        f"wall 2-3 and wall 3-4 cross, touch or double back - loft.toml: room[1].outline - {CORNERS}",
    ),
    "outline that touches itself by a hair": (
        (SIZE, "outline = [[0, 0], [99, 0], [50, 60], [99, 99], [0, 99], [50, 60]]"),
        f"wall 2-3 and wall 5-6 cross, touch or double back - loft.toml: room[1].outline - {CORNERS}",
    ),
    "outline on one line": (
        (SIZE, "outline = [[0, 0], [50, 0], [99, 0]]"),
        f"wall 1-2 and wall 3-1 cross, touch or double back - loft.toml: room[1].outline - {CORNERS}",
    ),
    "first corner given again": (
        (SIZE, "outline = [[0, 0], [99, 0], [99, 99], [0, 0]]"),
        f"corners 4 and 1 are the same - loft.toml: room[1].outline - {CORNERS}",
    ),
    "row without a length": (
        (SIZE, "rows = [{ count = 3 }]"),
        "found neither length nor runs - loft.toml: room[1].rows[1] - give a row its length, or its runs, not both",
    ),
    "row as a number": ((SIZE, "rows = [97]"), f"97 is not a table - loft.toml: room[1].rows[1] - {ROW}"),
    "row wider than a plank": (
        (SIZE, "rows = [{ length = 9 }, { length = 9, width = 7.5 }]"),
        (
            "the row's width, 7-1/2\", is over the plank's, 7\" - loft.toml: room[1].rows[2].width - "
            "a row is one plank wide at most: leave width out for a whole one"
        ),
    ),
    "run without an offset": (
        (SIZE, "rows = [{ runs = [{ length = 9 }] }]"),
        (
            '"offset" is missing - loft.toml: room[1].rows[1].runs[1].offset - '
            "say where the run starts, from a line common to all rows"
        ),
    ),
    "two runs without an offset": (  # once a crash: the overlap was laid to an offset that was not there
        (SIZE, "rows = [{ runs = [{ offset = 0, length = 9 }, { length = 9 }] }]"),
        (
            '"offset" is missing - loft.toml: room[1].rows[1].runs[2].offset - '
            "say where the run starts, from a line common to all rows"
        ),
    ),
    "runs that overlap": (
        (SIZE, "rows = [{ runs = [{ offset = 39, length = 9 }, { offset = 0, length = 40 }] }]"),
        (
            "39 lies within room[1].rows[1].runs[2] - loft.toml: room[1].rows[1].runs[1].offset - "
            "runs of one row lie side by side: check offset and length"
        ),
    ),
    "offset beside runs": (
        (SIZE, "rows = [{ offset = 1, runs = [{ offset = 0, length = 9 }] }]"),
        "1 stands beside runs - loft.toml: room[1].rows[1].offset - give each run its own offset",
    ),
    "more than 100,000 rows": (
        (SIZE, "rows = [{ length = 90, count = 60_000 }, { length = 91, count = 40_001 }]"),
        "100001 rows in all are too many - loft.toml: room - plan at most 100000 rows: check sizes, counts and units",
    ),
    "more than 100,000 rows by size": (
        (SIZE, "size = [149, 700_001]"),
        "100001 rows in all are too many - loft.toml: room - plan at most 100000 rows: check sizes, counts and units",
    ),
}


@pytest.mark.parametrize(("change", "message"), ONE_PROBLEM.values(), ids=ONE_PROBLEM)
def test_a_wrong_file_is_refused_word_for_word(change, message):
    assert change[0] in SHORT
    assert problems(SHORT.replace(*change)) == message.splitlines()


def test_all_problems_come_in_one_go():
    text = """\
unit = "in"
[plank]
kind = "laminat"
length = -48
width = "7,5"
per_box = 0
[rules]
min_peice = 6
pattern = 3
[[room]]
size = ["a", 100]
[[room]]
rows = [{ length = 10 }, { length = 0, count = -1 }]
"""
    assert problems(text) == [
        (
            '"laminat" is not known here - loft.toml: plank.kind - did you mean "laminate"? use one of "glue-down vinyl", '
            '"click vinyl", "laminate", "engineered wood", "solid strip"'
        ),
        f"-48 is negative - loft.toml: plank.length - {NEGATIVE}",
        (
            '"7,5" has a comma - loft.toml: plank.width - '
            "write decimals with a point and thousands without a mark: 3.79 m, 3790 mm"
        ),
        "0 is not a whole number of 1 or more - loft.toml: plank.per_box - give a whole number from 1 up",
        (
            '"min_peice" is not known here - loft.toml: rules.min_peice - did you mean "min_piece"? use one of "stagger", '
            '"min_piece", "h_joint", "stair_step", "min_rip", "gap", "pattern", "cut_step", "max_waiting", "fit", "lay", '
            '"share_offcuts", "share_rips"'
        ),
        '3 is not known here - loft.toml: rules.pattern - use one of "random", "half", "third"',
        f'"a" is not a length - loft.toml: room[1].size[1] - {NOT_A_LENGTH}',
        "-1 is not a whole number of 1 or more - loft.toml: room[2].rows[2].count - give a whole number from 1 up",
        "0 is no length - loft.toml: room[2].rows[2].length - give a length above zero",
    ]


def test_an_empty_file_names_what_it_needs():
    assert problems("") == [
        '"plank" is missing - loft.toml: plank - describe the plank in a [plank] table: kind, length, width, per_box',
        '"room" is missing - loft.toml: room - add at least one room: a [[room]] line, then name and size',
    ]
