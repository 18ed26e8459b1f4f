"""The life of a bag: its cups over the days, whose scores they got, and how liking moved."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.along import LIKING_OF_BAG, Along, Told, Value, settings_of
from app.journal.brews import newest_ids
from app.journal.gathered.groups import BrewLine
from app.journal.scores import OneTaster, Score, of_one_taster, scores_of_brews
from app.models import Bag, Brew
from app.readers.cups import read_cups
from app.readers.ticks import Ticks

MOST_BREWS = 400
REST, SINCE = "rest since roasting, days", "days since the first cup"


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

    @property
    def moved(self) -> list[str]:
        """What is said of the scores over the days."""
        return [text for told in self.trends.values() for text in told.said.sentences]


def read_life(session: Session, bag: Bag, ticks: Ticks, formats: Formats) -> Life:
    """The latest MOST_BREWS cups, and the scores of who scored most of them."""
    ids = newest_ids(session, MOST_BREWS, Brew.bag_id == bag.id)
    cups = _on_days(list(read_cups(session, ids, ticks, formats).values()))
    scored = of_one_taster(scores_of_brews(session, ids), None)
    along = Along(
        settings_of(session, ids),
        {line.side.row.id: day for day, line in cups},
        ended=bag.finished_on is not None,
        whole=len(ids) < MOST_BREWS,
    )
    kinds = {
        kind: values
        for kind, blind in (("sighted", False), ("blind", True))
        if (values := _values(cups, [one for one in scored.scores if one.blind is blind]))
    }
    x_title = REST if bag.roasted_on else SINCE
    return Life(cups, x_title, scored, along.likings(kinds, LIKING_OF_BAG))


def _on_days(lines: Sequence[BrewLine]) -> list[tuple[float, BrewLine]]:
    """Each cup with its rest, or else with the days since the first cup."""
    found = []
    for line in lines:
        rest, since = line.side.rest, line.side.row.brewed_on - lines[0].side.row.brewed_on
        found.append((float(rest.days if rest else since.days), line))
    return found


def _values(cups: Sequence[tuple[float, BrewLine]], scores: Sequence[Score]) -> list[Value]:
    by_id = {line.side.row.id: (line.side.row.brewed_on, day) for day, line in cups}
    return [Value(one.brew_id, *by_id[one.brew_id], float(one.liking)) for one in scores]
