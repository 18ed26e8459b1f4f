"""Sentences of the pages."""

from __future__ import annotations

from app.brewing.within.words import counted
from app.spreadsheet.fields import KNOWN, LEFT_OUT, TO_NOTE
from app.spreadsheet.matching import Matching
from app.spreadsheet.names import Counts

NO_FILE = "Please choose the file."
AWAY = "The sheet is no longer kept here. Please send it once more."
MEANWHILE = "Lines of this sheet have come into the journal meanwhile. Please look once more."
STOPPED = (
    "Writing stopped before it was finished, so nothing of it is in the journal. Bring it in again."
)
CHANGED = "The lines were changed meanwhile, in another window. Please look once more."
UNDECIDED = "The days can be read two ways. Please choose what comes first."
NO_BREWER = "Lines that name no brewer need one."
NO_TASTER = "Please write whose scores these are."
NO_BREWS = "There is no line to bring in."
FIELDS = {TO_NOTE: "to the brew’s note", LEFT_OUT: "leave it out"} | {
    name: known.label for name, known in KNOWN.items()
}
ORDERS = {
    "": "please choose",
    "dmy": "day first: 4.3. is in March",
    "mdy": "month first: 4/3 is in April",
}
DECIMALS = {".": "a point: 15.8", ",": "a comma: 15,8"}
SCALES = {
    "9": "1 to 9", "5": "1 to 5", "10": "1 to 10", "100": "0 to 100",
    "stars": "0 to 5 stars",
}  # fmt: skip


def brings(counts: Counts) -> str:
    """What would come in, in one sentence; what is new is said by number."""
    new = [
        counted(number, word)
        for number, word in (
            (len(counts.beans), "new bean"),
            (counts.bags, "new bag"),
            (len(counts.brewers), "new brewer"),
            (len(counts.grinders), "new grinder"),
            (len(counts.packs), "new pack of filters"),
            (len(counts.tasters), "new taster"),
        )
        if number
    ]
    parts = [
        counted(counts.brews, "brew"),
        *([counted(counts.tastings, "tasting")] if counts.tastings else []),
    ]
    what = ", ".join(parts)
    also = "With " + ", ".join(new) if new else "Nothing else is new"
    return f"{what[:1].upper()}{what[1:]}. {also}."


def read_as(matching: Matching) -> str:
    """How what can be written several ways was read."""
    fields = matching.fields
    days = {"dmy": "4/3 as 4 March", "mdy": "4/3 as 3 April"}.get(matching.order, "")
    unit = next((c.unit for c in matching.columns if c.field == "water_temp_c" and c.unit), "")
    scores = f"scores from {SCALES[matching.scale]}" if "liking" in fields else ""
    parts = [days, f"temperatures in {unit}" if unit else "", scores]
    said = ", ".join(part for part in parts if part)
    return f"Read with {said}; below you can change it." if said else ""


def new_things(counts: Counts) -> list[tuple[str, str]]:
    """What would be new, by name."""
    named = [
        ("Beans", counts.beans), ("Brewers", counts.brewers), ("Grinders", counts.grinders),
        ("Packs of filters", counts.packs), ("Tasters", counts.tasters),
        ("Recipes that are not here, so they go to the note", counts.recipes_noted),
    ]  # fmt: skip
    return [(what, _some(names)) for what, names in named if names]


def _some(names: list[str]) -> str:
    return ", ".join(names[:20]) + (f" and {len(names) - 20} more" if len(names) > 20 else "")
