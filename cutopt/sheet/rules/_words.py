"""Pages of the rule book, block by block."""

from collections.abc import Iterator, Mapping, Sequence

from cutopt.model.book import Page, Saying, Usually, Why
from cutopt.model.job import SourceKind
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.sheet._sections import product_first
from cutopt.sheet._text import WIDTH, para

__all__ = ["SHORT", "book_words", "list_words", "rule_words"]

SHORT: Mapping[SourceKind, str] = {
    SourceKind.JOB: "job file",
    SourceKind.PUBLISHED: "published",
    SourceKind.MAKER: "one maker",
    SourceKind.HOW_TO: "how-to",
    SourceKind.PRACTICE: "practice",
    SourceKind.MEMORY: "memory",
    SourceKind.DERIVED: "derived",
}
"""How strong a source is, in a word."""

_ITEM = "  - "
_TEXT = "  "


def book_words(pages: Sequence[Page], always: Mapping[str, Why]) -> list[Block]:
    """Return the whole book: whose word counts, how strong sources are, every page, and what is always kept."""
    return [
        Line("The rules of a plank floor"),
        Line("=" * WIDTH),
        product_first(),
        Line(),
        para("Sources, from the strongest to the weakest:"),
        Table(tuple((SHORT[kind], meaning) for kind, meaning in _MEANINGS.items())),
        *rule_words(pages),
        *_always(always),
    ]


_MEANINGS: Mapping[SourceKind, str] = {
    SourceKind.PUBLISHED: "an association, a standard, a textbook or a trade journal",
    SourceKind.MAKER: "the instruction of one product, no general rule",
    SourceKind.HOW_TO: "an article or a blog; they contradict one another",
    SourceKind.PRACTICE: "common practice, with no source for it",
    SourceKind.MEMORY: "known in the trade, but the text was not found",
    SourceKind.DERIVED: "arithmetic or geometry, not published",
}


def rule_words(pages: Sequence[Page]) -> list[Block]:
    """Return the pages of rules: what each says, is usually, is for, who says otherwise, and what sets it."""
    return [block for page in pages for block in _page(page)]


def list_words(pages: Sequence[Page]) -> list[Block]:
    """Return all rules on a line each: name, job key and usual value."""
    rows = [(page.name, page.key, page.span) for page in pages]
    return [Table((("rule", "job key", "usual"), *rows), indent=0)]


def _page(page: Page) -> Iterator[Block]:
    yield Heading(page.name)
    yield para(page.says)
    yield from _part("Usual values", _usual(page))
    yield from _part("Why", _why(page.why))
    yield from _part("What sources say", _sayings(page.why.contradictions))
    yield from _part("To change it", _changes(page))


def _part(title: str, blocks: Iterator[Block]) -> Iterator[Block]:
    yield Line()
    yield Line(title)
    yield from blocks


def _usual(page: Page) -> Iterator[Block]:
    cited = [*dict.fromkeys((line.source, line.citation) for line in page.usual)]
    yield _table(page.usual, cited)
    for number, (source, citation) in enumerate(cited, start=1):
        yield para(f"{source}: {citation}", first=f"{_TEXT}[{number}] ")
    for note in page.notes:
        yield para(note, first=_TEXT)


def _table(lines: Sequence[Usually], cited: Sequence[tuple[SourceKind, str]]) -> Table:
    """Return usual values by kind of plank, without the column of where they hold when they all do everywhere."""
    rows = [("plank", "where", "usual", "source")]
    for line in lines:
        number = cited.index((line.source, line.citation)) + 1
        kind = "every kind" if line.kind is None else str(line.kind)
        rows.append((kind, line.when, line.value, f"{SHORT[line.source]} [{number}]"))
    if any(line.when for line in lines):
        return Table(tuple(rows))
    return Table(tuple((kind, usual, source) for kind, _, usual, source in rows))


def _why(why: Why) -> Iterator[Block]:
    yield para(f"{why.reason} ({_source(why.source, why.citation)})", first=_TEXT)


def _sayings(sayings: Sequence[Saying]) -> Iterator[Block]:
    if not sayings:
        yield para("None was met that says otherwise.", first=_TEXT)
    for saying in sayings:
        yield para(f"{saying.says} ({_source(saying.source, saying.citation)})", first=_ITEM)


def _source(kind: SourceKind, citation: str) -> str:
    return f"{SHORT[kind]}: {citation}" if citation else SHORT[kind]


def _changes(page: Page) -> Iterator[Block]:
    yield para(
        ["in", "the", "job", "file,", f"under [{page.table}]:", page.example, *f"({page.takes})".split()],
        first=_ITEM,
    )
    for option in page.options:
        yield para([option.what, *option.does.split()], first=_ITEM)
    if not any(option.what.startswith("cutopt ") for option in page.options):
        yield para("no option of a command changes it", first=_ITEM)


def _always(always: Mapping[str, Why]) -> Iterator[Block]:
    yield Heading("Always kept")
    yield para("No job key sets these.")
    for name, why in always.items():
        yield para(f"{name}: {why.reason} ({_source(why.source, why.citation)})", first=_ITEM)
