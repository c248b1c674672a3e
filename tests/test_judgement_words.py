"""A judgement in words and as JSON: what is told, within 80 columns, and that both tell the same."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest
from judged import WHY, judgement, laid, ticks

from cutopt.model.job import Pattern
from cutopt.model.judgement import Breach, Habits, RuleVerdict
from cutopt.sheet import printed
from cutopt.sheet.judgement import judgement_json, judgement_words
from cutopt.units import Unit

HOSTILE = "\x1b[31m\u202e<b>\r\n" + "x" * 200


def told(found, *, strict=False, picture="", unit=Unit.IN, why=WHY):
    return printed(judgement_words(found, unit, why, strict=strict, picture=picture))


def section(lines, title):
    """Return the lines of a section without its heading."""
    start = lines.index(title.upper()) + 2
    ends = [nth - 1 for nth, line in enumerate(lines) if nth > start and set(line) == {"-"}]
    return "\n".join(lines[start : min(ends, default=len(lines) + 1) - 1]).strip("\n")


def test_the_verdict_comes_first():
    lines = told(judgement())
    assert lines[:4] == [
        "Back bedroom",
        "=" * 80,
        "Broken in 4 places: H-joint 1, stagger 1, minimum piece 1, waiting offcuts 1. 1",
        "remark besides, no breach unless judged strictly. 1 rule could not be judged.",
    ]


@pytest.mark.parametrize(
    ("breaches", "untold", "strict", "verdict"),
    [
        ((), "", False, "Kept: every rule."),
        ((), "no planks", True, "Kept: every rule that could be judged. 1 rule could not be judged."),
        (("remark",), "", False, "Kept: every rule. 1 remark besides, no breach unless judged strictly."),
        (("remark",), "", True, "Broken in 1 place: offcuts 1."),
        (("must", "remark"), "", False, "Broken in 1 place: offcuts 1. 1 remark besides,"),
        (("must", "remark"), "", True, "Broken in 2 places: offcuts 2."),
    ],
)
def test_remarks_count_when_judged_strictly(breaches, untold, strict, verdict):
    listed = tuple(
        Breach(number=nth, rule="offcuts", words="w", rows=(1,), must=kind == "must")
        for nth, kind in enumerate(breaches, 1)
    )
    found = judgement(breaches=listed, verdicts=(RuleVerdict(rule="offcuts", untold=untold),))
    assert " ".join(told(found, strict=strict)[2:]).startswith(verdict)


def test_a_breach_tells_its_place_figures_reason_and_mend():
    assert (
        "(2) stagger: joints of neighbouring rows are too close\n"
        '    Rows 4 and 5, 61" from the left end of row 5\n'
        '    Found 4", wanted at least 6", off by 2"\n'
        '    Mend: start row 5 at 21" instead of 13"; also mends 1 more; takes 1 fresh\n'
        "    plank.\n"
        "    Why: Joints side by side leave one weak line across several rows.\n"
        "    Source: trade handbook, chapter on floating floors\n"
    ) in section(told(judgement()), "What is broken")


def test_places_without_a_length():
    text = section(told(judgement()), "What is broken")
    assert "(3) minimum piece: the starter is too short\n    At the left end of row 6\n" in text
    assert "(4) minimum rip (remark): a row is narrower than the minimum rip\n    Row 7\n" in text
    assert text.endswith(
        "(5) waiting offcuts: too many planks wait\n    The whole floor\n    Found 7, wanted at most 6"
    )


def test_a_second_run_is_named():
    breach = Breach(number=1, rule="stagger", words="w", rows=(3, 4), row=4, run=2, place=ticks("97/2"))
    assert '    Rows 3 and 4, 48-1/2" from the left end of run 2 of row 4' in told(
        judgement(breaches=(breach,))
    )


def test_lengths_are_in_the_unit_asked_for():
    assert '61"' not in "\n".join(line for line in told(judgement(), unit=Unit.CM) if "left end" in line)
    assert "    Rows 4 and 5, 154.94 cm from the left end of row 5" in told(judgement(), unit=Unit.CM)


def test_why_is_told_once_a_rule():
    first = judgement().breaches[1]
    twice = tuple(replace(first, number=nth) for nth in (1, 2, 3))
    text = "\n".join(told(judgement(breaches=twice)))
    assert text.count("Why:") == text.count("Source:") == 1
    assert text.index("(1) ") < text.index("Why:") < text.index("(2) ")


def test_every_rule_has_its_verdict():
    assert section(told(judgement()), "Rule by rule").splitlines() == [
        "  stagger          broken once",
        "  H-joint          broken once",
        "  stair-step       kept",
        "  minimum piece    broken once",
        "  minimum rip      kept, 1 remark",
        "  waiting offcuts  broken once",
        "  offcuts          not judged: which plank each piece is cut from is not told",
    ]
    assert "  minimum rip      broken once" in told(judgement(), strict=True)


def test_habits_say_what_their_figures_mean():
    text = " ".join(section(told(judgement()), "Habits").split())
    assert "- Rows 5 to 6: all starters short." in text
    assert "- From row 2 on the joints come again every 2 rows, 2 times over" in text
    assert '- 37.5 % of the joint pairs in neighbouring rows are closer than 9", one and a half' in text
    assert "are 0.25 regular (0 as even as chance makes them, 1 one shift throughout): no pattern" in text
    assert "- 14.3 % of the rows have their joints where a row up to three before has them: few" in text


@pytest.mark.parametrize(
    ("share", "meaning"),
    [
        (Fraction(0), "no pattern shows."),
        (Fraction(1, 2), "rows lean to one shift."),
        (Fraction(1), "one shift rules, and a pattern shows."),
    ],
)
def test_regularity_is_read(share, meaning):
    found = judgement(habits=Habits(regularity=share))
    assert meaning in section(told(found), "Habits")
    plan = laid()
    half = replace(plan, rules=replace(plan.rules, pattern=Pattern.HALF))
    patterned = " ".join(section(told(replace(found, plan=half)), "Habits").split())
    assert f"{meaning.removesuffix('.')} (the half pattern asks for one)." in patterned


def test_nothing_is_said_of_habits_that_could_not_be_measured():
    assert "HABITS" not in told(judgement(habits=Habits()))


def test_the_best_stands_beside_the_layout():
    assert section(told(judgement()), "Against the best").splitlines() == [
        "                       this layout  best known",
        "  planks opened                 27          21",
        "  waste                     29.0 %       4.0 %",
        "  most planks waiting            1           3",
        "  cuts                          13          12",
        "  - 6 planks more than needed: 21 is the fewest known for these rows and rules;",
        "    none needs fewer than 20.",
        "  - Row 3 is the first that opened a plank though one waiting would have done:",
        '    the 31" left of plank 5.',
        "  - The best plan pays for its planks with more planks waiting.",
    ]


@pytest.mark.parametrize(
    ("planks", "words"),
    [
        (21, "As few planks as the best plan: 21 is proven the fewest for these rows and rules."),
        (22, "1 plank more than needed: 21 is proven the fewest for these rows and rules."),
        (20, "1 plank fewer than the best plan that keeps the rules: 21 is proven the fewest"),
    ],
)
def test_a_proven_best_is_called_so(planks, words):
    best = replace(judgement().best, planks=planks, bound=21, first_saved=None)
    assert words in " ".join(section(told(judgement(best=best)), "Against the best").split())


def test_the_picture_is_set_as_it_is():
    lines = told(judgement(), picture="2 |__|\n    (1)\n")
    assert lines[lines.index("2 |__|") - 1 :][:3] == ["", "2 |__|", "    (1)"]


def test_own_words_are_ascii_within_80_columns():
    lines = told(judgement(), picture="1 |__|\n")
    assert all(line.isascii() and len(line) <= 80 and line == line.rstrip() for line in lines)


def hostile():
    """Return a judgement with bad text wherever a text may come from outside."""
    found = judgement()
    bad = replace(
        found.breaches[1], rule=HOSTILE, words=HOSTILE, found=HOSTILE, wanted=HOSTILE, short=HOSTILE
    )
    return replace(
        found,
        plan=replace(found.plan, title=HOSTILE),
        breaches=(bad, *found.breaches[2:]),
        verdicts=(RuleVerdict(rule=HOSTILE, untold=HOSTILE), *found.verdicts),
        habits=replace(found.habits, clusters=((1, 2, HOSTILE),)),
        best=replace(found.best, saved_by=HOSTILE),
    )


def test_text_from_outside_is_shown_as_text():
    lines = told(hostile(), why={HOSTILE: (HOSTILE, HOSTILE)})
    assert all(line.isprintable() and len(line) <= 80 for line in lines)
    assert r"\x1b[31m\u202e<b>" in lines[0]


def test_json_holds_the_same():
    found = judgement()
    data = json.loads(judgement_json(found, WHY))
    assert (data["title"], data["unit"], data["kept"]) == ("Back bedroom", "in", found.kept)
    assert [one["number"] for one in data["breaches"]] == [1, 2, 3, 4, 5]
    lines = told(found)
    for one, breach in zip(data["breaches"], found.breaches, strict=True):
        assert (one["rule"], one["words"], one["found"]) == (breach.rule, breach.words, breach.found)
        assert f"    {one['where'][:1].upper()}{one['where'][1:]}" in lines
    assert data["breaches"][1]["place"] == {"ticks": ticks(61), "words": '61"'}
    assert data["breaches"][3]["place"] is None
    mend = data["breaches"][1]["mend"]
    assert mend["before"] == {"ticks": ticks(13), "words": '13"'}
    assert mend["after"] == {"ticks": ticks(21), "words": '21"'}
    assert f"Mend: {mend['words']}." in " ".join(" ".join(lines).split())
    verdicts = {rule["rule"]: (rule["verdict"], rule["broken"], rule["remarks"]) for rule in data["rules"]}
    assert verdicts == {
        "stagger": ("broken", 1, 0),
        "H-joint": ("broken", 1, 0),
        "stair-step": ("kept", 0, 0),
        "minimum piece": ("broken", 1, 0),
        "minimum rip": ("kept", 0, 1),
        "waiting offcuts": ("broken", 1, 0),
        "offcuts": ("not judged", 0, 0),
    }
    assert (data["rules"][0]["why"], data["rules"][0]["source"]) == WHY["stagger"]
    assert data["habits"]["near"] == {"fraction": "3/8", "words": "37.5 %"}
    assert data["best"]["layout"]["waste"] == {"fraction": "29/100", "words": "29.0 %"}
    assert (data["best"]["proven"], data["best"]["first_saved"]) == (False, 3)


def test_keys_of_json_are_the_same_whatever_is_known():
    full = json.loads(judgement_json(judgement(), WHY))
    bare = json.loads(judgement_json(judgement(breaches=(), habits=Habits(), best=None), {}))
    assert list(full) == list(bare)
    assert list(full["habits"]) == list(bare["habits"])
    assert [list(rule) for rule in full["rules"]] == [list(rule) for rule in bare["rules"]]
    assert len({tuple(one) for one in full["breaches"]}) == 1


def test_json_of_hostile_text_is_ascii_and_reads_back():
    text = judgement_json(hostile(), {HOSTILE: (HOSTILE, HOSTILE)})
    assert text.isascii()
    assert text.replace("\n", "").isprintable()
    data = json.loads(text)
    assert data["title"] == data["breaches"][0]["rule"] == data["rules"][0]["why"] == HOSTILE
