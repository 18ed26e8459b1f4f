"""What a column of a spreadsheet can be, and the words that head it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.brewing import bounds

Kind = Literal[
    "day", "clock", "name", "amount", "whole", "duration", "ratio", "grind", "liking", "note"
]


@dataclass(frozen=True)
class FieldFacts:
    """Something a brew knows: how it is called, and how its cells are read.

    `unit` is the one it is stored in; `units` those its column may be in. `bounds` are of the
    stored value.
    """

    label: str
    kind: Kind
    unit: str = ""
    units: tuple[str, ...] = ()
    bounds: tuple[float, float] | None = None
    longest: int = 120


MASS, VOLUME_TOO = ("g", "oz"), ("g", "oz", "ml", "US fl oz")
TIMES = ("s", "min")
# In the order in which the page offers them. Those of a brew are called as its columns are.
KNOWN: dict[str, FieldFacts] = {
    "brewed_on": FieldFacts("Day", "day"),
    "brewed_at": FieldFacts("Time of day", "clock"),
    "bean": FieldFacts("Bean", "name"),
    "roaster": FieldFacts("Roaster", "name"),
    "roasted_on": FieldFacts("Roasted on", "day"),
    "brewer": FieldFacts("Brewer", "name"),
    "recipe": FieldFacts("Recipe", "name"),
    "dose_g": FieldFacts("Dose", "amount", "g", MASS, bounds.DOSE_G),
    "water_g": FieldFacts("Brew water", "amount", "g", VOLUME_TOO, bounds.WATER_G),
    "ratio": FieldFacts("Ratio (1 : …)", "ratio"),
    "bypass_g": FieldFacts("Bypass water", "amount", "g", VOLUME_TOO, bounds.BYPASS_G),
    "ice_g": FieldFacts("Ice", "amount", "g", MASS, bounds.ICE_G),
    "water_temp_c": FieldFacts(
        "Water temperature", "amount", "°C", ("°C", "°F"), bounds.WATER_TEMP_C
    ),
    "steep_s": FieldFacts("Steep", "duration", "s", TIMES, bounds.STEEP_S),
    "press_s": FieldFacts("Press time", "duration", "s", TIMES, bounds.PRESS_S),
    "stirs": FieldFacts("Stirs", "whole", "", (), bounds.STIRS),
    "grind": FieldFacts("Grind in words", "grind"),
    "grind_setting": FieldFacts("Grinder setting", "name", longest=20),
    "grinder": FieldFacts("Grinder", "name"),
    "filter": FieldFacts("Filter", "name"),
    "filter_use": FieldFacts("Use of the filter", "whole", "", (), bounds.FILTER_USE),
    "beverage_g": FieldFacts("Beverage in the cup", "amount", "g", VOLUME_TOO, bounds.BEVERAGE_G),
    "tds_pct": FieldFacts("Strength (TDS, %)", "amount", "", (), bounds.TDS_PCT),
    "liking": FieldFacts("Liking", "liking"),
    "taster": FieldFacts("Taster", "name"),
    "taste_note": FieldFacts("Note of the tasting", "note"),
    "note": FieldFacts("Note of the brew", "note"),
}  # fmt: skip
# What heads such a column, the best first.
WORDS = {
    "brewed_on": "date | day | brewed | brew date | datum | when | jour | timestamp",
    "brewed_at": "time of day | time | hour | clock | uhrzeit | heure | started",
    "bean": "bean | beans | coffee | bean name | coffee name | bohne | bohnen | kaffee | café",
    "roaster": "roaster | roastery | roasted by | rösterei | röster | torréfacteur",
    "roasted_on": "roast date | roasted on | roasted | roast day | röstdatum | roast",
    "brewer": "brewer | device | method | brew method | maker | brewed with | zubereitung",
    "recipe": "recipe | rezept | recette",
    "dose_g": "dose | coffee in | coffee g | coffee weight | grounds | dosis | kaffeemenge | in",
    "water_g": "water | brew water | water in | water weight | wasser | eau | wassermenge",
    "ratio": "ratio | brew ratio | verhältnis",
    "bypass_g": "bypass | bypass water | diluted with | top up",
    "ice_g": "ice | eis",
    "water_temp_c": "temperature | water temp | temp | water temperature | temperatur",
    "steep_s": "steep | steep time | brew time | contact time | total time | ziehzeit | zeit",
    "press_s": "press | press time | plunge | plunge time | pressing",
    "stirs": "stirs | stir | times stirred",
    "grind": "grind | grind size | mahlgrad | mouture",
    "grind_setting": "grind setting | grinder setting | setting | clicks | click | dial",
    "grinder": "grinder | mill | mühle | moulin",
    "filter": "filter | filter type | paper | filter paper",
    "filter_use": "filter use | use | filter uses | use no | nth use | times used",
    "beverage_g": "beverage | out | yield | coffee out | beverage weight | in cup",
    "tds_pct": "tds | strength | tds % | measured strength",
    "liking": "liking | score | rating | stars | points | note sur | bewertung | grade | overall",
    "taster": "taster | tasted by | getrunken von | who | drinker",
    "taste_note": "tasting notes | tasting note | taste | flavour | flavor | flavours | geschmack",
    "note": "note | notes | comment | comments | remarks | notiz | bemerkung | kommentar",
}
HEADINGS = {field: tuple(words.split(" | ")) for field, words in WORDS.items()}
TO_NOTE, LEFT_OUT = "to the note", "left out"
UNIT_WORDS = {
    "g": "g", "gr": "g", "gram": "g", "grams": "g", "gramm": "g", "oz": "oz", "ounce": "oz",
    "ounces": "oz", "ml": "ml", "fl oz": "US fl oz", "c": "°C", "°c": "°C", "celsius": "°C",
    "f": "°F", "°f": "°F", "fahrenheit": "°F", "s": "s", "sec": "s", "secs": "s", "seconds": "s",
    "min": "min", "mins": "min", "minutes": "min", "%": "", "1:x": "", "clicks": "", "1-9": "",
    "1-10": "", "1-5": "", "0-100": "", "x/10": "", "/10": "", "/5": "", "/100": "",
}  # fmt: skip
