"""Sentences of the page."""

from __future__ import annotations

from app.config import MAX_REQUEST_MB
from app.exchange.words import counted
from app.journal.imports.reading import ImportRow
from app.journal.imports.taking_back import MOST_NAMED, Hindrance

BROUGHT = "It is in: {}. It can be taken back as one, here below."
NOTHING_NEW = "All of it is here already, so nothing was changed."
TAKEN_BACK = "It is taken back: the journal is as it was before, and the file can come in again."
GONE = "It was taken back before, or never came in."
TOO_LARGE = f"The file is larger than {MAX_REQUEST_MB} MB: bring it in by “oddcup import FILE”."
NO_FILE = "Please choose the file."
AWAY = "The file that was looked at is no longer here. Please choose it once more."
NEEDED = "It cannot be taken back, since what was noted later would be lost or point at nothing:"
NEEDED_UNNAMED = "It cannot be taken back: something that was noted later needs it."


def counts_in_words(counts: dict[str, int]) -> str:
    """Such as "560 brews, 24 bags", the most first."""
    most = sorted(counts.items(), key=lambda item: -item[1])
    listed = [counted(count, table) for table, count in most[:5]]
    more = sum(count for _, count in most[5:])
    return ", ".join([*listed, *([f"{more} other rows"] if more else [])]) or "changes only"


def came_in(row: ImportRow) -> str:
    what = "data package" if row.kind == "package" else "spreadsheet"
    by = f", by {row.device}" if row.device else ""
    return f"{what}{by}: {counts_in_words(row.counts)}"


def hindrance(found: Hindrance) -> str:
    thing = f"{_one(found.table)} {_key(found.key)}"
    if not found.by_table:
        return f"{thing} was changed since, or is gone."
    return f"{_one(found.by_table)} {_key(found.by_key)}, added since, belongs to {thing}."


def hindrances(found: list[Hindrance]) -> list[str]:
    more = ["And perhaps more."] if len(found) == MOST_NAMED else []
    return [*(hindrance(one) for one in found), *more]


def _one(table: str) -> str:
    return table.replace("_", " ").capitalize()


def _key(key: list[str | int | float | bool | None]) -> str:
    return " ".join(str(part) for part in key)
