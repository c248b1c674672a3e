"""Papers of plans, and their text read back page by page."""

import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import pypdfium2

from cutopt.drawing import drawings
from cutopt.jobfile import read_job
from cutopt.layout import lay_out
from cutopt.model.papers import usual_paper
from cutopt.papers import render_pdf
from cutopt.planfile import read_plan
from cutopt.sheet import paper_words

CASES = sorted(path for path in (Path(__file__).parent / "data" / "sheets").iterdir() if path.is_dir())
PIECE = re.compile(
    r"(?<!\S)(?P<id>\d+[a-z]*\.\d+) (?:(?P<what>starter|end piece|single) (?P<length>[^,]+?) plank (?P<plank>\d+), "
    r"|whole (?P<long>[^,]+?), plank (?P<of>\d+)(?=\s))"
)


@cache
def case(name):
    """Return a stored plan with its job and floor; the plan has no place."""
    folder = next(path for path in CASES if path.name == name)
    job = read_job(folder / "job.toml")
    return read_plan(folder / "plan.json"), job, lay_out(job)


def papers_of(plan, job, floor, *, paper=None, **more):
    """Return the papers of a plan, made once for all tests: the same plan gives the same bytes, as one of them says."""
    return _made_once(paper_words(plan, job, floor, **more), plan, paper)


def made_anew(words, plan, paper=None):
    return render_pdf(words, drawings(plan, (), paper), paper or usual_paper(plan.unit))


_made_once = cache(made_anew)


@cache
def pages(pdf):
    """Return the text of every page on one line."""
    document = pypdfium2.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def part(texts, name):
    """Return the pages of one part of the papers, by what stands at their heads."""
    return [text for text in texts if re.search(rf" {name}(: rows? \S+( to \S+)?)? The product's own", text)]


def pieces_on(text):
    """Return the pieces told of on a page of the cut sheet: id, length in words, plank."""
    return [
        (found["id"], found["length"] or found["long"], int(found["plank"] or found["of"]))
        for found in PIECE.finditer(text)
    ]


def by_row(texts):
    """Return, by the name of a row, what follows it on the pages of the cut sheet."""
    found = {}
    for text in texts:
        starts = [*re.finditer(r"(?<!\S)Row (\S+) ", text)]
        for start, stop in pairwise([*starts, None]):
            found.setdefault(start[1], []).append(text[start.end() : stop.start() if stop else len(text)])
    return found
