"""Two brews side by side as readers get them."""

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.gathered import sources
from app.journal.gathered.groups import BrewLine
from app.journal.pairs.fairness import Fairness, compare
from app.journal.pairs.saved import SavedPair, saved_with
from app.journal.tastings import TastingRow
from app.readers import pictures, tasted, words
from app.readers.brewed import Way, how_brewed
from app.readers.cups import Apart, apart, read_cups
from app.readers.publication import Part, Publication, Table
from app.readers.ticks import Ticks

PREFERRED = {
    "a": "Cup A was preferred",
    "b": "Cup B was preferred",
    "neither": "Neither was preferred",
}
SIGHTED = "Who compared could know which cup was which: an anecdote, not a proof."
LUCK = "One pair of cups cannot tell a difference from the luck of single cups."


def pair_of(
    session: Session, brew_a: int, brew_b: int, ticks: Ticks, formats: Formats, made_on: str
) -> Publication | None:
    """None where one of the two brews does not exist, or is in the bin."""
    lines = read_cups(session, (brew_a, brew_b), ticks, formats)
    if brew_a == brew_b or not {brew_a, brew_b} <= set(lines):
        return None
    a, b = lines[brew_a], lines[brew_b]
    fair, told = compare(a.side.setup, b.side.setup), apart(a, b)
    saved = saved_with(session, brew_a, brew_b)
    strength = pictures.strength(a.side, b.side, formats)
    drawn = [strength] if strength else []
    rows = tasted.scored((a.side, b.side))
    scored = tasted.who_scored(rows, ticks)
    parts = (
        Part("How it was tasted", [scored] if scored else [], table=_scores(a, b, ticks, formats)),
        how_brewed([Way("Cup A", [a]), Way("Cup B", [b])], formats),
        Part("Limits", items=[*fair.asides, *_limits(rows)]),
        Part("Notes", items=tasted.shortened(_notes(a, b, saved, ticks))),
        Part("Sources", items=pictures.sources_of((a, b), drawn, sources.FAIR)),
    )
    return Publication(
        _title(told),
        "",
        "In short",
        _lead(fair, saved),
        drawn,
        [part for part in parts if part.filled],
        made_on,
    )


def _title(told: list[Apart]) -> str:
    """What the two are, where one thing or two tell them apart."""
    if not 1 <= len(told) <= 2:
        return "Two cups side by side"
    a, b = (", ".join(getattr(one, side) for one in told) for side in ("a", "b"))
    return f"{words.capital(a)} or {b}: two cups side by side"


def _lead(fair: Fairness, saved: list[SavedPair]) -> str:
    """The preference that was saved last, and whether the two make a fair test."""
    preferred = next((PREFERRED[one.preference] for one in saved if one.preference), "")
    said = f"{preferred}. {SIGHTED}" if preferred else "No preference was noted."
    return f"{said} {fair.sentence}"


def _scores(a: BrewLine, b: BrewLine, ticks: Ticks, formats: Formats) -> Table | None:
    """The mean liking of each taster who scored either cup."""
    tasters = {row.taster_id: row.taster_name for row in tasted.scored((a.side, b.side))}
    rows = []
    for place, (taster_id, name) in enumerate(tasters.items(), 1):
        cells = [formats.number(tasted.liking_by(line.side, taster_id), 1) for line in (a, b)]
        rows.append([name if ticks.tasters else f"Taster {place}", *cells])
    return Table(["Liking, 1 to 9", "Cup A", "Cup B"], rows) if rows else None


def _limits(rows: list[TastingRow]) -> list[str]:
    people = len({row.taster_id for row in rows})
    whose = {0: (), 1: (words.ONE_TASTER,)}.get(people, (words.FEW_TASTERS,))
    return [LUCK, *whose]


def _notes(a: BrewLine, b: BrewLine, saved: list[SavedPair], ticks: Ticks) -> list[str]:
    of_pair = [one.note for one in saved if one.note and ticks.notes]
    return [*of_pair, *tasted.notes_of((a.side, b.side), ticks)]
