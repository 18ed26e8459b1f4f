"""Two brews set side by side: everything their page says, read and worked out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from ..bags.lists import frozen_spans
from ..bags.rest import Rest, Span, rest_on
from ..brewing.estimate import Reading
from ..brews.readings import Learned, learned, reading_of
from ..filters.uses import Use, uses_of_brews
from ..tastings.queries import tastings_of_brews
from .around import brews_around, mean_likings, stacks_of, steps_of
from .fairness import Fairness, compare
from .queries import two_brews
from .scores import Likings, TasterScores, repeat_groups, scores
from .settings import Settings

# Where days are counted from for a bag without a roast date; only their differences are used.
SOME_DAY = date(1970, 1, 1)
SETTINGS = (
    "bag_id", "brewer_id", "grinder_id", "grind", "grind_setting", "dose_g", "water_g",
    "bypass_g", "ice_g", "water_id", "water_temp_c", "steep_s", "press_s", "press_effort",
    "flipped", "stirs",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two cups."""

    row: Any
    stack: list[Use]
    rest: Rest | None
    reading: Reading
    tastings: list[Any]
    settings: Settings


@dataclass(frozen=True, slots=True)
class Pair:
    """Cup A, cup B, and the latest brews of their bags and recipes, old to new."""

    a: Side
    b: Side
    fairness: Fairness
    scores: list[TasterScores]
    around: list[Any]
    likings: Likings
    learned: Learned


def read_pair(session: Session, a_id: int, b_id: int) -> Pair | None:
    """Both brews and what is around them; None if either does not exist."""
    rows = two_brews(session, a_id, b_id)
    if len(rows) < 2:
        return None
    around = brews_around(session, rows[a_id], rows[b_id])
    spans = frozen_spans(session, {row.bag_id for row in (*around, *rows.values())})
    a, b = _sides(session, rows[a_id], rows[b_id], spans)
    likings = mean_likings(session, {a_id, b_id, *(row.id for row in around)})
    repeats = _repeats(session, around, {a_id, b_id}, likings, spans)
    return Pair(
        a,
        b,
        fairness=compare(a.settings, b.settings),
        scores=scores(a.tastings, b.tastings, repeats, likings),
        around=around,
        likings=likings,
        learned=learned(session),
    )


def _sides(
    session: Session, row_a: Any, row_b: Any, spans: Mapping[int, Sequence[Span]]
) -> tuple[Side, Side]:
    ids = (row_a.id, row_b.id)
    stacks, tastings = uses_of_brews(session, ids), tastings_of_brews(session, ids)
    steps = steps_of(session, {row.revision_id for row in (row_a, row_b) if row.revision_id})
    known = learned(session)

    def side(row: Any) -> Side:
        frozen, stack = spans.get(row.bag_id, ()), stacks.get(row.id, [])
        own = _with_stack(_settings(row, frozen), stack)
        shares = _shares(steps.get(row.revision_id, ()), row.water_g)
        return Side(
            row,
            stack,
            rest_on(row.brewed_on, row.roasted_on, frozen),
            reading_of(row, known),
            tastings.get(row.id, []),
            replace(own, steps=shares),
        )

    return side(row_a), side(row_b)


def _settings(row: Any, frozen: Sequence[Span]) -> Settings:
    """The settings of a row that carries BREW_COLUMNS, without its filters and steps."""
    start = row.roasted_on or SOME_DAY
    if frozen:
        rest = rest_on(row.brewed_on, start, frozen)
        age_days = rest.days if rest else 0
    else:
        age_days = (row.brewed_on - start).days
    values = {name: getattr(row, name) for name in SETTINGS}
    return Settings(**values, age_days=age_days, stack=(), use=None)


def _with_stack(settings: Settings, stack: Iterable[Any]) -> Settings:
    """With the filters of the brew: rows or Uses that tell material, pack and use number."""
    filters = list(stack)
    counted = [one.number for one in filters if one.material != "metal"]
    made_of = tuple((one.material, one.pack_id) for one in filters)
    return replace(settings, stack=made_of, use=max(counted, default=None))


def _shares(
    steps: Iterable[Any], water_g: float
) -> tuple[tuple[str, int | None, int | None, float | None], ...]:
    return tuple(
        (step.kind, step.starts_s, step.lasts_s, step.grams and round(step.grams / water_g, 2))
        for step in steps
    )


def _repeats(
    session: Session,
    around: Sequence[Any],
    pair: set[int],
    likings: Likings,
    spans: Mapping[int, Sequence[Span]],
) -> list[list[int]]:
    """Groups of scored brews that agree, the pair itself left out: it is what is judged by them.

    Filters are looked up only for brews that agree in everything else.
    """
    scored = {
        row.id: _settings(row, spans.get(row.bag_id, ()))
        for row in around
        if row.id in likings and row.id not in pair
    }
    nearly = {brew_id for group in repeat_groups(scored) for brew_id in group}
    stacks = stacks_of(session, nearly)
    return repeat_groups(
        {
            brew_id: _with_stack(own, stacks.get(brew_id, ()))
            for brew_id, own in scored.items()
            if brew_id in nearly
        }
    )
