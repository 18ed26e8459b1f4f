"""Which tables travel in a package, and in which order.

Whatever table the models have comes along by itself, unless it stands in LEFT_BEHIND.
"""

from __future__ import annotations

import re
from functools import cache

from sqlalchemy import Column, LargeBinary, Table

from app.models import Base
from app.models.reading import PARENTS_FIRST

# Why a table stays in its journal.
LEFT_BEHIND = {
    "device": "Which devices were let in is of this machine; elsewhere they are let in anew.",
    "api_token": "What scripts may do is of this machine; elsewhere they are given tokens anew.",
    "pairing_code": "A code lets in one device, here, once.",
    "saved_form": "Which forms were sent, so that each counts once, is no part of the journal.",
    "journal_identity": "It is the package's own id.",
    "journal_import": "What came in is of this copy of the journal.",
    "imported_rows": "What came in is of this copy of the journal.",
    "import_link": "What came in is of this copy of the journal.",
}
# No table with a column so named travels, whether it was thought of or not.
SECRET = re.compile(r"hash|secret|token|passw")
# Hashes of the secrets of browsers: only which of them are the same travels.
BROWSERS = {("trial", "poured_by"), ("trial", "answered_by"), ("blind_packet", "packed_by")}


@cache
def travelling() -> tuple[Table, ...]:
    """The tables of a package, each after those it refers to: changes may be of any of them."""
    tables = [table for table in PARENTS_FIRST if travels(table)]
    return tuple(sorted(tables, key=lambda table: table.name in ("change", "name_change")))


def travels(table: Table) -> bool:
    is_secret = any(SECRET.search(column.name) for column in table.columns)
    return table.name not in LEFT_BEHIND and not is_secret


def is_file(column: Column[object]) -> bool:
    """Its value stands in a file of its own, and the cell names it."""
    return isinstance(column.type, LargeBinary)


def title(table: Table) -> str:
    """What its rows are, by the first sentence of the model."""
    for mapper in Base.registry.mappers:
        if mapper.local_table is table:
            words = (mapper.class_.__doc__ or "").strip().split("\n\n")[0]
            return " ".join(words.split()) if mapper.class_.__doc__ else ""
    return ""
