"""Two brews set side by side: everything their page says, read and worked out."""

from __future__ import annotations

from collections.abc import Collection, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from app.brewing.strength.estimate import Estimate
from app.journal.bags import frozen_spans
from app.journal.estimates import Learned, estimate_of, learned
from app.journal.pairs.around import SETTING_COLUMNS, brews_around, latest_of_each
from app.journal.pairs.details import mean_likings, stacks_of, steps_of
from app.journal.pairs.fairness import Fairness, compare
from app.journal.pairs.saved import two_brews
from app.journal.pairs.scores import Likings, TasterScores, repeat_groups, scores
from app.journal.pairs.setup import Settings, Step
from app.journal.rest import Rest, Span, rest_on
from app.journal.tastings import tastings_of_brews

# Where days are counted from for a bag without a roast date; only their differences are used.
SOME_DAY = date(1970, 1, 1)

Spans = Mapping[int, Sequence[Span]]
Stacks = Mapping[int, list[Any]]


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two cups."""

    row: Any
    stack: list[Any]
    rest: Rest | None
    estimate: Estimate
    tastings: list[Any]
    settings: Settings


@dataclass(frozen=True, slots=True)
class Pair:
    """Cup A, cup B, and the latest brews of their bags and recipes, old to new."""

    a: Side
    b: Side
    fairness: Fairness
    scores: list[TasterScores]
    around: Sequence[Any]
    likings: Likings
    learned: Learned


def read_pair(session: Session, a_id: int, b_id: int, over: str) -> Pair | None:
    """Both brews and what is around them; None if either does not exist.

    `over` is what is looked back over: "bag" or "recipe".
    """
    rows = two_brews(session, a_id, b_id)
    if len(rows) < 2:
        return None
    around = brews_around(session, rows[a_id], rows[b_id], over)
    spans = frozen_spans(session, {row.bag_id for row in (*around, *rows.values())})
    likings = mean_likings(session, {a_id, b_id, *(row.id for row in around)})
    scored = _scored(around, rows[a_id], rows[b_id], likings, spans)
    nearly = {brew_id for group in repeat_groups(scored) for brew_id in group}
    stacks = stacks_of(session, {a_id, b_id} | nearly)
    sides = sides_of(session, rows.values(), stacks, spans)
    a, b = sides[a_id], sides[b_id]
    return Pair(
        a,
        b,
        fairness=compare(a.settings, b.settings),
        scores=scores(a.tastings, b.tastings, _repeats(scored, nearly, stacks), likings),
        around=around,
        likings=likings,
        learned=learned(session),
    )


def sides_of(
    session: Session, rows: Collection[Any], stacks: Stacks, spans: Spans
) -> dict[int, Side]:
    """Brews by id, from rows that begin with BREW_COLUMNS, in as many statements as for two."""
    tastings = tastings_of_brews(session, [row.id for row in rows])
    steps = steps_of(session, {row.revision_id for row in rows if row.revision_id})
    known = learned(session)
    sides = {}
    for row in rows:
        frozen, stack = spans.get(row.bag_id, ()), stacks.get(row.id, [])
        own = _with_stack(_settings(row, frozen), stack)
        shares = _shares(steps.get(row.revision_id, ()), row.water_g)
        rest = rest_on(row.brewed_on, row.roasted_on, frozen)
        tasted = tastings.get(row.id, [])
        own = own._replace(steps=shares)
        sides[row.id] = Side(row, stack, rest, estimate_of(row, known), tasted, own)
    return sides


def _settings(row: Any, frozen: Sequence[Span]) -> Settings:
    """The settings of a row that carries BREW_COLUMNS, without its filters and steps."""
    start = row.roasted_on or SOME_DAY
    if frozen:
        rest = rest_on(row.brewed_on, start, frozen)
        age_days = rest.days if rest else 0
    else:
        age_days = (row.brewed_on - start).days
    values: tuple[Any, ...] = (*row[:SETTING_COLUMNS], age_days)
    return Settings(*values)


def _with_stack(settings: Settings, stack: Iterable[Any]) -> Settings:
    """With the filters of the brew: rows or Uses that tell material, pack and use number."""
    filters = list(stack)
    counted = [one.number for one in filters if one.material != "metal"]
    made_of = tuple((one.material, one.pack_id) for one in filters)
    return settings._replace(stack=made_of, use=max(counted, default=None))


def _shares(steps: Iterable[Any], water_g: float) -> tuple[Step, ...]:
    return tuple(
        (step.kind, step.starts_s, step.lasts_s, step.grams and round(step.grams / water_g, 2))
        for step in steps
    )


def _scored(
    around: Sequence[Any], a: Any, b: Any, likings: Likings, spans: Spans
) -> dict[int, Settings]:
    """Settings of the brews with a score, the pair left out: it is what is judged by them."""
    return {
        row.id: _settings(row, spans.get(row.bag_id, ()))
        for row in latest_of_each(around, a, b)
        if row.id in likings and row.id not in (a.id, b.id)
    }


def _repeats(
    scored: Mapping[int, Settings], nearly: Container[int], stacks: Stacks
) -> list[list[int]]:
    """Groups of scored brews that agree in everything, their filters too.

    Filters are looked up only for brews that agree `nearly`, in everything else.
    """
    return repeat_groups(
        {
            brew_id: _with_stack(own, stacks.get(brew_id, ()))
            for brew_id, own in scored.items()
            if brew_id in nearly
        }
    )
