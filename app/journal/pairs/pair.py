"""Two brews set side by side: everything their page says, read and worked out."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from operator import attrgetter
from typing import Any

from sqlalchemy.orm import Session

from app.brewing.strength.difference import Difference, difference
from app.brewing.strength.estimate import Estimate
from app.journal.bags import frozen_spans
from app.journal.estimates import estimate_of, known_of, learned
from app.journal.lessons import Learned, cup_of
from app.journal.pairs.around import brews_around, latest_of_each
from app.journal.pairs.brews import BrewDetails, BrewRow, detailed_brews
from app.journal.pairs.details import StepRow, mean_likings, steps_of
from app.journal.pairs.fairness import Fairness, compare
from app.journal.pairs.scores import Likings, TasterScores, repeat_groups, scores
from app.journal.pairs.setup import Setup, Step
from app.journal.rest import Rest, Span, rest_on
from app.journal.tastings import TastingRow, tastings_of_brews
from app.journal.uses import Use, uses_of_brews

# Where days are counted from for a bag without a roast date; only their differences are used.
SOME_DAY = date(1970, 1, 1)
# The fields of Setup up to the age are those of the brew's row with the same names.
set_in_row = attrgetter(*Setup._fields[: Setup._fields.index("age_days")])

Spans = Mapping[int, Sequence[Span]]
Stacks = Mapping[int, Sequence[Use]]
Brews = Mapping[int, tuple[BrewRow, BrewDetails]]


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two cups."""

    row: BrewRow
    details: BrewDetails
    stack: Sequence[Use]
    rest: Rest | None
    estimate: Estimate
    tastings: Sequence[TastingRow]
    setup: Setup


@dataclass(frozen=True, slots=True)
class Pair:
    """Cup A, cup B, and the latest brews of their bags and recipes, old to new.

    `apart` is how far B lies above A in strength and extraction.
    """

    a: Side
    b: Side
    apart: Difference
    fairness: Fairness
    scores: list[TasterScores]
    around: Sequence[BrewRow]
    likings: Likings
    learned: Learned


def read_pair(session: Session, a_id: int, b_id: int, over: str) -> Pair | None:
    """Both brews, and those around them in their "bag" or "recipe"; None if one does not exist."""
    brews = detailed_brews(session, (a_id, b_id))
    if len(brews) < 2:
        return None
    row_a, row_b = brews[a_id][0], brews[b_id][0]
    around = brews_around(session, row_a, row_b, over)
    spans = frozen_spans(session, {row.bag_id for row in (*around, row_a, row_b)})
    likings = mean_likings(session, {a_id, b_id, *(row.id for row in around)})
    scored = _scored(around, row_a, row_b, likings, spans)
    # Filters are looked up only for brews that agree in everything else.
    nearly = {brew_id for group in repeat_groups(scored) for brew_id in group}
    stacks = uses_of_brews(session, {a_id, b_id} | nearly)
    repeats = repeat_groups(
        {n: with_stack(own, stacks.get(n, ())) for n, own in scored.items() if n in nearly}
    )
    sides = _sides(session, brews, stacks, spans)
    a, b = sides[a_id], sides[b_id]
    days = {row.id: row.brewed_on for row in (*around, row_a, row_b)}
    known = learned(session)
    return Pair(
        a,
        b,
        apart=_apart(row_a, row_b, known),
        fairness=compare(a.setup, b.setup),
        scores=scores(a.tastings, b.tastings, repeats, likings, days),
        around=around,
        likings=likings,
        learned=known,
    )


def _apart(a: BrewRow, b: BrewRow, known: Learned) -> Difference:
    """Brews from one bag, brewer and grinder share what is not known of them."""
    alike = (a.bag_id, a.first_brewer_id, a.grinder_id) == (
        b.bag_id,
        b.first_brewer_id,
        b.grinder_id,
    )
    of_a, of_b = known_of(a.cup, known), known_of(b.cup, known)
    return difference(cup_of(b.cup), cup_of(a.cup), of_b, of_a, alike)


def read_sides(session: Session, brew_ids: Iterable[int]) -> dict[int, Side]:
    """The brews by id, in six statements however many they are."""
    brews = detailed_brews(session, brew_ids)
    spans = frozen_spans(session, {row.bag_id for row, _ in brews.values()})
    return _sides(session, brews, uses_of_brews(session, brews), spans)


def _sides(session: Session, brews: Brews, stacks: Stacks, spans: Spans) -> dict[int, Side]:
    tastings = tastings_of_brews(session, brews)
    revision_ids = {row.revision_id for row, _ in brews.values() if row.revision_id}
    steps = steps_of(session, revision_ids)
    known = learned(session)
    sides = {}
    for brew_id, (row, details) in brews.items():
        frozen, stack = spans.get(row.bag_id, ()), stacks.get(brew_id, ())
        shares = _shares(steps.get(row.revision_id or 0, ()), row.water_g)
        sides[brew_id] = Side(
            row,
            details,
            stack,
            rest_on(row.brewed_on, row.roasted_on, frozen),
            estimate_of(row.cup, known),
            [row for row in tastings.get(brew_id, ()) if row.after_trial_id is None],
            with_stack(setup_of(row, frozen), stack)._replace(steps=shares),
        )
    return sides


def as_planned(like: Side, row: BrewRow, details: BrewDetails, stack: Sequence[Use]) -> Side:
    """A cup that is to be made like another, but for its row, its names and its filters."""
    setup = with_stack(setup_of(row, ()), stack)._replace(steps=like.setup.steps)
    return replace(like, row=row, details=details, stack=stack, tastings=(), setup=setup)


def setup_of(row: BrewRow, frozen: Sequence[Span]) -> Setup:
    """The setup of a brew, without its filters and steps."""
    rest = rest_on(row.brewed_on, row.roasted_on or SOME_DAY, frozen)
    values: tuple[Any, ...] = (*set_in_row(row), rest.days if rest else 0)
    noted = row.roasted_on is not None
    return Setup(*values)._replace(roast_noted=noted, brewer_id=row.brewer_id)


def with_stack(setup: Setup, stack: Iterable[Use]) -> Setup:
    """With the filters of the brew."""
    numbers = [used.number for used in stack if used.wears]
    made_of = tuple((used.material, used.pack_id) for used in stack)
    return setup._replace(stack=made_of, use=max(numbers, default=None))


def _shares(steps: Iterable[StepRow], water_g: float) -> tuple[Step, ...]:
    return tuple(
        (step.kind, step.starts_s, step.lasts_s, step.grams and round(step.grams / water_g, 2))
        for step in steps
    )


def _scored(
    around: Sequence[BrewRow], a: BrewRow, b: BrewRow, likings: Likings, spans: Spans
) -> dict[int, Setup]:
    """Setups of scored brews that may be repeats, without the pair that is judged by them."""
    return {
        row.id: setup_of(row, spans.get(row.bag_id, ()))
        for row in latest_of_each(around, a, b)
        if row.id in likings and row.id not in (a.id, b.id)
    }
