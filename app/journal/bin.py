"""Deleting: a row moves to the bin, from where it can be restored."""

from datetime import datetime

from app.journal.history import record_done
from app.models.base import Binned

BINNED = "put in the bin"


def put_in_bin(row: Binned, now: datetime) -> None:
    """Put the row in the bin; one that is there already keeps its first moment."""
    if row.binned_at is None:
        row.binned_at = now
        record_done(row, BINNED)


def take_from_bin(row: Binned) -> None:
    if row.binned_at is not None:
        row.binned_at = None
        record_done(row, "taken out of the bin")
