"""``cutopt teach`` as a person uses it: topics, explanations, exercises, keys, answers marked, and sheets to print."""

from pathlib import Path
from subprocess import CompletedProcess

import pypdfium2
import pytest
from inside import inside

from cutopt.model.teaching import Topic

ROOT = Path(__file__).parents[1]
EXERCISE = ("teach", "stair-step", "--grade", "2", "--seed", "4")


def cutopt(*arguments, stdin=""):
    done = inside(*arguments, cwd=ROOT, stdin=stdin)
    return CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


def good(*arguments, **given):
    done = cutopt(*arguments, **given)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.isascii()
    assert max(map(len, done.stdout.splitlines()), default=0) <= 80
    return done.stdout


def test_without_a_topic_all_are_listed():
    told = good("teach")
    assert [line.split()[0] for line in told.splitlines()[1:]] == list(Topic)


@pytest.mark.parametrize("topic", Topic)
def test_every_topic_is_explained_by_example(topic):
    assert len(good("teach", topic).splitlines()) > 8


@pytest.mark.parametrize("name", ["stair step", "STAIR-STEP", "stair_step"])
def test_a_topic_is_known_however_it_is_written(name):
    assert good("teach", name) == good("teach", "stair-step")


def test_an_unknown_topic_is_told_with_the_nearest():
    done = cutopt("teach", "stager")
    assert done.returncode == 2
    assert done.stderr == 'error: there is no topic "stager" - TOPIC - did you mean "stagger"?\n'


def test_the_key_answers_what_the_sheet_asks_and_its_answers_are_marked_right():
    sheet, key = good(*EXERCISE, "--exercise"), good(*EXERCISE, "--key")
    answers = [line.split("Answer: ")[1] for line in key.splitlines() if "Answer: " in line]
    assert sheet.count("____") + sheet.count("[ ] A") >= len(answers) > 1
    marked = good(*EXERCISE, "--answers", "-", stdin="# by hand\n" + "\n".join(answers) + "\n")
    assert f"{len(answers)} of {len(answers)} right." in marked
    wrong = cutopt(*EXERCISE, "--answers", "-", stdin="nothing I know\n")
    assert wrong.returncode == 1
    assert f"0 of {len(answers)} right." in wrong.stdout
    assert "Why" in wrong.stdout


def test_answers_are_asked_one_by_one():
    done = cutopt(*EXERCISE, "--ask", stdin='57"\n')
    assert done.returncode == 1
    assert done.stderr.startswith("answer 1: answer 2: ")
    assert "1 of " in done.stdout


def test_answers_that_cannot_be_read_are_told():
    done = cutopt(*EXERCISE, "--answers", "nowhere.txt")
    assert done.returncode == 3
    assert done.stderr.startswith("error: the answers cannot be read - nowhere.txt - ")


def test_a_class_gets_as_many_different_sheets_as_pages(tmp_path):
    file = tmp_path / "class.pdf"
    done = cutopt("teach", "chain", "--class", "5", "--seed", "9", "--pdf", str(file))
    assert (done.returncode, done.stdout) == (0, "")
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(file)]
    assert len(pages) == 5
    assert len(set(pages)) == 5
    assert all("Minimum piece" in page for page in pages)
    again = tmp_path / "again.pdf"
    cutopt("teach", "chain", "--class", "5", "--seed", "9", "--pdf", str(again))
    assert again.read_bytes() == file.read_bytes()
