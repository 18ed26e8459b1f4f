"""What a table holds, as one number: the same on every database, in whatever order rows come."""

import json
from collections.abc import Sequence
from datetime import UTC, date, datetime
from hashlib import sha256

from sqlalchemy import RowMapping, Table
from sqlalchemy.types import JSON, Double

MODULUS = 1 << 256


class Sum:
    """Count and checksum of the rows seen so far.

    Each row has its SHA-256, of the table's name and its values in the order of the columns; the
    checksum adds them up, so that it does not depend on how a database sorts.
    """

    def __init__(self, table: Table) -> None:
        self._name = table.name
        self._kinds = [column.type for column in table.columns]
        self.rows = 0
        self._total = 0

    def add(self, rows: Sequence[RowMapping]) -> None:
        for row in rows:
            values = [
                _plain(value, kind) for value, kind in zip(row.values(), self._kinds, strict=True)
            ]
            text = json.dumps([self._name, *values], separators=(",", ":"))
            self._total += int.from_bytes(sha256(text.encode()).digest())
        self.rows += len(rows)

    @property
    def short(self) -> str:
        """The first places of the checksum, to be shown."""
        return f"{self._total % MODULUS:064x}"[:16]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sum) and (self.rows, self._total % MODULUS) == (
            other.rows,
            other._total % MODULUS,
        )

    __hash__ = None  # type: ignore[assignment]


def _plain(value: object, kind: object) -> object:
    """As JSON has it. What only some databases tell apart is the same: 2 and 2.0 as a measure, a
    time in any zone, the order of names in an object."""
    if value is None:
        return None
    if isinstance(kind, JSON):
        return ["json", json.dumps(value, sort_keys=True)]
    if isinstance(kind, Double) and isinstance(value, int):
        return float(value)
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, bytes | memoryview):
        return sha256(value).hexdigest()
    return value
