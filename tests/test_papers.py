"""The papers as PDF: read back and held against the plan."""

import re
import time
from collections import defaultdict
from dataclasses import replace
from io import BytesIO

import pypdf
import pypdfium2
import pytest
from inside import inside as cutopt
from printed import CASES, by_row, case, made_anew, pages, papers_of, part, pieces_on
from reportlab.graphics.shapes import String
from test_sheet_setout import furnished

from cutopt.drawing import drawings
from cutopt.model.floor import Floor
from cutopt.model.job import AS_USUAL, Job, Lay
from cutopt.model.papers import PAPER_SIZES
from cutopt.model.plan import CutPlank
from cutopt.papers import render_pdf
from cutopt.papers._bands import Space, Text
from cutopt.papers._faces import refaced
from cutopt.papers._rows import row_blocks
from cutopt.papers._type import text_width, wrapped
from cutopt.setout import set_out
from cutopt.sheet import Besides, paper_words
from cutopt.sheet._cuts import spots
from cutopt.units import Unit, format_length, parse_length

NAMES = [path.name for path in CASES]
SOME = "turned_and_singles"
NASTY = "<img onerror=alert(1)> &amp; </para> <b>\x07\u202e"
every_case = pytest.mark.parametrize("name", NAMES)


def shown(plan, length):
    return format_length(length, plan.unit, plan.rules.cut_step)


def drawn():
    """Return a furnished parlour that has a place, with its job, its floor and what is set out."""
    plan = furnished().plan()
    planks = defaultdict(list)
    for row in plan.rows:
        for piece in row.pieces:
            planks[piece.plank].append(piece.id)
    cut = tuple(CutPlank(plank=plank, pieces=tuple(ids)) for plank, ids in planks.items())
    plan = replace(plan, planks=cut)
    job = Job(
        title=plan.title, unit=plan.unit, plank=plan.plank, rules=plan.rules, order=plan.order, rooms=()
    )
    floor = Floor(runs=tuple(row.run for row in plan.rows), ground=plan.ground)
    return plan, job, floor, Besides(setout=set_out(plan, AS_USUAL))


@every_case
def test_every_piece_stands_once_in_the_cut_sheet_with_its_length_and_plank(name):
    plan, job, floor = case(name)
    sheet = part(pages(papers_of(plan, job, floor)), "Cut sheet")
    wanted = [
        (piece.id, shown(plan, piece.length), piece.plank)
        for row in plan.rows
        for piece in (row.pieces[::-1] if plan.rules.lay is Lay.RIGHT_TO_LEFT else row.pieces)
    ]
    assert [piece for text in sheet for piece in pieces_on(text)] == wanted


@every_case
def test_no_row_is_parted_by_a_page(name):
    plan, job, floor = case(name)
    sheet = part(pages(papers_of(plan, job, floor)), "Cut sheet")
    found = by_row(sheet)
    assert {row: [len(pieces_on(text)) for text in texts] for row, texts in found.items()} == {
        row.pieces[0].id.rpartition(".")[0]: [len(row.pieces)] for row in plan.rows
    }


@every_case
def test_cover_has_title_answer_order_rules_and_cautions(name):
    plan, job, floor = case(name)
    texts = pages(papers_of(plan, job, floor))
    cover = " ".join(texts[: texts.index(part(texts, "Cut sheet")[0])])
    boxes = f"{plan.totals.boxes} {'box' if plan.totals.boxes == 1 else 'boxes'}"
    assert cover.startswith(" ".join(job.title.split())[:20]) or name == "hostile_names"
    assert f"{boxes} to order, {plan.totals.planks} plank" in cover
    assert f"a box, rounded up: {boxes}" in cover
    for word in (
        *{run.field for run in floor.runs},
        "asbestos",
        "lead",
        "silica",
        "too heavy",
        "local codes",
    ):
        assert name == "hostile_names" or word in cover
    for assumption in job.assumptions:
        assert assumption.key == "rules.share_rips" or assumption.name in cover
        assert assumption.key == "rules.share_rips" or " ".join(assumption.citation.split()) in cover


@every_case
@pytest.mark.parametrize("paper", PAPER_SIZES)
def test_pages_are_numbered_and_of_one_paper(name, paper):
    plan, job, floor = case(name)
    pdf = papers_of(plan, job, floor, paper=paper)
    texts = pages(pdf)
    assert [re.findall(r"page \d+ of \d+", text) for text in texts] == [
        [f"page {nth} of {len(texts)}"] for nth in range(1, len(texts) + 1)
    ]
    sizes = {tuple(sorted(map(round, page.get_size()))) for page in pypdfium2.PdfDocument(pdf)}
    assert sizes == {PAPER_SIZES[paper]}


def test_paper_goes_with_the_unit():
    for name, paper in (("millimetres_outline", "a4"), (SOME, "letter")):
        assert papers_of(*case(name)) == papers_of(*case(name), paper=paper)


@every_case
def test_cutting_list_has_every_cut_under_its_mark(name):
    plan, job, floor = case(name)
    words = paper_words(plan, job, floor)
    where = spots(plan)
    cut = {name: spot for name, spot in where.items() if not (spot.uncut or spot.exact)}
    told = {found.piece: setting for setting in words.settings for found in setting.cuts}
    assert sorted(told) == sorted(cut)
    for piece, setting in told.items():
        assert setting.mark.split(" and ")[-1] in (
            shown(plan, cut[piece].far),
            shown(plan, cut[piece].piece.length),
        )
    marks = [(setting.mark, setting.end) for setting in words.settings]
    assert len(set(marks)) == len(marks)
    printed = " ".join(part(pages(papers_of(plan, job, floor)), "Cutting list"))
    assert all(
        re.search(rf"(?<!\S){re.escape(piece)} plank {cut[piece].piece.plank}\b", printed) for piece in cut
    )


@every_case
def test_racking_list_adds_up_to_the_rows(name):
    plan, job, floor = case(name)
    found = by_row(part(pages(papers_of(plan, job, floor)), "Racking list"))
    for row in plan.rows:
        (text,) = found[row.pieces[0].id.rpartition(".")[0]]
        total = 0
        for item in text.split(" + "):
            if whole := re.match(r"(\d+) whole", item):
                total += int(whole[1]) * plan.plank.length
            else:
                length = re.match(r"~?((\d+' )?[\d/.-]+( mm| cm| m|\"))", item)
                total += parse_length(length[1])
        assert abs(total - row.run.length) <= plan.rules.cut_step * len(row.pieces)


def test_setting_out_and_the_drawing_stand_where_there_is_a_place():
    plan, job, floor, besides = drawn()
    texts = pages(papers_of(plan, job, floor, besides=besides))
    assert "Base line" in " ".join(part(texts, "Setting out"))
    assert any("working line" in text or "fixed thing" in text for text in texts if "Sheet 1 of" in text)
    assert "heater's own sheet" in " ".join(texts[:3])
    assert not part(pages(papers_of(*case("feet_and_inches"))), "Setting out")


def test_text_from_the_job_file_is_shown_as_text():
    plan, job, floor = case(SOME)
    rows = tuple(replace(row, run=replace(row.run, room=NASTY, field=NASTY)) for row in plan.rows)
    pdf = papers_of(replace(plan, title=NASTY, rows=rows), job, floor)
    told = "<img onerror=alert(1)> &amp; </para> <b>\\x07\\u202e"
    texts = pages(pdf)
    assert texts[0].startswith(f"{told} ")
    assert told in part(texts, "Cut sheet")[0]
    assert pypdf.PdfReader(BytesIO(pdf)).metadata.title == told


def test_other_letters_are_set_and_those_without_type_spelled():
    plan, job, floor = case(SOME)
    title = "Łódź, Ελλάδα Жук «é»"
    texts = pages(papers_of(replace(plan, title=title), job, floor))
    assert texts[0].startswith(f"{title} ")
    assert not any("spelled by their number" in text for text in texts)
    texts = pages(papers_of(replace(plan, title="中 Saal \U0001f600"), job, floor))
    assert texts[0].startswith("\\u4e2d Saal \\U0001f600 ")
    assert any("spelled by their number" in text for text in texts)


def test_letters_on_the_drawing_are_those_of_the_names():
    plan, job, floor, besides = drawn()
    rooms = tuple(replace(room, name="Żółta sień") for room in plan.ground.rooms)
    ground = replace(plan.ground, rooms=rooms)
    texts = pages(papers_of(replace(plan, ground=ground), job, floor, besides=besides))
    assert any("Żółta sień" in text for text in texts if "Sheet 1 of" in text)


def test_letters_spelled_on_the_drawing_stay_readable_in_their_room():
    plan, job, floor = case("hostile_names")
    texts = [text for text in pages(papers_of(plan, job, floor)) if "Sheet 1 of" in text]
    assert "\\u90e8" in texts[0]
    assert "..." in texts[0]
    short = drawings(plan)[0]
    for group in refaced(short).contents:
        assert all(string.fontSize >= 4 for string in strings(group))


def strings(node):
    if isinstance(node, String):
        yield node
    for inner in getattr(node, "contents", ()):
        yield from strings(inner)


def test_rows_of_rooms_that_take_turns_are_told_with_their_room():
    plan, job, floor = case("rooms_sharing_offcuts")
    words = paper_words(plan, job, floor)
    turns = [replace(row, room=("Hall", "Den")[nth % 2]) for nth, row in enumerate(words.rows)]
    found = by_row(part(pages(render_pdf(replace(words, rows=tuple(turns)), (), "a4")), "Cut sheet"))
    assert all(found[row.name][0].startswith(f"{row.room}: {row.size}") for row in turns)
    (first,) = [text for text in pages(papers_of(plan, job, floor)) if " Row 1 " in text and "1.1" in text]
    assert f"{words.rows[0].room} Row 1 {words.rows[0].size}" in first


def test_breaches_stand_with_their_row():
    plan, job, floor = case(SOME)
    row = plan.rows[2].run.row
    texts = pages(papers_of(plan, job, floor, breaches={row: ["joints 2 in apart"]}))
    assert "BEST EFFORT" in texts[0]
    (told,) = by_row(part(texts, "Cut sheet"))[str(row)]
    assert "!! joints 2 in apart" in told
    assert sum("!! joints" in text for text in texts) == 1
    assert "BEST EFFORT" not in " ".join(pages(papers_of(plan, job, floor)))


@every_case
def test_same_plan_same_bytes(name):
    plan, job, floor = case(name)
    assert made_anew(paper_words(plan, job, floor), plan) == papers_of(plan, job, floor)


def lengthened(words, *, rows=1, pieces=1):
    """Return words with rows and their pieces again and again, under new names."""
    plain = words.rows[1]
    longer = tuple(
        replace(piece, id=f"{{}}.{nth + turn * len(plain.pieces)}")
        for turn in range(pieces)
        for nth, piece in enumerate(plain.pieces, 1)
    )
    return replace(
        words,
        rows=tuple(
            replace(
                plain,
                name=str(row),
                pieces=tuple(replace(piece, id=piece.id.format(row)) for piece in longer),
            )
            for row in range(1, rows + 1)
        ),
    )


def test_row_longer_than_a_page_goes_on_under_its_name():
    words = lengthened(paper_words(*case(SOME)), rows=3, pieces=40)
    found = by_row(part(pages(render_pdf(words, (), "a4")), "Cut sheet"))
    for row, texts in found.items():
        assert len(texts) > 1
        ids = [piece[0] for text in texts for piece in pieces_on(text)]
        assert ids == [piece.id for piece in words.rows[int(row) - 1].pieces]


def test_three_hundred_rows_are_soon_made_and_small():
    words = lengthened(paper_words(*case(SOME)), rows=300, pieces=2)
    started = time.process_time()
    pdf = render_pdf(words, (), "letter")
    assert time.process_time() - started < 5
    assert len(pdf) < 5_000_000
    assert len(by_row(part(pages(pdf), "Cut sheet"))) == 300


@pytest.mark.parametrize("unit", Unit)
@every_case
def test_lengths_are_large_and_nothing_runs_off_the_page(name, unit):
    plan, job, floor = case(name)
    words = paper_words(replace(plan, unit=unit), job, floor)
    space = Space(515, 742)
    for block in row_blocks(words, space):
        marks = [
            mark for band in (*block.head, *block.bands) for mark in band.marks if isinstance(mark, Text)
        ]
        lengths = {piece.length for row in words.rows for piece in row.pieces}
        assert all(mark.size >= 12 for mark in marks if mark.text in lengths)
        for mark in marks:
            wide = text_width(mark.text, mark.size, bold=mark.bold)
            assert (mark.x if mark.right else mark.x + wide) <= space.width + 0.1


def test_fractions_are_set_as_fractions_and_found_as_written():
    assert text_width('33-15/16"', 18) < text_width("33-", 18) + text_width('15/16"', 18)
    assert text_width("1/3", 18) == text_width("1", 18) + text_width("/", 18) + text_width("3", 18)


def test_words_too_long_for_a_line_are_parted():
    lines = wrapped(["W" * 300, "and", "more"], 100, 11)
    assert "".join(lines[:-1]) + lines[-1] == "W" * 300 + " and more"
    assert all(text_width(line, 11) <= 100.1 for line in lines)


def test_drawings_are_pages_of_their_own_and_to_scale():
    plan, _, _, _ = drawn()
    sheets = drawings(plan)
    assert {tuple(sorted((sheet.width, sheet.height))) for sheet in sheets} == {PAPER_SIZES["letter"]}


def test_the_command_writes_papers_to_a_file_or_stdout(tmp_path):
    job = CASES[NAMES.index(SOME)] / "job.toml"
    once = cutopt("plan", job, "--pdf", "papers.pdf", "--quiet", "--searches", 1, cwd=tmp_path)
    assert once.returncode == 0
    twice = cutopt("plan", job, "--pdf", "-", "--searches", 1, "--paper", "letter", cwd=tmp_path)
    assert twice.stdout.startswith(b"%PDF-")
    assert (tmp_path / "papers.pdf").read_bytes() == twice.stdout
    assert pages(twice.stdout)[0]
