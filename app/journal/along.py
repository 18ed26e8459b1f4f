"""What moved along with the days of a bag or the uses of a filter: values, and settings."""

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from statistics import median
from typing import NamedTuple

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from app.brewing.bounds import GRINDS
from app.brewing.tolerances import TOLERANCES
from app.journal.pairs.fairness import SAME_PROPORTION
from app.journal.pairs.setup import LABELS
from app.journal.rows import Query, columns_of, rows_as
from app.models import Brew, Brewer
from app.sensory.scores.along import moved_along
from app.sensory.scores.balance import scored_alike
from app.sensory.scores.trend import Scored, Trend, read_trend
from app.sensory.scores.trend_words import Measured, Said, say

END_OF_BAG = "when the bag is finished"
LIKING_OF_BAG = Measured("liking", "day with a score", "days", END_OF_BAG, points="point")
WHOLE = 1.0  # the step of a scale of whole numbers
SIGHTED = (
    "The cups were not tasted blind, so what one expects of a later cup is in the scores as well."
)
KINDS = "Sighted cups were tasted knowing which they were, blind ones without."
CHOSEN = (
    "Which cups were scored changed along the {axis}, too: {early} of {of_early} in the earlier "
    "half, {late} of {of_late} in the later. If those left out were worse, or better, that alone "
    "brings such a direction, and the two cannot be told apart."
)
PART_OF_IT = "Only the latest brews are shown here, so no trend is looked for in them."


class SetRow(NamedTuple):
    """What was set for a brew, and could move along with anything."""

    id: int
    bag_id: int
    first_brewer_id: int
    grinder_id: int | None
    grind: str
    grind_setting: str
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float
    water_id: int | None
    water_temp_c: float | None
    steep_s: int | None
    stirs: int | None


Settings = Mapping[int, SetRow]


def settings_of(session: Session, brew_ids: Iterable[int]) -> Settings:
    """What was set for each of the brews, by brew id."""
    ids = sorted(brew_ids)
    rows = rows_as(SetRow, session, _settings(), {"ids": ids}) if ids else []
    return {row.id: row for row in rows}


@cache
def _settings() -> Query:
    query = select(*columns_of(SetRow, Brew, first_brewer_id=Brewer.first_id))
    query = query.join(Brewer, Brewer.id == Brew.brewer_id)
    return query.where(Brew.id.in_(bindparam("ids", expanding=True)))


class Value(NamedTuple):
    """A value of a brew: its day, its place along the axis, and itself."""

    brew_id: int
    day: date
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Told:
    """A trend, and what is said of it."""

    trend: Trend
    said: Said


@dataclass(frozen=True)
class Along:
    """Brews along an axis: what was set for them, and whether no more will come (`ended`).

    `whole`: all that there ever were are among them, since a trend is looked for from the first.
    `places` are those of all brews, scored or not.
    """

    settings: Settings
    places: Mapping[int, float]
    ended: bool
    whole: bool

    def trend(
        self, values: Sequence[Value], what: Measured, grain: float, beside: str = ""
    ) -> Told | None:
        """The trend of `values`, which stand in the order they were entered; None without any.

        `beside` is said where the trend was read.
        """
        if not values or not self.whole:
            return None
        scored = [Scored(value.day.toordinal(), value.x, value.y) for value in values]
        trend = read_trend(scored, grain=grain, ended=self.ended)
        moved = moved_settings(values, self.settings) if trend.looks else []
        return Told(trend, say(trend, what, moved, beside))

    def likings(self, kinds: Mapping[str, Sequence[Value]], what: Measured) -> dict[str, Told]:
        """The trends of one taster's likings, those of blind cups apart from the others."""
        found = {}
        chosen = self._chosen({one.brew_id for of in kinds.values() for one in of}, what.axis)
        for kind, values in kinds.items():
            of_kind = (
                replace(what, name=f"{what.name} of the {kind} cups") if len(kinds) > 1 else what
            )
            if told := self.trend(values, of_kind, WHOLE, chosen):
                seen = (SIGHTED,) if kind == "sighted" and told.trend.found else ()
                said = replace(told.said, sentences=(*told.said.sentences, *seen))
                found[kind] = replace(told, said=said)
        return found

    def _chosen(self, scored: Set[int], axis: str) -> str:
        """What there is to say where not the same share of earlier and later brews was scored, of
        those from the first to the last that were."""
        ends = [self.places[n] for n in scored]
        between = {n: at for n, at in self.places.items() if ends and min(ends) <= at <= max(ends)}
        middle = median(between.values()) if between else 0.0
        early = {n for n, place in between.items() if place <= middle}
        late = between.keys() - early
        counts = len(scored & early), len(scored & late)
        if scored_alike(counts, (len(early), len(late))) != "could explain":
            return ""
        return CHOSEN.format(
            axis=axis, early=counts[0], of_early=len(early), late=counts[1], of_late=len(late)
        )

    def said(self, *trends: Told | None) -> list[Said]:
        """What is said of the trends of one chart."""
        return [told.said for told in trends if told] if self.whole else [Said((PART_OF_IT,))]


def meaning_of(kinds: Iterable[str]) -> list[Said]:
    """What the names of the kinds of likings mean, where there are some of these."""
    return [Said((KINDS,))] if "sighted" in kinds else []


def moved_settings(values: Sequence[Value], settings: Settings) -> list[str]:
    """What was set differently as the axis went on, beyond what a scale, a kettle and a hand can
    keep to."""
    rows = [settings[value.brew_id] for value in values]
    columns: dict[str, tuple[list[object], float]] = {}
    for name in SetRow._fields[1:]:
        columns[LABELS[name]] = [getattr(row, name) for row in rows], TOLERANCES.get(name, 0.0)
        if name.endswith("_id"):  # a number that is a name
            columns[LABELS[name]] = [str(one or "") for one in columns[LABELS[name]][0]], 0.0
    columns[LABELS["grind"]] = [_fineness(row.grind) for row in rows], 0.0
    columns[LABELS["grind_setting"]] = [_number(row.grind_setting) for row in rows], 0.0
    ratios = [row.water_g / row.dose_g for row in rows]
    columns["ratio"] = list(ratios), SAME_PROPORTION * median(ratios)
    return moved_along([value.x for value in values], columns)


def _fineness(grind: str) -> float | str:
    """Its place from fine to coarse, where it was noted."""
    return GRINDS.index(grind) if grind else ""


def _number(setting: str) -> float | str:
    """A grinder's setting as a number, where it is one."""
    try:
        return float(setting.replace(",", "."))
    except ValueError:
        return setting
