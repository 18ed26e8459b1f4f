"""The life of a bag as readers get it: its cups over the days, and the best of them."""

from collections.abc import Sequence
from statistics import fmean

from sqlalchemy.orm import Session

from app.formats import Formats, ordinal
from app.journal.gathered.groups import BrewLine
from app.models import Bag
from app.readers import pictures, tasted, words
from app.readers.brewed import Way, how_brewed
from app.readers.life import MOST_BREWS, Life, read_life
from app.readers.life_pictures import pictures_of
from app.readers.publication import Part, Publication, Table
from app.readers.ticks import Ticks

BEST_CUPS = 5
SIGHTED = (
    "An anecdote: what was brewed on a day, and what one expects of a fresh or an old bag, are in "
    "the scores as well."
)
PART_OF_IT = f"Only the latest {MOST_BREWS} cups are looked at."
NO_CUP = "Nothing was brewed from it yet."


def bag_of(session: Session, bag: Bag, ticks: Ticks, formats: Formats, made_on: str) -> Publication:
    life = read_life(session, bag, ticks, formats)
    lines, drawn = life.lines, list(pictures_of(life, ticks, formats))
    name = lines[0].texts["bag"] if lines else "coffee"
    scored = tasted.who_scored(tasted.scored(line.side for line in lines), ticks)
    parts = (
        Part("Over the days", [formats.decimals(text) for text in life.moved]),
        Part("Best cups", table=_best(life, formats)),
        how_brewed([Way("", lines)], formats),
        Part("How it was tasted", [scored] if scored else []),
        Part("Limits", items=_limits(life)),
        Part("Notes", items=tasted.shortened(_notes(bag, lines, ticks))),
        Part("Sources", items=pictures.sources_of(lines, drawn)),
    )
    return Publication(
        f"A bag of {name}",
        "",
        "In short",
        _lead(life, ticks, formats),
        drawn,
        [part for part in parts if part.filled],
        made_on,
    )


def _lead(life: Life, ticks: Ticks, formats: Formats) -> str:
    if not life.cups:
        return NO_CUP
    scores = [score.liking for score in life.scored.scores]
    if not scores:
        return f"{words.capital(words.spelled(len(life.cups), 'cup'))} came from it, none scored."
    mean = formats.number(fmean(scores), 1)
    who = life.scored.name if ticks.tasters else "One taster"
    said = f"{who} gave it {mean} of 9 on average, over {words.spelled(len(scores), 'score')}"
    return f"{said}, from {min(scores)} to {max(scores)}."


def _best(life: Life, formats: Formats) -> Table | None:
    """The cups liked best, the later first where equal."""
    scored = [(line.liking, day, line) for day, line in reversed(life.cups) if line.liking]
    best = sorted(scored, key=lambda one: -one[0])[:BEST_CUPS]
    head = ["Place", "Liking, 1 to 9", life.x_title, "Dose in brew water", "Heat and steep"]
    rows = [
        [
            ordinal(place),
            formats.number(liking, 1),
            formats.number(day),
            f"{line.texts['dose']} in {line.texts['brew water']}",
            ", ".join(filter(None, (line.texts["water temperature"], line.texts["steep"]))) or "–",
        ]
        for place, (liking, day, line) in enumerate(best, 1)
    ]
    return Table([words.capital(one) for one in head], rows) if rows else None


def _limits(life: Life) -> list[str]:
    whole = [PART_OF_IT] if len(life.cups) >= MOST_BREWS else []
    return [SIGHTED, *whole] if life.scored.scores else whole


def _notes(bag: Bag, lines: Sequence[BrewLine], ticks: Ticks) -> list[str]:
    of_bag = [bag.note] if bag.note else []
    if bag.buy_again or bag.buy_again_note:
        of_bag.append(
            f"Buy it again: {bag.buy_again or 'no verdict'}. {bag.buy_again_note}".strip()
        )
    return (of_bag if ticks.notes else []) + tasted.notes_of((line.side for line in lines), ticks)
