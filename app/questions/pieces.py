"""Pieces of evidence of a question: the few its page shows, and all of them a sheet at a time."""

from typing import Literal

from app.journal.asks.reading import AskRow
from app.journal.blind.evidence import BlindEvidence
from app.journal.gathered.evidence import Gathered, PairLine
from app.journal.gathered.groups import BrewLine
from app.journal.paging import PlacedPage, placed

FEW, A_SHEET = 4, 10

Piece = BlindEvidence | PairLine | BrewLine
Pieces = Literal["blind_tests", "side_by_sides", "brews"]


def few_of(found: Gathered) -> dict[Pieces, PlacedPage[Piece]]:
    """Those of each kind that say something, the newest first; then the others."""
    return {
        kind: placed(sorted(every, key=_says_nothing), 0, FEW)
        for kind, every in _newest_first(found).items()
    }


def sheet_of(found: Gathered, kind: Pieces, start: int) -> PlacedPage[Piece]:
    """All of a kind from the newest on. Raises LookupError beyond the end."""
    return placed(_newest_first(found)[kind], start, A_SHEET)


def few_asks(asks: list[AskRow]) -> PlacedPage[AskRow]:
    return placed(asks, 0, FEW)


def _newest_first(found: Gathered) -> dict[Pieces, list[Piece]]:
    return {
        "blind_tests": [*reversed(found.tests)],
        "side_by_sides": [*reversed(found.pairs)],
        "brews": [*reversed(found.brews)],
    }


def _says_nothing(piece: Piece) -> bool:
    if isinstance(piece, PairLine):
        return piece.bearing != "fair" or not piece.row.preference
    if isinstance(piece, BrewLine):
        return piece.liking is None
    return not piece.n
