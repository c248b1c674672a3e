"""The client's page: one page whatever it tells, read back by another library."""

import re
from dataclasses import replace
from io import BytesIO

import pypdf
import pypdfium2
import pytest
from figured import figure
from hypothesis import given, settings
from hypothesis import strategies as st
from printed import pages
from test_charts import HOSTILE, SHOWN

from cutopt.drawing.charts import loss_drawing
from cutopt.model.papers import PAPER_SIZES, ClientWords
from cutopt.model.words import Heading, Labels, Line, Para, Table
from cutopt.papers import render_client

papers = pytest.mark.parametrize("paper", PAPER_SIZES)


def para(text, first=""):
    return Para(tuple(text.split()), first)


WORDS = ClientWords(
    title="House on Quay Row",
    answer="10 boxes for 184.17 sq ft of floor: 649.90",
    blocks=(
        Heading("What is ordered"),
        Labels((("planks", ("186 to lay,", "3 culls")), ("boxes", ("10 of 20 planks",)))),
        Table((("added", "boxes"), ("5 %", "9"), ("10 %", "10")), frozenset({1})),
        Line(),
        para("Rows end at the walls, and their rests begin other rows.", "- "),
        Heading("Cautions"),
        para("Old paint may hold lead.", "!! "),
    ),
)


def many(times, text="Line {} of very many that are told here."):
    return replace(WORDS, blocks=(*WORDS.blocks, *(para(text.format(nth)) for nth in range(times))))


def rendered(words, paper="letter"):
    return render_client(words, (loss_drawing(figure()),), paper)


@papers
def test_everything_told_stands_on_one_page_of_the_paper(paper):
    pdf = rendered(WORDS, paper)
    (text,) = pages(pdf)
    assert [tuple(page.get_size()) for page in pypdfium2.PdfDocument(pdf)] == [PAPER_SIZES[paper]]
    assert f"{WORDS.title} {WORDS.answer} " in text
    for told in (
        WORDS.answer,
        "rounding to boxes 9.75 sq ft, 4.5 %",
        "What is ordered",
        "planks 186 to lay, 3 culls",
        "10 % 10",
        "- Rows end at the walls, and their rests begin other rows.",
        "!! Old paint may hold lead.",
        "page 1 of 1",
    ):
        assert told in text
    assert "Left out" not in text


def sizes(pdf):
    """Return the sizes letters are set in, as they come out on paper."""
    found = set()

    def note(text, user, matrix, _font, size):
        if text.strip():
            found.add(round(size * matrix[0] * user[0], 2))

    pypdf.PdfReader(BytesIO(pdf)).pages[0].extract_text(visitor_text=note)
    return found


@papers
def test_many_words_are_set_smaller(paper):
    (text,) = pages(rendered(many(30), paper))
    assert "Line 29 of very many" in text
    assert "Left out" not in text
    assert 11 in sizes(rendered(WORDS, paper))
    assert 11 not in sizes(rendered(many(30), paper))


@papers
@pytest.mark.parametrize("times", [150, 2000])
def test_too_many_words_are_cut_and_the_page_says_so(paper, times):
    pdf = rendered(many(times), paper)
    (text,) = pages(pdf)
    (left_out,) = re.findall(r"Left out here, told in the full estimate: (\d+) lines", text)
    shown = re.findall(r"Line (\d+) of", text)
    assert [int(nth) for nth in shown] == list(range(times - int(left_out)))
    assert len(shown) > 20
    assert min(sizes(pdf)) >= 7 * 515 / 532  # the bars' letters are as on their own, on A4


def test_warnings_are_not_what_is_left_out():
    words = replace(WORDS, blocks=(*many(300).blocks, Heading("More"), para("Dust of the saw harms.", "!! ")))
    (text,) = pages(rendered(words))
    assert "!! Old paint may hold lead. !! Dust of the saw harms. What is ordered" in text
    assert "Left out" in text


def test_no_heading_stands_alone_above_the_notice():
    for times in range(40, 60, 2):
        words = many(times)
        words = replace(words, blocks=(*words.blocks, Heading("Alone"), *words.blocks))
        (text,) = pages(rendered(words))
        assert not re.search(r"Alone !! This page is full", text)


def test_a_long_title_is_cut_with_a_sign():
    (text,) = pages(rendered(replace(WORDS, title="A very long name of a house " * 30)))
    assert re.search(r"A very long name [\w ]+\.\.\. 10 boxes for", text)
    assert "Left out" not in text


TEXTS = st.one_of(st.text(max_size=40), st.sampled_from(["W" * 1000, "word " * 1000, HOSTILE, "中文 " * 200]))
BLOCKS = st.one_of(
    TEXTS.map(Heading),
    TEXTS.map(para),
    TEXTS.map(lambda text: para(text, "!! ")),
    st.tuples(TEXTS, TEXTS).map(lambda row: Labels(((row[0], tuple(row[1].split())),))),
    st.lists(st.tuples(st.text(max_size=40), st.text(max_size=40)), min_size=1, max_size=100).map(
        lambda rows: Table(tuple(rows))
    ),
)


@settings(derandomize=True, max_examples=15, deadline=None)
@given(TEXTS, TEXTS, st.lists(BLOCKS, max_size=30), st.sampled_from(sorted(PAPER_SIZES)))
def test_it_is_one_page_whatever_is_told(title, answer, blocks, paper):
    words = ClientWords(title=title, answer=answer, blocks=tuple(blocks))
    assert len(pages(rendered(words, paper))) == 1


def test_text_from_files_is_text():
    words = replace(
        WORDS, title=HOSTILE, blocks=(*WORDS.blocks, Labels(((HOSTILE, tuple(HOSTILE.split())),)))
    )
    (text,) = pages(rendered(words))
    assert text.count(SHOWN) >= 2


def test_letters_without_type_are_spelled_and_that_is_told():
    (text,) = pages(rendered(replace(WORDS, title="Haus 中")))
    assert "Haus \\u4e2d" in text
    assert "spelled by their number" in text
    assert "spelled by their number" not in pages(rendered(WORDS))[0]


def test_same_words_same_bytes():
    assert rendered(WORDS) == rendered(WORDS)
    assert rendered(many(500)) == rendered(many(500))


def test_a_page_without_a_drawing():
    (text,) = pages(render_client(WORDS, (), "a4"))
    assert "rounding to boxes" not in text
    assert "Old paint may hold lead." in text
