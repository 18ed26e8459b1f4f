"""How things are called before strangers: by kind and amount, and by name where that is ticked.

Two things that would read the same are told apart by their number among those that do.
"""

import re
from collections.abc import Callable, Collection, Hashable, Iterable, Mapping
from functools import cache

from babel import Locale

from app.formats import Formats
from app.journal.pairs.pair import Side
from app.journal.pairs.rows import setting_text
from app.journal.pairs.setup import LABELS
from app.readers.things import BeanRow, Things
from app.readers.ticks import Ticks

KINDS = {
    "pressed immersion": "pressed immersion brewer",
    "immersion": "immersion brewer",
    "cone": "cone brewer",
    "flat bed": "flat-bed brewer",
}
# Of what a household writes of the process, only the trade's own words go out unasked.
PROCESS_WORDS = {
    "washed", "natural", "pulped", "honey", "wet", "dry", "hulled", "semi", "fully", "double",
    "anaerobic", "aerobic", "fermented", "fermentation", "carbonic", "maceration", "and", "or",
    "aged", "monsooned", "white", "yellow", "red", "black", "sun", "dried", "process", "processed",
}  # fmt: skip

Called = Mapping[Hashable, str]


class Names:
    """The names of everything that some brews were made with."""

    def __init__(
        self, sides: Collection[Side], things: Things, ticks: Ticks, formats: Formats
    ) -> None:
        self._ticks, self._formats = ticks, formats
        self._bags = _apart((side.row.bag_id, self._bag(side, things)) for side in sides)
        self._brewers = _apart(
            (side.row.first_brewer_id, self._brewer(side, things)) for side in sides
        )
        self._packs = _apart(
            (use.pack_id, f"{use.material} filter{self._named(use.pack_name)}")
            for side in sides
            for use in side.stack
        )
        self._grinders = _apart(
            (side.row.grinder_id, side.details.grinder_name if ticks.gear else "grinder")
            for side in sides
            if side.row.grinder_id
        )
        self._waters = _apart(
            (side.row.water_id, self._water(side, things)) for side in sides if side.row.water_id
        )

    def texts(self, side: Side) -> dict[str, str]:
        """The settings of a brew by their labels; empty where not noted or not to be told."""
        return {label: self._text(name, side) for name, label in LABELS.items()}

    def _text(self, name: str, side: Side) -> str:
        row, details = side.row, side.details
        own: dict[str, Callable[[], str]] = {
            "bag_id": lambda: self._bags[row.bag_id],
            "first_brewer_id": lambda: self._brewers[row.first_brewer_id],
            "stack": lambda: " + ".join(self._packs[use.pack_id] for use in side.stack),
            "grinder_id": lambda: self._one_of_several(self._grinders, row.grinder_id),
            "water_id": lambda: self._one_of_several(self._waters, row.water_id),
            "grind_setting": lambda: self._setting(row.grind_setting),
            "steps": lambda: self._recipe(details.recipe_name, details.revision_number),
            "age_days": lambda: "" if side.rest is None else f"{side.rest.days} days",
        }
        return own[name]() if name in own else setting_text(name, side, self._formats)

    def _bag(self, side: Side, things: Things) -> str:
        bean = things.beans[side.row.bag_id]
        process = bean.process if self._ticks.beans else _known_process(bean.process)
        kind = ", ".join(filter(None, (_coffee(bean, process), self._origin(bean))))
        if not self._ticks.beans:
            return kind
        return f"{' by '.join(filter(None, (bean.name, bean.roaster)))} ({kind})"

    def _origin(self, bean: BeanRow) -> str:
        return bean.origin if self._ticks.beans else ", ".join(_countries_in(bean.origin))

    def _brewer(self, side: Side, things: Things) -> str:
        holds = things.brewers[side.row.first_brewer_id].capacity_g
        kind = KINDS.get(side.row.kind, "brewer")
        size = f" of {self._formats.grams(holds)}" if holds else ""
        return f"{kind}{size}{self._named(side.details.first_brewer_name)}"

    def _water(self, side: Side, things: Things) -> str:
        water = things.waters[side.row.water_id or 0]
        known = ((water.hardness_mg_l, "hardness"), (water.alkalinity_mg_l, "alkalinity"))
        amounts = [
            f"{self._formats.amount(value, 'mg/L', 0)} {word}"
            for value, word in known
            if value is not None
        ]
        kind = f"water of {' and '.join(amounts)}" if amounts else "water"
        return f"{kind}{self._named(side.details.water_name or '')}"

    def _named(self, name: str) -> str:
        return f" ({name})" if self._ticks.gear and name else ""

    def _one_of_several(self, called: Called, key: int | None) -> str:
        """A bare word is told only where it tells two things apart."""
        text = called.get(key, "")
        return "" if text in ("grinder", "water") else text

    def _setting(self, text: str) -> str:
        """A mere number names nothing."""
        return text if self._ticks.gear or re.fullmatch(r"\d{1,3}([.,]\d{1,2})?", text) else ""

    def _recipe(self, name: str | None, number: int | None) -> str:
        return f"{name}, revision {number}" if name and self._ticks.gear else ""


def _coffee(bean: BeanRow, process: str) -> str:
    """washed coffee; decaffeinated natural coffee, 30 % robusta."""
    kind = " ".join(filter(None, ("decaffeinated" if bean.decaf else "", process, "coffee")))
    return f"{kind}, {bean.robusta_pct:.0f} % robusta" if bean.robusta_pct else kind


def _known_process(process: str) -> str:
    """In the trade's words only, else nothing."""
    words = re.findall(r"\w+", process.lower())
    return " ".join(words) if words and PROCESS_WORDS.issuperset(words) else ""


def _countries_in(origin: str) -> list[str]:
    """Of what is noted of the origin, the names of countries (CLDR)."""
    parts = [part.strip() for part in re.split(r"[,;/&+]|\band\b", origin)]
    return [part for part in parts if part.casefold() in _countries()]


@cache
def _countries() -> frozenset[str]:
    names = Locale("en").territories.items()
    return frozenset(name.casefold() for code, name in names if code.isalpha())


def _apart(things: Iterable[tuple[Hashable, str | None]]) -> Called:
    """What each is called; several of the same description are numbered: paper filter II."""
    called = {key: text or "" for key, text in things}
    alike: dict[str, list[Hashable]] = {}
    for key in called:
        alike.setdefault(called[key], []).append(key)
    return {
        key: text if len(keys) == 1 else f"{text} {roman(place)}"
        for text, keys in alike.items()
        for place, key in enumerate(keys, 1)
    }


def roman(number: int) -> str:
    """
    >>> roman(2), roman(4), roman(39)
    ('II', 'IV', 'XXXIX')
    """
    tens, ones = divmod(number, 10)
    return "X" * tens + ("", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX")[ones]
