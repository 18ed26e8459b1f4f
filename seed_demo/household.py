"""The invented household: its gear, water, filters and beans.

Every name is made up: people, town, roasters, beans. The gear is generic.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

ZONE = "Europe/Vienna"
TOWN = "Quillmarsh"
CURRENCY = "EUR"

BREWERS: dict[str, dict[str, Any]] = {
    "press": {
        "name": "Press brewer",
        "kind": "pressed immersion",
        "capacity_g": 265.0,
        "capacity_dose_g": 15.0,
        "note": "Stands on the mug, or upside down until it is turned over with care.",
    },
    "pot": {"name": "Stoneware pot", "kind": "immersion", "capacity_g": 900.0},
    "cone": {"name": "Glass cone", "kind": "cone", "capacity_g": 600.0, "capacity_dose_g": 36.0},
}
GRINDERS: dict[str, dict[str, Any]] = {
    "hand": {"name": "Hand grinder", "scale": "clicks from closed", "um_per_step": 22.0},
    "electric": {"name": "Electric grinder", "scale": "marks on the ring, 1 to 30"},
}
WATERS: dict[str, dict[str, Any]] = {
    "tap": {
        "name": f"{TOWN} tap",
        "hardness_mg_l": 231.0,
        "alkalinity_mg_l": 195.0,
        "note": f"From the yearly leaflet of the {TOWN} waterworks.",
    },
    "jug": {"name": "Tap through the filter jug", "hardness_mg_l": 88.0, "alkalinity_mg_l": 52.0},
}
# Days are counted from the first day of the demo.
PACKS: dict[str, dict[str, Any]] = {
    "round 1": {
        "name": "Round papers",
        "material": "paper",
        "count": 100,
        "price_minor": 590,
        "mass_g": 0.17,
        "bought": -12,
    },
    "round 2": {
        "name": "Round papers, second pack",
        "material": "paper",
        "count": 350,
        "price_minor": 1190,
        "mass_g": 0.17,
        "bought": 171,
        "note": "The big pack; the same papers.",
    },
    "cone": {
        "name": "Cone papers",
        "material": "paper",
        "count": 100,
        "price_minor": 720,
        "mass_g": 1.4,
        "bought": -40,
    },
    "metal": {
        "name": "Metal disc",
        "material": "metal",
        "count": 1,
        "price_minor": 1650,
        "mass_g": 9.3,
        "bought": -300,
        "note": "Came with some forty brews behind it. Washed at once, dried on the rack.",
    },
    "cloth": {
        "name": "Cloth sleeves",
        "material": "cloth",
        "count": 2,
        "price_minor": 980,
        "mass_g": 4.1,
        "bought": 60,
        "note": "Boiled on Sundays, kept dry.",
    },
}
METAL_PRIOR_USES = 40


def bean(name: str, roaster: str, origin: str, process: str, **rest: Any) -> dict[str, Any]:
    return {"name": name, "roaster": roaster, "origin": origin, "process": process, **rest}


BEANS: dict[str, dict[str, Any]] = {
    "ferry": bean("Morning Ferry", "Drumblewick Roasting", "Colombia", "washed"),
    "orchard": bean("Orchard Wall", "Drumblewick Roasting", "Ethiopia", "natural"),
    "tide": bean("Low Tide", "Harl and Pinnow", "Guatemala", "washed"),
    "slow": bean("Slow Tuesday", "Harl and Pinnow", "Brazil", "pulped natural"),
    "lamp": bean("Lamp Street", "Sundry Kettle Works", "Kenya", "washed"),
    "iron": bean(
        "Iron Stair",
        "Sundry Kettle Works",
        "Brazil, India",
        "natural and washed",
        robusta_pct=30.0,
        note="Three parts in ten robusta, it says on the bag.",
    ),
    "night": bean("Night Post", "Drumblewick Roasting", "Mexico", "washed", decaf=True),
    "gift": bean("Unlabelled gift", "", "", "", note="From the neighbours; no roast date on it."),
}
MERITS = {  # how good a cup of it can be, of nine points
    "ferry": 7.4,
    "orchard": 7.9,
    "tide": 7.2,
    "slow": 6.9,
    "lamp": 8.0,
    "iron": 6.0,
    "night": 6.3,
    "gift": 5.6,
}


@dataclass(frozen=True, slots=True)
class Bought:
    """One bag, listed in the order of opening. `rest_days`: roast to opening, less days frozen.

    `freezer` is "" (never), "before" (frozen unopened for `frozen_days`) or "away" (for the
    household's holidays). `gone` are grams that were lost, and why.
    """

    bean: str
    net_g: float
    price_minor: int | None
    rest_days: int | None = 9
    freezer: str = ""
    frozen_days: int = 0
    gone: tuple[tuple[float, str], ...] = ()
    note: str = ""


MAIN_BAGS = (
    Bought("ferry", 500.0, 1490, 8),
    Bought("tide", 250.0, 890, 6),
    Bought("slow", 500.0, 1190, 12, gone=((-11.0, "dose spilled on the floor"),)),
    Bought("lamp", 250.0, 1150, 10),
    Bought("orchard", 350.0, 1380, 7, "away"),
    Bought("ferry", 1000.0, 2690, 9, note="The big bag, to see what its days do."),
    Bought("iron", 250.0, 690, 14),
    Bought("tide", 500.0, 1690, 5, "before", 34),
    Bought("gift", 200.0, None, None, note="No date, no price."),
    Bought("lamp", 250.0, 1190, 9),
    Bought("slow", 1000.0, 2190, 11, "away"),
    Bought("orchard", 250.0, 1090, 8, gone=((-14.0, "given to the neighbours"),)),
    Bought("ferry", 500.0, 1550, 4),
    Bought("tide", 500.0, 1720, 7, "before", 20),
    Bought("lamp", 500.0, 2190, 9),
    Bought("slow", 1000.0, 2290, 10),
    Bought("orchard", 500.0, 1890, 6),
    Bought("ferry", 500.0, 1590, 8),
    Bought("tide", 1000.0, 2890, 7),
)
DECAF_BAGS = (
    Bought("night", 250.0, 890, 10, "before", 16),
    Bought("night", 250.0, 890, 13),
    Bought("night", 250.0, 920, 9),
    Bought("night", 250.0, 920, 8, "before", 30),
    Bought("night", 250.0, 950, 11),
    Bought("night", 250.0, 950, 9),
)
IN_THE_FREEZER = Bought("lamp", 250.0, 1210, 6, "before", note="For the new year.")
