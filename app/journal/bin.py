"""Deleting: a row moves to the bin, from where it can be restored."""

from datetime import datetime

from app.models.base import Binned


def put_in_bin(row: Binned, now: datetime) -> None:
    """Put the row in the bin; one that is there already keeps its first moment."""
    row.binned_at = row.binned_at or now


def take_from_bin(row: Binned) -> None:
    row.binned_at = None
