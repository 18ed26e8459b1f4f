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


def steeped(water_g: float, steep_s: int) -> tuple[DemoStep, ...]:
    return (
        ("pour", 0, 20, water_g, ""),
        ("stir", 20, 10, None, "To the bottom, where it is dry."),
        ("steep", 30, steep_s - 30, None, ""),
    )


def pressed(water_g: float, steep_s: int, press_s: int, *tail: DemoStep) -> tuple[DemoStep, ...]:
    press = ("press", steep_s, press_s, None, "Slowly; stop when air comes through.")
    return (*steeped(water_g, steep_s), press, *tail)


MORNING = DemoRecipe(
    "Morning cup",
    "left",
    "Nell's, before the bus: one mug.",
    (
        Revision(
            -30,
            "",
            dosed(17.5, 305.0, "medium-fine", 91.0, steep_s=160, press_s=28, stirs=4),
            pressed(305.0, 160, 28),
        ),
        Revision(
            61,
            "Thin at the end of a bag: let it stand three quarters of a minute more.",
            dosed(17.5, 305.0, "medium-fine", 91.0, steep_s=205, press_s=28, stirs=4),
            pressed(305.0, 205, 28),
        ),
        Revision(
            207,
            "Straight off the boil, since the new kettle pours without a splash.",
            dosed(17.5, 305.0, "medium-fine", 97.0, steep_s=205, press_s=28, stirs=4),
            pressed(305.0, 205, 28),
        ),
    ),
)
SECOND = DemoRecipe(
    "Ivo's mug",
    "right",
    "The same press, more coffee, a longer wait.",
    (
        Revision(
            -30,
            "",
            dosed(20.5, 315.0, "medium-fine", 96.0, steep_s=230, press_s=32, stirs=7),
            pressed(315.0, 230, 32),
        ),
    ),
)
FLIPPED = DemoRecipe(
    "Turned over",
    "turned",
    "Upside down while it steeps. Hold both parts when turning it over: the water scalds.",
    (
        Revision(
            -30,
            "",
            dosed(19.5, 325.0, "medium", 96.0, steep_s=190, stirs=7, flipped=True),
            steeped(325.0, 190),
        ),
        Revision(
            143,
            "A little more coffee for the same mug.",
            dosed(20.5, 325.0, "medium", 96.0, steep_s=215, stirs=7, flipped=True),
            steeped(325.0, 215),
        ),
    ),
)
FOR_TWO = DemoRecipe(
    "One press, two mugs",
    "left",
    "Twice the coffee, as much water as it holds, the rest from the kettle into warm mugs.",
    (
        Revision(
            -30,
            "",
            dosed(
                35.0, 340.0, "medium-fine", 97.0, bypass_g=270.0, steep_s=250, press_s=43, stirs=9
            ),
            pressed(340.0, 250, 43, ("dilute", 300, 15, 270.0, "Half in each mug.")),
        ),
    ),
)
ICED = DemoRecipe(
    "Balcony glass",
    "right",
    "Brewed strong, pressed onto ice.",
    (
        Revision(
            -30,
            "",
            dosed(26.5, 215.0, "medium-fine", 96.0, ice_g=145.0, steep_s=170, press_s=37, stirs=7),
            pressed(215.0, 170, 37, ("ice", 0, None, 145.0, "In the glass beforehand.")),
        ),
    ),
)
SHORT = DemoRecipe(
    "Night shift",
    "right",
    "A lot of coffee for one small mug, and a lot of caffeine: not late in the day.",
    (
        Revision(
            -30,
            "",
            dosed(24.0, 115.0, "fine", 87.0, bypass_g=95.0, steep_s=65, press_s=50, stirs=9),
            pressed(115.0, 65, 50, ("dilute", 120, 10, 95.0, "")),
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
            dosed(21.5, 365.0, "medium", 97.0, steep_s=210),
            (
                ("bloom", 0, 45, 58.0, "Swirl once."),
                ("pour", 45, 35, 162.0, ""),
                ("pour", 105, 35, 145.0, "Until the bed shows at 3:30."),
            ),
        ),
        Revision(
            113,
            "Two more grams, and the same rhythm.",
            dosed(23.5, 395.0, "medium", 97.0, steep_s=225),
            (
                ("bloom", 0, 45, 63.0, "Swirl once."),
                ("pour", 45, 35, 177.0, ""),
                ("pour", 110, 35, 155.0, "Until the bed shows at 3:45."),
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
            dosed(38.5, 640.0, "medium-coarse", 97.0, steep_s=370, stirs=1),
            (("pour", 0, 25, 640.0, ""), ("stir", 30, 5, None, ""), ("steep", 35, 335, None, "")),
        ),
    ),
)
RECIPES = {
    "morning": MORNING,
    "second": SECOND,
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
