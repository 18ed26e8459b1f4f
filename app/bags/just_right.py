"""What there was too little or too much of in a bag's cups: each taster apart, blind cups apart."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.journal.scores import JustRightRow
from app.journal.tastings import just_right_of
from app.sensory.scores.just_right import Shares, shares


@dataclass(frozen=True, slots=True)
class JustRightOf:
    """One taster's answers, of blind or of sighted cups only; `cups` is how many had any."""

    taster_name: str
    blind: bool
    cups: int
    shares: list[Shares]


def just_right_of_tasters(rows: Sequence[JustRightRow]) -> list[JustRightOf]:
    """Who answered most comes first, and of each the sighted cups before the blind ones."""
    tasters: dict[int, list[JustRightRow]] = {}
    for row in rows:
        tasters.setdefault(row.taster_id, []).append(row)
    found = []
    for own in sorted(tasters.values(), key=lambda rows: (-len(rows), rows[0].taster_id)):
        for blind in (False, True):
            cups = [just_right_of(row) for row in own if row.blind == blind]
            if cups:
                found.append(JustRightOf(own[0].taster_name, blind, len(cups), shares(cups)))
    return found
