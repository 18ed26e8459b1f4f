"""A publication as text to paste: one line a sentence, no marks but dashes."""

from collections.abc import Iterator

from app.formats import JOINED
from app.readers.publication import Part, Publication, Table


def as_text(publication: Publication) -> str:
    """Amounts and dates get an ordinary space, which every program knows."""
    return "\n".join(_lines(publication)).replace(JOINED, " ").strip() + "\n"


def _lines(publication: Publication) -> Iterator[str]:
    yield from (publication.title, "=" * min(len(publication.title), 60), "")
    for paragraph in publication.paragraphs:
        yield from (paragraph, "")
    yield from (f"{publication.lead_name}: {publication.lead}", "")
    for part in publication.parts:
        yield from (part.title.upper(), *_of(part), "")
    yield publication.footer


def _of(part: Part) -> Iterator[str]:
    yield from map(_in_line, part.sentences)
    yield from (f"- {_in_line(item)}" for item in part.items)
    yield from (f"- {_in_line(f'{term}: {text}')}" for term, text in part.facts)
    if part.table:
        yield from _table(part.table)


def _table(table: Table) -> Iterator[str]:
    """A line a row, each cell after the head of its column."""
    first, *heads = table.head
    yield f"{first}:"
    for name, *cells in table.rows:
        told = "; ".join(f"{head}: {cell}" for head, cell in zip(heads, cells, strict=True))
        yield f"- {_in_line(f'{name}. {told}')}"


def _in_line(text: str) -> str:
    """A note of several lines would look like further parts."""
    return " ".join(text.split("\n"))
