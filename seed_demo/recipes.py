"""The household's recipes with their revisions: the values from which day on, and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

DemoStep = tuple[
    str, int | None, int | None, float | None, str
]  # kind, starts s, lasts s, grams, note


@dataclass(frozen=True, slots=True)
class Revision:
    """`from_day` counts from the first day of the demo; `values` are the journal's columns."""

    from_day: int
    why: str
    values: dict[str, Any]
    steps: tuple[DemoStep, ...]


@dataclass(frozen=True, slots=True)
class DemoRecipe:
    name: str
    brewer: str
    note: str
    revisions: tuple[Revision, ...]


def dosed(dose_g: float, water_g: float, grind: str, temp_c: float, **more: Any) -> dict[str, Any]:
    values = {"dose_g": dose_g, "water_g": water_g, "grind": grind, "water_temp_c": temp_c}
    return values | {"steep_s": None, "press_s": None, "stirs": None} | more


def pressed(water_g: float, steep_s: int, press_s: int, *tail: DemoStep) -> tuple[DemoStep, ...]:
    return (
        ("pour", 0, 15, water_g, ""),
        ("stir", 15, 5, None, "Back and forth, to the bottom."),
        ("steep", 20, steep_s - 20, None, ""),
        ("press", steep_s, press_s, None, "Slowly; stop at the hiss."),
        *tail,
    )


MORNING = DemoRecipe(
    "Morning cup",
    "press",
    "The everyday cup: upright, one mug.",
    (
        Revision(
            -30,
            "",
            dosed(11.0, 200.0, "medium-fine", 90.0, steep_s=75, press_s=25, stirs=3),
            pressed(200.0, 75, 25),
        ),
        Revision(
            58,
            "Thin at the end of a bag: steep half a minute longer.",
            dosed(11.0, 200.0, "medium-fine", 90.0, steep_s=105, press_s=25, stirs=3),
            pressed(200.0, 105, 25),
        ),
        Revision(
            215,
            "Hotter water, since the kettle has a thermometer now.",
            dosed(11.0, 200.0, "medium-fine", 94.0, steep_s=105, press_s=25, stirs=3),
            pressed(200.0, 105, 25),
        ),
    ),
)
FLIPPED = DemoRecipe(
    "Flipped mug",
    "press",
    "Upside down while it steeps. Hold both parts when turning it over: the water scalds.",
    (
        Revision(
            -30,
            "",
            dosed(14.5, 255.0, "medium", 93.0, steep_s=120, press_s=30, stirs=5, flipped=True),
            pressed(255.0, 120, 30),
        ),
        Revision(
            140,
            "A little more coffee for the same mug.",
            dosed(15.0, 255.0, "medium", 93.0, steep_s=135, press_s=30, stirs=5, flipped=True),
            pressed(255.0, 135, 30),
        ),
    ),
)
FOR_TWO = DemoRecipe(
    "Two mugs from one press",
    "press",
    "Double dose, as much water as it holds, long steep, made up with hot water and shared.",
    (
        Revision(
            -30,
            "",
            dosed(
                22.0, 240.0, "medium-fine", 94.0, bypass_g=160.0, steep_s=240, press_s=40, stirs=6
            ),
            pressed(240.0, 240, 40, ("dilute", 285, 10, 160.0, "Half in each mug.")),
        ),
    ),
)
ICED = DemoRecipe(
    "Iced glass",
    "press",
    "Brewed strong, pressed onto ice.",
    (
        Revision(
            -30,
            "",
            dosed(18.0, 180.0, "medium-fine", 93.0, ice_g=120.0, steep_s=150, press_s=35, stirs=4),
            pressed(180.0, 150, 35, ("ice", 0, None, 120.0, "In the glass beforehand.")),
        ),
    ),
)
SHORT = DemoRecipe(
    "Short and strong",
    "press",
    "A lot of coffee for one mug, and a lot of caffeine: not late in the day.",
    (
        Revision(
            -30,
            "",
            dosed(30.0, 100.0, "fine", 85.0, bypass_g=100.0, steep_s=42, press_s=45, stirs=8),
            pressed(100.0, 42, 45, ("dilute", 90, 5, 100.0, "")),
        ),
    ),
)
CONE = DemoRecipe(
    "Weekend cone",
    "cone",
    "Three pours, for two small cups.",
    (
        Revision(
            -30,
            "",
            dosed(18.0, 300.0, "medium", 94.0, steep_s=180),
            (
                ("bloom", 0, 35, 45.0, "Swirl once."),
                ("pour", 35, 30, 130.0, ""),
                ("pour", 90, 30, 125.0, "Until the bed shows at 3:00."),
            ),
        ),
        Revision(
            118,
            "Two more grams, and the same rhythm.",
            dosed(20.0, 320.0, "medium", 94.0, steep_s=195),
            (
                ("bloom", 0, 40, 50.0, "Swirl once."),
                ("pour", 40, 30, 140.0, ""),
                ("pour", 95, 30, 130.0, "Until the bed shows at 3:15."),
            ),
        ),
    ),
)
POT = DemoRecipe(
    "Sunday pot",
    "pot",
    "Poured, stirred once, left alone, poured off its grounds.",
    (
        Revision(
            -30,
            "",
            dosed(30.0, 500.0, "medium-coarse", 95.0, steep_s=300, stirs=1),
            (("pour", 0, 20, 500.0, ""), ("stir", 25, 5, None, ""), ("steep", 30, 270, None, "")),
        ),
    ),
)
RECIPES = {
    "morning": MORNING,
    "flipped": FLIPPED,
    "for two": FOR_TWO,
    "iced": ICED,
    "short": SHORT,
    "cone": CONE,
    "pot": POT,
}


def revision_on(recipe: str, day: int) -> int:
    """The place of the revision in force on a day of the demo."""
    return sum(one.from_day <= day for one in RECIPES[recipe].revisions) - 1
