"""What the two tasters hide from themselves: the cup each likes best, and how far off this one is.

All invented: a best strength each, a bean's own merit, ageing after roasting (days in the freezer
left out), a paper's uses worth little, a mood of the day. The score is rounded to the nine points.
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


PALATES = {
    "Nell": Palate(1.18, 0.24, 0.1, 0.55, 0.5),
    "Ivo": Palate(1.36, 0.30, -0.2, 0.75, 0.3),
}


@dataclass(frozen=True, slots=True)
class Sip:
    """What a taster meets: strength in %, extraction as a fraction, the bean's merit of 9."""

    strength_pct: float
    extraction: float
    merit: float
    rest_days: int | None
    paper_use: int
    filter_material: str
    hard_water: bool


def liking(who: str, sip: Sip, rng: Random) -> int:
    """One of nine points."""
    palate = PALATES[who]
    off = (sip.strength_pct - palate.best_pct) / palate.tolerance_pct
    score = sip.merit + palate.kindness - 1.1 * off * off - _staleness(sip.rest_days)
    score -= 0.07 * (sip.paper_use - 1) + 0.25 * sip.hard_water
    return min(9, max(1, round(score + rng.gauss(0.0, palate.mood_sd))))


def just_right(who: str, sip: Sip, rng: Random) -> dict[str, int]:
    """The six scales, 3 being just right; named as the journal's columns."""
    off = (sip.strength_pct - PALATES[who].best_pct) / 0.22
    drawn = 100.0 * sip.extraction - 19.5
    metal = sip.filter_material == "metal"
    stale = _staleness(sip.rest_days)
    leanings = {
        "jar_strength": off,
        "jar_sweetness": -0.45 * abs(off) - 0.4 * stale,
        "jar_acidity": -0.30 * drawn - 0.5 * sip.hard_water - 0.5 * stale,
        "jar_bitterness": 0.35 * drawn + 0.5 * off,
        "jar_body": 0.6 * off + 0.8 * metal,
        "jar_clarity": -0.9 * metal - 0.12 * (sip.paper_use - 1),
    }
    return {name: _step(lean + rng.gauss(0.0, 0.4)) for name, lean in leanings.items()}


def said(scales: dict[str, int], rng: Random) -> str:
    """A few words that follow from the scales."""
    found = [word for (name, side), word in WORDS.items() if _on(scales[name], side)]
    pool = found + list(PLEASANT)
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
