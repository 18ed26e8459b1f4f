"""Tasting: who tasted a cup and what they noted, and which pairs were saved side by side."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from random import Random
from uuid import UUID

from app.models import SideBySide, Taster, Tasting
from app.text import search_text
from seed_demo import palate
from seed_demo.calendar import PAIRS
from seed_demo.cupboard import paper_use
from seed_demo.household import ZONE
from seed_demo.kitchen import Brewed

BLIND, BLIND_IN_PAIRS = 0.06, 0.35
NOTES = (
    "Best while still warm, not hot.",
    "Would drink again.",
    "Something papery at first, gone later.",
    "Like yesterday's, only rounder.",
    "Lost in thought, tasted late.",
    "A bit of dust at the bottom.",
)


def tasted(brewed: Brewed, tasters: dict[str, Taster], rng: Random) -> list[Tasting]:
    """One tasting for each person who took part."""
    blind = rng.random() < (BLIND_IN_PAIRS if brewed.plan.pair is not None else BLIND)
    return [_tasting(brewed, tasters[who], blind, rng) for who in brewed.plan.tasters]


def _tasting(brewed: Brewed, taster: Taster, blind: bool, rng: Random) -> Tasting:
    cup = _tasted_cup(brewed)
    points = palate.liking(taster.name, cup, rng)
    scales = palate.just_right(taster.name, cup, rng)
    uses_scales = rng.random() < 0.8
    writes_words = rng.random() < palate.PALATES[taster.name].words_often
    words = palate.words_for(scales, rng) if writes_words else ""
    note = rng.choice(NOTES) if rng.random() < 0.12 else ""
    return Tasting(
        entry_key=str(UUID(int=rng.getrandbits(128), version=4)),
        brew=brewed.brew,
        taster=taster,
        tasted_at=brewed.brew.brewed_at + timedelta(minutes=rng.choice((8, 10, 12, 15, 55))),
        zone=ZONE,
        blind=blind,
        liking=None if words and rng.random() < 0.04 else points,
        words=words,
        note=note,
        text_search=search_text(words, note),
        **(scales if uses_scales else {}),
    )


def _tasted_cup(brewed: Brewed) -> palate.TastedCup:
    first = brewed.filters[0].filter.pack.material if brewed.filters else "none"
    return palate.TastedCup(
        strength_pct=brewed.made.strength_pct,
        extraction=brewed.made.extraction,
        merit=brewed.opened.merit,
        rest_days=brewed.opened.rest_days(brewed.brew.brewed_on),
        paper_use=paper_use(brewed.filters),
        filter_material=first,
        hard_water=brewed.hard_water,
    )


def saved_pairs(brewed: Sequence[Brewed], tastings: Sequence[Tasting]) -> list[SideBySide]:
    """Comparisons of the pairs of brews, except those never saved."""
    pairs: dict[int, list[Brewed]] = {}
    for one in brewed:
        if one.plan.pair is not None:
            pairs.setdefault(one.plan.pair, []).append(one)
    return [
        side_by_side(a, b, tastings, b.brew.brewed_at + timedelta(minutes=75), PAIRS[place].note)
        for place, (a, b) in sorted(pairs.items())
        if PAIRS[place].saved
    ]


def side_by_side(
    a: Brewed, b: Brewed, tastings: Sequence[Tasting], saved_at: datetime, note: str
) -> SideBySide:
    """Two brews beside each other; the one with more points is preferred."""
    points_a, points_b = _points(a, tastings), _points(b, tastings)
    preference = "neither" if points_a == points_b else "a" if points_a > points_b else "b"
    return SideBySide(
        brew_a=a.brew, brew_b=b.brew, saved_at=saved_at, preference=preference, note=note
    )


def _points(brewed: Brewed, tastings: Sequence[Tasting]) -> int:
    return sum(one.liking or 0 for one in tastings if one.brew is brewed.brew)
