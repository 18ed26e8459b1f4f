"""The demo's year: what was brewed when, what went wrong, and who said what of it."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from sqlalchemy import func, select
from sqlalchemy.orm import aliased

from app.models import Brew, Recipe, RecipeRevision, SideBySide, Step, Taster, Tasting
from tests.demo.conftest import TODAY, count

JAR = (
    Tasting.jar_strength,
    Tasting.jar_sweetness,
    Tasting.jar_acidity,
    Tasting.jar_bitterness,
    Tasting.jar_body,
    Tasting.jar_clarity,
)


def test_a_year_of_brews_that_ends_yesterday(demo):
    first, last = demo.execute(select(func.min(Brew.brewed_on), func.max(Brew.brewed_on))).one()
    assert last == TODAY - timedelta(days=1)
    assert first == TODAY - timedelta(days=365)
    assert 500 <= count(demo) <= 700


def test_holidays_without_brews_and_a_brew_on_each_day_the_clocks_change(demo):
    days = sorted(set(demo.scalars(select(Brew.brewed_on))))
    gaps = [(later - earlier).days for earlier, later in pairwise(days)]
    assert sum(gap > 4 for gap in gaps) >= 2
    zones = set(demo.scalars(select(Brew.zone)))
    assert len(zones) == 1
    zone = ZoneInfo(zones.pop())
    moments = demo.scalars(select(Brew.brewed_at).order_by(Brew.brewed_at))
    offsets = {
        moment.astimezone(zone).date(): moment.astimezone(zone).utcoffset() for moment in moments
    }
    changed = [b for a, b in pairwise(days) if offsets[a] != offsets[b]]
    assert [(day.month, day.isoweekday()) for day in changed] == [(3, 7), (10, 7)]


def test_the_day_of_each_brew_is_that_of_its_wall_clock(demo):
    for brewed_at, zone, brewed_on in demo.execute(
        select(Brew.brewed_at, Brew.zone, Brew.brewed_on)
    ):
        local = brewed_at.astimezone(ZoneInfo(zone))
        assert local.date() == brewed_on
        assert 6 <= local.hour <= 21


def test_guests_get_the_double_dose_made_up_with_hot_water(demo):
    guests = count(demo, Brew.dose_g == 35, Brew.water_g == 340, Brew.bypass_g == 270)
    assert guests >= 5


def test_ice_in_summer_only(demo):
    months = set(demo.scalars(select(Brew.brewed_on).where(Brew.ice_g > 0)))
    assert len(months) >= 5
    assert {day.month for day in months} <= {6, 7, 8}


def test_mistakes_are_there(demo):
    assert count(demo, Brew.note.contains("first typed as")) == 1
    assert count(demo, Brew.binned_at.is_not(None)) == 1
    assert count(demo, Brew.steep_s.is_(None)) >= 1
    assert count(demo, Brew.water_temp_c < 80) >= 1
    assert count(demo, Brew.revision_id.is_(None)) >= 5


def test_dull_days_repeat_the_same_cup(demo):
    settings = (
        Brew.bag_id, Brew.revision_id, Brew.brewer_id, Brew.grinder_id, Brew.grind_setting,
        Brew.dose_g, Brew.water_g, Brew.water_temp_c, Brew.steep_s, Brew.water_id,
    )  # fmt: skip
    repeats = demo.scalars(
        select(func.count(Brew.id)).group_by(*settings).order_by(func.count(Brew.id).desc())
    )
    assert repeats.first() >= 8
    blank = count(
        demo, Brew.note == "", ~select(Tasting.id).where(Tasting.brew_id == Brew.id).exists()
    )
    assert blank >= 100, "many brews are neither noted nor tasted"


def test_repeats_with_scores_so_that_a_spread_exists(demo):
    scored = (
        select(func.count(Brew.id.distinct()).label("cups"))
        .join(Tasting)
        .where(Tasting.liking.is_not(None))
        .group_by(Brew.revision_id, Brew.bag_id, Brew.grind_setting, Brew.dose_g, Brew.steep_s)
    )
    assert sum(cups >= 3 for cups in demo.scalars(scored)) >= 5


def test_recipes_with_revisions_and_steps(demo):
    assert demo.scalar(select(func.count()).select_from(Recipe)) >= 5
    assert demo.scalar(select(func.max(RecipeRevision.number))) >= 3
    assert set(demo.scalars(select(Step.kind))) >= {
        "bloom",
        "pour",
        "stir",
        "press",
        "dilute",
        "ice",
    }
    early = select(func.count()).select_from(Brew).join(RecipeRevision)
    assert demo.scalar(early.where(RecipeRevision.made_at > Brew.brewed_at)) == 0


def test_two_tasters_both_on_some_blind_on_some(demo):
    assert demo.scalar(select(func.count()).select_from(Taster)) == 2
    who = Counter(demo.scalars(select(Tasting.brew_id)))
    assert sum(n == 2 for n in who.values()) >= 30
    assert count(demo) - len(who) >= 0.3 * count(demo)
    assert demo.scalar(select(func.count()).where(Tasting.blind)) >= 10
    assert demo.scalar(select(func.count()).where(Tasting.words != "")) >= 50
    assert demo.scalar(select(func.count()).where(Tasting.note != "")) >= 10


def test_scores_use_the_scales(demo):
    liking = [points for points in demo.scalars(select(Tasting.liking)) if points is not None]
    assert min(liking) <= 4
    assert max(liking) >= 8
    for column in JAR:
        assert {2, 3, 4} <= set(demo.scalars(select(column))), column.key


def test_the_tasters_differ_in_the_strength_they_like(demo):
    """Told from the journal's side: what one finds right the other finds too little."""
    means = dict(
        demo.execute(
            select(Taster.name, func.avg(Tasting.jar_strength)).join(Tasting).group_by(Taster.name)
        ).all()
    )
    assert means["Nell"] > means["Ivo"] + 0.2


def test_saved_pairs_of_one_morning(demo):
    a, b = aliased(Brew), aliased(Brew)
    rows = demo.execute(
        select(a.brewed_on, b.brewed_on, SideBySide.preference, SideBySide.note)
        .join(a, a.id == SideBySide.brew_a_id)
        .join(b, b.id == SideBySide.brew_b_id)
    ).all()
    assert len(rows) >= 8
    assert all(first == second and note for first, second, _, note in rows)
    assert len({preference for *_, preference, _ in rows}) >= 2


def test_some_strengths_measured_and_some_beverages_weighed(demo):
    assert 60 <= count(demo, Brew.tds_pct.is_not(None)) <= 90
    assert 65 <= count(demo, Brew.beverage_g.is_not(None)) <= 95
    assert count(demo, Brew.beverage_g.is_not(None), Brew.tds_pct.is_not(None)) >= 20
    weighed = demo.execute(select(Brew.water_g + Brew.bypass_g + Brew.ice_g, Brew.beverage_g))
    assert all(grams is None or grams < poured for poured, grams in weighed)
