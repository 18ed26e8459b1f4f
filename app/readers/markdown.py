"""A publication as Markdown (CommonMark, with the pipe tables that most readers of it know)."""

import re
from collections.abc import Iterator, Sequence

from app.formats import JOINED
from app.readers.publication import Part, Publication, Table

MARKS = re.compile(r"[\\`*_\[\]<>|~#&$]")
# What begins a list, a heading or a rule where it stands first in its line.
FIRST = re.compile(r"^([-+=:]|\d{1,9}(?=[.)]))")


def as_markdown(publication: Publication, level: int = 1) -> str:
    """The title as a heading of `level`, its parts one below."""
    return "\n".join(_lines(publication, level)).replace(JOINED, " ").strip() + "\n"


def escaped(text: str) -> str:
    """Text in one line that no mark of Markdown or HTML changes.

    >>> escaped("1. *not* a <list>")
    '1\\\\. \\\\*not\\\\* a \\\\<list\\\\>'
    """
    line = " ".join(MARKS.sub(r"\\\g<0>", text).split())
    return FIRST.sub(_unlisted, line)


def _unlisted(start: re.Match[str]) -> str:
    """A digit cannot be escaped, so the dot or bracket behind a number is."""
    mark = start[0]
    return f"{mark}\\" if mark.isdigit() else f"\\{mark}"


def _lines(publication: Publication, level: int) -> Iterator[str]:
    yield from (f"{'#' * level} {escaped(publication.title)}", "")
    for paragraph in publication.paragraphs:
        yield from ("\\\n".join(escaped(line) for line in paragraph.splitlines()), "")
    yield from (f"**{publication.lead_name}.** {escaped(publication.lead)}", "")
    for part in publication.parts:
        yield from (f"{'#' * (level + 1)} {escaped(part.title)}", "", *_of(part))
    yield f"*{escaped(publication.footer)}*"


def _of(part: Part) -> Iterator[str]:
    for sentence in part.sentences:
        yield from (escaped(sentence), "")
    listed = [*part.items, *(f"{term}: {text}" for term, text in part.facts)]
    if listed:
        yield from (*(f"- {escaped(item)}" for item in listed), "")
    if part.table:
        yield from (*_table(part.table), "")


def _table(table: Table) -> Iterator[str]:
    yield _row(table.head)
    yield _row(["---"] * len(table.head), plain=True)
    yield from (_row(row) for row in table.rows)


def _row(cells: Sequence[str], *, plain: bool = False) -> str:
    return f"| {' | '.join(cell if plain else escaped(cell) for cell in cells)} |"
