"""The hidden tastes of the two tasters: the cup each likes best, and how far off a cup is.

All invented: a best strength each, the merit of a bean, staleness since roasting (days in the
freezer left out), a little for the uses of a paper, and a mood. Scores are rounded to nine points.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

BEST_REST_DAYS = 13.0


@dataclass(frozen=True, slots=True)
class Palate:
    best_pct: float
    tolerance_pct: float
    kindness: float
    mood_sd: float
    words_often: float


PALATES = {"Nell": Palate(1.18, 0.24, 0.1, 0.55, 0.5), "Ivo": Palate(1.36, 0.30, -0.2, 0.75, 0.3)}


@dataclass(frozen=True, slots=True)
class TastedCup:
    """What a taster tastes: strength (% TDS), extraction (a fraction), merit of the bean (to 9)."""

    strength_pct: float
    extraction: float
    merit: float
    rest_days: int | None
    paper_use: int
    filter_material: str
    hard_water: bool


def liking(who: str, cup: TastedCup, rng: Random) -> int:
    """A score on the nine-point scale."""
    palate = PALATES[who]
    off = (cup.strength_pct - palate.best_pct) / palate.tolerance_pct
    score = cup.merit + palate.kindness - 1.1 * off * off - _staleness(cup.rest_days)
    score -= 0.07 * (cup.paper_use - 1) + 0.25 * cup.hard_water
    return min(9, max(1, round(score + rng.gauss(0.0, palate.mood_sd))))


def just_right(who: str, cup: TastedCup, rng: Random) -> dict[str, int]:
    """Scores on the six just-right scales, named as the journal's columns; 3 is just right."""
    off = (cup.strength_pct - PALATES[who].best_pct) / 0.22
    drawn = 100.0 * cup.extraction - 19.5
    metal = cup.filter_material == "metal"
    stale = _staleness(cup.rest_days)
    leanings = {
        "jar_strength": off,
        "jar_sweetness": -0.45 * abs(off) - 0.4 * stale,
        "jar_acidity": -0.30 * drawn - 0.5 * cup.hard_water - 0.5 * stale,
        "jar_bitterness": 0.35 * drawn + 0.5 * off,
        "jar_body": 0.6 * off + 0.8 * metal,
        "jar_clarity": -0.9 * metal - 0.12 * (cup.paper_use - 1),
    }
    return {name: _step(lean + rng.gauss(0.0, 0.4)) for name, lean in leanings.items()}


def words_for(scales: dict[str, int], rng: Random) -> str:
    """A few words of tasting that fit the scales."""
    fitting = [word for (name, side), word in WORDS.items() if _on(scales[name], side)]
    pool = fitting + list(PLEASANT)
    return ", ".join(dict.fromkeys(rng.choice(pool) for _ in range(rng.randint(1, 3))))


WORDS = {
    ("jar_strength", -1): "thin",
    ("jar_strength", 1): "intense",
    ("jar_sweetness", 0): "sweet",
    ("jar_acidity", 1): "sharp",
    ("jar_acidity", -1): "flat",
    ("jar_bitterness", 1): "bitter",
    ("jar_body", 1): "heavy",
    ("jar_body", -1): "tea-like",
    ("jar_clarity", -1): "muddy",
    ("jar_clarity", 0): "clean",
}
PLEASANT = ("nutty", "toffee", "dried fruit", "cocoa", "plum", "toast")


def _staleness(rest_days: int | None) -> float:
    if rest_days is None:
        return 0.4
    off = (rest_days - BEST_REST_DAYS) / (9.0 if rest_days < BEST_REST_DAYS else 22.0)
    return min(1.8, 0.9 * off * off)


def _step(lean: float) -> int:
    return min(5, max(1, round(3 + lean)))


def _on(step: int, side: int) -> bool:
    return step == 3 if side == 0 else (step - 3) * side > 0
