"""The life of a bag as readers get it: its cups over the days, and the best of them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from sqlalchemy.orm import Session

from app.brewing.ranged import Ranged
from app.charts.figure import Chart
from app.charts.trend import Points, TrendLine, trend_chart
from app.formats import Formats, ordinal
from app.journal.along import LIKING_OF_BAG, Along, Told, Value, settings_of
from app.journal.brews import newest_ids
from app.journal.gathered.groups import BrewLine
from app.journal.pairs.fairness import SAME_PROPORTION
from app.journal.scores import OneTaster, of_one_taster, scores_of_brews
from app.models import Bag, Brew
from app.readers import pictures, tasted, words
from app.readers.brewed import Way, how_brewed
from app.readers.cups import read_cups
from app.readers.publication import Part, Publication, Table
from app.readers.ticks import Ticks

MOST_BREWS = 400
BEST_CUPS = 5
REST, SINCE = "rest since roasting, days", "days since the first cup"
SIGHTED = (
    "An anecdote: what was brewed on a day, and what one expects of a fresh or an old bag, are in "
    "the scores as well."
)
PART_OF_IT = f"Only the latest {MOST_BREWS} cups are looked at."
NO_CUP = "Nothing was brewed from it yet."


@dataclass(frozen=True, slots=True)
class Life:
    """The cups of a bag, oldest first, each with its day on the axis that `x_title` names; the
    scores of who scored most, and how their liking moved."""

    cups: Sequence[tuple[float, BrewLine]]
    x_title: str
    scored: OneTaster
    trends: Mapping[str, Told]

    @property
    def lines(self) -> list[BrewLine]:
        return [line for _, line in self.cups]


def bag_of(session: Session, bag: Bag, ticks: Ticks, formats: Formats, made_on: str) -> Publication:
    life = _read(session, bag, ticks, formats)
    lines, drawn = life.lines, list(_pictures(life, ticks))
    name = lines[0].texts["bag"] if lines else "coffee"
    scored = tasted.who_scored(tasted.scored(line.side for line in lines), ticks)
    parts = (
        Part(
            "Over the days", [text for told in life.trends.values() for text in told.said.sentences]
        ),
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
        _lead(life, formats),
        drawn,
        [part for part in parts if part.filled],
        made_on,
    )


def _read(session: Session, bag: Bag, ticks: Ticks, formats: Formats) -> Life:
    ids = newest_ids(session, MOST_BREWS, Brew.bag_id == bag.id)
    lines = list(read_cups(session, ids, ticks, formats).values())
    first = lines[0].side.row.brewed_on if lines else None
    cups = [
        (
            float(
                rest.days if (rest := line.side.rest) else (line.side.row.brewed_on - first).days
            ),
            line,
        )
        for line in lines
        if first
    ]
    scored = of_one_taster(scores_of_brews(session, ids), None)
    along = Along(
        settings_of(session, ids), ended=bag.finished_on is not None, whole=len(ids) < MOST_BREWS
    )
    by_id = {line.side.row.id: (day, line.side.row.brewed_on) for day, line in cups}
    kinds: dict[str, list[Value]] = {}
    for one in scored.scores:
        day, brewed_on = by_id[one.brew_id]
        kind = "blind" if one.blind else "sighted"
        kinds.setdefault(kind, []).append(Value(one.brew_id, brewed_on, day, float(one.liking)))
    return Life(
        cups, REST if bag.roasted_on else SINCE, scored, along.likings(kinds, LIKING_OF_BAG)
    )


def _lead(life: Life, formats: Formats) -> str:
    if not life.cups:
        return NO_CUP
    scores = [score.liking for score in life.scored.scores]
    if not scores:
        return f"{words.capital(words.spelled(len(life.cups), 'cup'))} came from it, none scored."
    mean = formats.number(fmean(scores), 1)
    said = f"One taster gave it {mean} of 9 on average, over {words.spelled(len(scores), 'score')}"
    return f"{said}, from {min(scores)} to {max(scores)}."


def _pictures(life: Life, ticks: Ticks) -> Iterator[Chart]:
    """Liking, strength and ratio over the days, each where it was noted and moved."""
    day_of = {line.side.row.id: day for day, line in life.cups}
    kinds = [
        Points(
            kind,
            [day_of[one.brew_id] for one in of],
            [float(one.liking) for one in of],
            line=_line(life.trends.get(kind)),
        )
        for kind, blind in (("sighted", False), ("blind", True))
        if (of := [one for one in life.scored.scores if one.blind is blind])
    ]
    if kinds:
        by = life.scored.name if ticks.tasters else "one taster"
        yield _chart(f"Liking, by {by}", "liking, 1–9", kinds, life, (0.5, 9.5))
    made = [(day, line.side.estimate) for day, line in life.cups if line.side.estimate.strength_pct]
    strengths = [
        _strengths(kind, [(day, one.strength_pct) for day, one in made if one.measured is measured])
        for kind, measured in (("measured", True), ("estimated", False))
    ]
    if made:
        yield _chart("Strength", "strength, % TDS", [of for of in strengths if of.x], life)
    ratios = [line.side.estimate.ratio for line in life.lines]
    if ratios and max(ratios) - min(ratios) > SAME_PROPORTION * fmean(ratios):
        days = [day for day, _ in life.cups]
        yield _chart("Brew water to dose", "g/g", [Points("ratio", days, ratios)], life)


def _line(told: Told | None) -> TrendLine | None:
    look = told.trend.looks[-1] if told and told.trend.looks else None
    return TrendLine(look.ends, look.way is not None, look.guide) if look else None


def _strengths(kind: str, made: Sequence[tuple[float, Ranged | None]]) -> Points:
    known = [(day, pct) for day, pct in made if pct]
    return Points(
        kind,
        [day for day, _ in known],
        [pct.value for _, pct in known],
        [pct.low for _, pct in known],
        [pct.high for _, pct in known],
    )


def _chart(
    title: str,
    y_title: str,
    kinds: Sequence[Points],
    life: Life,
    span: tuple[float, float] | None = None,
) -> Chart:
    figure = trend_chart(kinds, x_title=life.x_title, y_title=y_title, y_range=span)
    rows = [
        [f"{x:g}", kind.name, f"{y:.3g}"]
        for kind in kinds
        for x, y in zip(kind.x, kind.y, strict=True)
    ]
    head = [f"{life.x_title}#", "Kind", f"{y_title}#"]
    return Chart(f"{title} over the bag’s days", figure, head, rows)


def _best(life: Life, formats: Formats) -> Table | None:
    """The cups liked best, the later first where equal."""
    scored = [(line.liking, day, line) for day, line in reversed(life.cups) if line.liking]
    best = sorted(scored, key=lambda one: -one[0])[:BEST_CUPS]
    head = ["Place", "Liking, 1 to 9", life.x_title, "Dose in brew water", "Heat and steep"]
    rows = [
        [
            ordinal(place),
            formats.number(liking, 1),
            f"{day:g}",
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
    of_bag = [bag.note] if bag.note and ticks.notes else []
    return of_bag + tasted.notes_of((line.side for line in lines), ticks)
