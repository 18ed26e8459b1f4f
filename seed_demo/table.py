"""At the table: who tasted a cup and what they said, and which pairs were kept side by side."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from random import Random
from uuid import UUID

from app.models import SideBySide, Taster, Tasting
from app.text import search_text
from seed_demo import palate
from seed_demo.calendar import PAIRS
from seed_demo.cupboard import paper_use
from seed_demo.household import ZONE
from seed_demo.kitchen import Cooked

NOT_KEPT = (5, 10)
BLIND, BLIND_IN_PAIRS = 0.06, 0.35
NOTES = (
    "Best while still warm, not hot.",
    "Would drink again.",
    "Something papery at first, gone later.",
    "Like yesterday's, only rounder.",
    "Lost in thought, tasted late.",
    "A bit of dust at the bottom.",
)


def tasted(cooked: Cooked, tasters: dict[str, Taster], rng: Random) -> list[Tasting]:
    """One tasting for each who took part."""
    blind = rng.random() < (BLIND_IN_PAIRS if cooked.plan.pair is not None else BLIND)
    return [_tasting(cooked, tasters[who], blind, rng) for who in cooked.plan.tasters]


def _tasting(cooked: Cooked, taster: Taster, blind: bool, rng: Random) -> Tasting:
    sip = _sip(cooked)
    points = palate.liking(taster.name, sip, rng)
    scales = palate.just_right(taster.name, sip, rng)
    asked = rng.random() < 0.8
    spoke = rng.random() < palate.PALATES[taster.name].words_often
    words = palate.said(scales, rng) if spoke else ""
    note = rng.choice(NOTES) if rng.random() < 0.12 else ""
    return Tasting(
        entry_key=str(UUID(int=rng.getrandbits(128), version=4)),
        brew=cooked.brew,
        taster=taster,
        tasted_at=cooked.brew.brewed_at + timedelta(minutes=rng.choice((8, 10, 12, 15, 55))),
        zone=ZONE,
        blind=blind,
        liking=None if words and rng.random() < 0.04 else points,
        words=words,
        note=note,
        text_search=search_text(words, note),
        **(scales if asked else {}),
    )


def _sip(cooked: Cooked) -> palate.Sip:
    first = cooked.filters[0].filter.pack.material if cooked.filters else "none"
    return palate.Sip(
        strength_pct=cooked.made.strength_pct,
        extraction=cooked.made.extraction,
        merit=cooked.opened.merit,
        rest_days=cooked.opened.rest_days(cooked.brew.brewed_on),
        paper_use=paper_use(cooked.filters),
        filter_material=first,
        hard_water=cooked.hard_water,
    )


def kept_pairs(cooked: Sequence[Cooked], tastings: Sequence[Tasting]) -> list[SideBySide]:
    """The mornings of two brews, most of them saved side by side."""
    pairs: dict[int, list[Cooked]] = {}
    for one in cooked:
        if one.plan.pair is not None:
            pairs.setdefault(one.plan.pair, []).append(one)
    return [
        _side_by_side(place, a, b, tastings)
        for place, (a, b) in sorted(pairs.items())
        if place not in NOT_KEPT
    ]


def _side_by_side(place: int, a: Cooked, b: Cooked, tastings: Sequence[Tasting]) -> SideBySide:
    points_a, points_b = _points(a, tastings), _points(b, tastings)
    preference = "neither" if points_a == points_b else "a" if points_a > points_b else "b"
    return SideBySide(
        brew_a=a.brew,
        brew_b=b.brew,
        saved_at=b.brew.brewed_at + timedelta(minutes=75),
        preference=preference,
        note=PAIRS[place].note,
    )


def _points(cooked: Cooked, tastings: Sequence[Tasting]) -> int:
    return sum(one.liking or 0 for one in tastings if one.brew is cooked.brew)
