"""The invented household: its gear, water, filters and beans.

Every name is made up: people, town, roasters, beans. The gear is generic.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

ZONE = "Europe/Vienna"
TOWN = "Quillmarsh"
CURRENCY = "EUR"

PRESS = {"kind": "pressed immersion", "capacity_g": 355.0, "capacity_dose_g": 17.5}
BREWERS: dict[str, dict[str, Any]] = {
    "left": PRESS
    | {"name": "Left press", "note": "One of two alike; this one has the chipped lid."},
    "right": PRESS | {"name": "Right press", "note": "The other one. Ivo's, some mornings."},
    "turned": {
        "name": "Turn-over pot",
        "kind": "immersion",
        "capacity_g": 390.0,
        "capacity_dose_g": 20.5,
        "note": "Steeps upside down, drains onto the mug once turned: over the sink, both hands.",
    },
    "pot": {"name": "Enamel pot", "kind": "immersion", "capacity_g": 1150.0},
    "cone": {"name": "Clay cone", "kind": "cone", "capacity_g": 640.0, "capacity_dose_g": 33.0},
}
ALIKE = ("left", "right")  # side by side: cup A is brewed in the left one, cup B in the right one
GRINDERS: dict[str, dict[str, Any]] = {
    "hand": {"name": "Hand mill", "scale": "clicks from closed", "um_per_step": 19.5},
    "electric": {"name": "Electric mill", "scale": "dots on the collar, 0 to 26"},
}
WATERS: dict[str, dict[str, Any]] = {
    "tap": {
        "name": f"{TOWN} tap",
        "hardness_mg_l": 214.0,
        "alkalinity_mg_l": 176.0,
        "note": f"From the yearly leaflet of the {TOWN} waterworks.",
    },
    "boiled": {
        "name": "Tap, boiled the evening before",
        "hardness_mg_l": 121.0,
        "alkalinity_mg_l": 82.0,
        "note": "By the drops of a test kit. The chalk stays in the old pan.",
    },
}
# Days are counted from the first day of the demo.
PACKS: dict[str, dict[str, Any]] = {
    "flat 1": {
        "name": "Flat papers",
        "material": "paper",
        "count": 80,
        "price_minor": 430,
        "mass_g": 0.31,
        "bought": -19,
    },
    "flat 2": {
        "name": "Flat papers, second pack",
        "material": "paper",
        "count": 280,
        "price_minor": 1130,
        "mass_g": 0.31,
        "bought": 148,
        "note": "The same papers in a larger box.",
    },
    "cone": {
        "name": "Cone papers",
        "material": "paper",
        "count": 120,
        "price_minor": 860,
        "mass_g": 1.9,
        "bought": -33,
    },
    "metal": {
        "name": "Metal filter",
        "material": "metal",
        "count": 1,
        "price_minor": 1420,
        "mass_g": 11.6,
        "bought": -270,
        "note": "Older than this journal. Washed at once, dried on the rack.",
    },
    "cloth": {
        "name": "Cloth sleeves",
        "material": "cloth",
        "count": 3,
        "price_minor": 1170,
        "mass_g": 5.3,
        "bought": 57,
        "note": "Boiled on Sundays, kept dry.",
    },
}
METAL_PRIOR_USES = 57


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


VERDICTS = {  # said of a bag when it was finished: buy it again, and why
    "lamp": ("yes", "The one we both look forward to."),
    "orchard": ("yes", ""),
    "slow": ("unsure", "Fine while it was young, dull after that."),
    "iron": ("no", "Too heavy for the mornings, whatever we changed."),
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

    def roasted_before(self, opened_on: date) -> date | None:
        """The day of roasting of a bag that was never frozen."""
        return None if self.rest_days is None else opened_on - timedelta(days=self.rest_days)


MAIN_BAGS = (
    Bought("ferry", 600.0, 1780, 8),
    Bought("tide", 300.0, 1060, 6),
    Bought("slow", 750.0, 1690, 12, gone=((-17.5, "dose spilled on the floor"),)),
    Bought("lamp", 300.0, 1340, 10),
    Bought("orchard", 450.0, 1730, 7, "away"),
    Bought("ferry", 1200.0, 3180, 9, note="The big bag, to see what its days do."),
    Bought("iron", 300.0, 820, 14),
    Bought("tide", 600.0, 1980, 5, "before", 34),
    Bought("gift", 180.0, None, None, note="No date, no price."),
    Bought("lamp", 300.0, 1390, 9),
    Bought("slow", 1200.0, 2590, 11, "away"),
    Bought("orchard", 300.0, 1290, 8, gone=((-23.0, "given to the neighbours"),)),
    Bought("ferry", 600.0, 1840, 4),
    Bought("tide", 600.0, 2040, 7, "before", 20),
    Bought("lamp", 450.0, 1970, 9),
    Bought("slow", 1200.0, 2690, 10),
    Bought("orchard", 600.0, 2260, 6),
    Bought("ferry", 750.0, 2340, 8),
    Bought("tide", 1200.0, 3460, 7),
    Bought("slow", 750.0, 1740, 9),
    Bought("ferry", 1200.0, 3270, 6),
)
DECAF_BAGS = (
    Bought("night", 300.0, 1070, 10, "before", 16),
    Bought("night", 300.0, 1070, 13),
    Bought("night", 300.0, 1110, 9),
    Bought("night", 300.0, 1110, 8, "before", 30),
    Bought("night", 300.0, 1150, 11),
    Bought("night", 300.0, 1150, 9),
    Bought("night", 300.0, 1180, 12),
)
TO_TRY = Bought("orchard", 450.0, 1780, 8, note="Kept apart, for what is tried on purpose.")
IN_THE_FREEZER = Bought("lamp", 300.0, 1430, 6, "before", note="For the new year.")
