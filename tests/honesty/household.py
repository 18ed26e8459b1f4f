"""A planted household: what its cups are truly worth, and the rows its journal would hold.

Twenty days a bag, four bags one after the other. A morning has one cup, or two by two recipes with
a preference between them. Scores are whole numbers with noise from cup to cup, day to day (each a
little like the day before) and bag to bag; doses and waters are weighed as a kitchen does. Two
tasters; what each scores, and what moved along with what, is what a `Truth` plants.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal, NamedTuple
from uuid import UUID

import numpy as np
from sqlalchemy import Connection, insert
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Base
from app.schema import upgrade

Row = dict[str, Any]

BAGS, BAG_DAYS, FIRST_REST = 4, 20, 7
FIRST = date(2026, 1, 5)
TODAY = FIRST + timedelta(days=BAGS * BAG_DAYS)
NOW = datetime.combine(TODAY, time(12), tzinfo=UTC)
CUP_SD, DAY_SD, BAG_SD, DAYS_ALIKE = 0.8, 0.4, 0.5, 0.2
FINE, COARSE = 17, 19
ONE, OTHER = 1, 2  # tasters, and recipes
GOOD = 5  # the liking from which whoever scores only good cups scores one

Scoring = Literal["every cup", "good cups", "good days", "good cups of old bags"]


class Truth(NamedTuple):
    """Points: of a fine grind, a day of the bag, the first recipe; what the other taster gives more
    and what a cup loses for each step of bitterness too much.

    `grind_by` says how it was set: for each cup by lot, or finer as the bag ages, when more of the
    cups turn out bitter. With `old_other`
    the first recipe was made early in each bag and the other one late. Who is `choosy` scores only
    as `scoring` says, the other one every cup.
    """

    fine: float = 0.0
    a_day: float = 0.0
    first_recipe: float = 0.0
    other_taster: float = 0.0
    bitter: float = 0.0
    grind_by: Literal["lot", "age"] = "lot"
    old_other: bool = False
    scoring: Scoring = "every cup"
    choosy: tuple[int, ...] = (ONE, OTHER)


@contextmanager
def household() -> Iterator[Database]:
    """A journal with the household's gear in it, in a file of its own."""
    with TemporaryDirectory() as folder:
        url = f"sqlite:///{Path(folder) / 'journal.db'}"
        upgrade(url)
        database = Database(url)
        with database.writing() as session:
            _insert(session.connection(), _gear())
        yield database
        database.dispose()


@contextmanager
def planted(database: Database, rng: np.random.Generator, truth: Truth) -> Iterator[Session]:
    """A session that sees one year of such mornings, which are gone again when it ends."""
    with Session(database.writer) as session:
        _insert(session.connection(), _rows(rng, truth))
        yield session
        session.rollback()


def _insert(connection: Connection, rows: dict[str, list[Row]]) -> None:
    for table, made in rows.items():
        if made:
            connection.execute(insert(Base.metadata.tables[table]), made)


def _gear() -> dict[str, list[Row]]:
    steps = {"made_at": NOW, "dose_g": 13.6, "water_g": 218.0, "grind": "medium"}
    return {
        "bean": [{"id": 1, "name": "Slope", "roaster": "Yard"}],
        "brewer": [{"id": 1, "name": "Cone", "kind": "cone"}],
        "grinder": [{"id": 1, "name": "Mill"}],
        "water": [{"id": 1, "name": "Tap"}],
        "taster": [{"id": ONE, "name": "One"}, {"id": OTHER, "name": "Two"}],
        "recipe": [{"id": ONE, "name": "Short"}, {"id": OTHER, "name": "Long"}],
        "recipe_revision": [
            {"id": n, "recipe_id": n, "number": 1, "steep_s": steep_s, **steps}
            for n, steep_s in ((ONE, 95), (OTHER, 170))
        ],
        "bag": [
            {
                "id": bag + 1, "bean_id": 1, "net_g": 900.0,
                "roasted_on": day_of(bag * BAG_DAYS - FIRST_REST),
                "opened_on": day_of(bag * BAG_DAYS),
                "finished_on": day_of((bag + 1) * BAG_DAYS - 1),
            }
            for bag in range(BAGS)
        ],
    }  # fmt: skip


def day_of(number: int) -> date:
    return FIRST + timedelta(days=number)


class _Cup(NamedTuple):
    """A brew: the day, its place on it, recipe, setting, steps of bitterness too much, worth."""

    day: int
    place: int
    recipe: int
    setting: int
    bitter: int
    worth: float


def _rows(rng: np.random.Generator, truth: Truth) -> dict[str, list[Row]]:
    cups = _cups(rng, truth)
    return {
        "brew": [_brew(rng, n, cup) for n, cup in enumerate(cups, start=1)],
        "tasting": _tastings(rng, truth, cups),
        "side_by_side": _pairs(rng, truth, cups),
    }


def _cups(rng: np.random.Generator, truth: Truth) -> list[_Cup]:
    cups: list[_Cup] = []
    level, bags, today = rng.uniform(4.2, 5.2), rng.normal(0, BAG_SD, BAGS), 0.0
    for day in range(BAGS * BAG_DAYS):
        today = DAYS_ALIKE * today + np.sqrt(1 - DAYS_ALIKE**2) * rng.normal(0, DAY_SD)
        age = day % BAG_DAYS
        tossed = COARSE if rng.random() < 0.5 else FINE
        setting = 26 - age // 2 if truth.grind_by == "age" else tossed
        recipes = [ONE, OTHER] if rng.random() < 0.5 else [int(rng.integers(1, 3))]
        if truth.old_other:
            recipes = [ONE if age < BAG_DAYS / 2 else OTHER]
        for place, recipe in enumerate(recipes):
            bitter = int(rng.random() < (age / BAG_DAYS if truth.grind_by == "age" else 0.4))
            worth = (
                level + bags[day // BAG_DAYS] + today
                + truth.fine * _fineness(truth, setting, age)
                + truth.a_day * (age - BAG_DAYS / 2)
                + truth.first_recipe * (recipe == ONE)
                - truth.bitter * bitter
                + rng.normal(0, CUP_SD / np.sqrt(2))
            )  # fmt: skip
            cups.append(_Cup(day, place, recipe, setting, bitter, float(worth)))
    return cups


def _fineness(truth: Truth, setting: int, age: int) -> float:
    """1 for a fine grind by lot; as the bag ages, from −1 to 1."""
    return 2 * age / BAG_DAYS - 1 if truth.grind_by == "age" else float(setting == FINE)


def _brew(rng: np.random.Generator, n: int, cup: _Cup) -> Row:
    at = datetime.combine(day_of(cup.day), time(7), tzinfo=UTC)
    at += timedelta(minutes=int(rng.integers(0, 40)) + 15 * cup.place)
    return {
        "id": n, "entry_key": str(UUID(int=n)), "brewed_at": at, "zone": "UTC",
        "brewed_on": at.date(), "bag_id": 1 + cup.day // BAG_DAYS, "brewer_id": 1,
        "grinder_id": 1, "water_id": 1, "revision_id": cup.recipe, "grind": "medium",
        "grind_setting": str(cup.setting), "dose_g": round(float(rng.normal(13.6, 0.1)), 1),
        "water_g": float(round(rng.normal(218, 1))), "water_temp_c": 91.0,
        "steep_s": 95 if cup.recipe == ONE else 170, "stirs": 3, "note_search": "",
    }  # fmt: skip


def _tastings(rng: np.random.Generator, truth: Truth, cups: list[_Cup]) -> list[Row]:
    """The first taster scores most cups, the other one of three in two; each as `scoring` says."""
    rows: list[Row] = []
    for n, cup in enumerate(cups, start=1):
        at = datetime.combine(day_of(cup.day), time(8), tzinfo=UTC)
        for taster, shares, more in ((ONE, 0.95, 0.0), (OTHER, 0.66, truth.other_taster)):
            own = rng.normal(0, CUP_SD / np.sqrt(2))
            liking = int(np.clip(np.round(cup.worth + more + own), 1, 9))
            scoring = truth.scoring if taster in truth.choosy else "every cup"
            if rng.random() > shares or not _scores(rng, scoring, cup, liking):
                continue
            rows.append(
                {
                    "entry_key": str(UUID(int=len(rows) + 1)), "brew_id": n, "taster_id": taster,
                    "tasted_at": at, "zone": "UTC", "liking": liking, "blind": False,
                    "jar_bitterness": 3 + cup.bitter, "text_search": "",
                }
            )  # fmt: skip
    return rows


def _scores(rng: np.random.Generator, scoring: Scoring, cup: _Cup, liking: int) -> bool:
    """Whether a cup is scored at all: one taken for bad is left out nine times in ten."""
    good = (cup.worth if scoring == "good days" else liking) >= GOOD
    choosy = scoring != "every cup" and (
        scoring != "good cups of old bags" or cup.day % BAG_DAYS > BAG_DAYS / 2
    )
    return good or not choosy or bool(rng.random() < 0.1)


def _pairs(rng: np.random.Generator, truth: Truth, cups: list[_Cup]) -> list[Row]:
    """What is preferred of a morning's two cups; with `old_other`, of an early and a late one."""
    by_day: dict[int, list[int]] = {}
    for n, cup in enumerate(cups):
        by_day.setdefault(cup.day, []).append(n)
    met = [(of[0], of[1]) for of in by_day.values() if len(of) == 2]
    if truth.old_other:
        half = BAG_DAYS // 2
        met = [(by_day[day][0], by_day[day + half][0]) for day in by_day if day % BAG_DAYS < half]
    return [
        {
            "brew_a_id": a + 1, "brew_b_id": b + 1, "saved_at": NOW, "note": "",
            "preference": _preferred(rng, cups[a], cups[b]),
        }
        for a, b in met
    ]  # fmt: skip


def _preferred(rng: np.random.Generator, a: _Cup, b: _Cup) -> str:
    apart = a.worth - b.worth + rng.normal(0, 0.3)
    return "neither" if abs(apart) < 0.2 else "a" if apart > 0 else "b"
