"""The places of the journal, in groups, and where one is."""

from collections.abc import Iterable
from typing import NamedTuple


class Place(NamedTuple):
    """`holds` are the endpoints and blueprints of its pages; `text` says what is there."""

    endpoint: str
    label: str
    icon: str
    holds: frozenset[str]
    text: str = ""

    def current(self, here: str) -> str:
        """What aria-current says of it on the page with the endpoint `here`; "" if elsewhere."""
        if here == self.endpoint:
            return "page"
        is_inside = here in self.holds or here.split(".")[0] in self.holds
        return "true" if is_inside and (here not in LOG.holds or self is LOG) else ""


class Group(NamedTuple):
    name: str
    places: tuple[Place, ...]


def _place(endpoint: str, label: str, icon: str, text: str, *also: str) -> Place:
    """Holds the pages of its blueprint; a place of the first page's blueprint, its own only."""
    blueprint = endpoint.split(".")[0]
    own = endpoint if blueprint == "today" else blueprint
    return Place(endpoint, label, icon, frozenset((own, *also)), text)


LOG = Place("brews.new", "Log a brew", "plus", frozenset(("brews.new", "brews.create")))
TODAY = _place("today.index", "Today", "today", "")
TWO_CUPS = _place(
    "side_by_side.index", "Two cups", "side_by_side",
    "Brew two beside each other, set any two cups or groups of cups side by side",
    "two_cups", "two_tastings", "along", "groups",
)  # fmt: skip
BLIND = _place(
    "blind.index", "Blind tests", "blind",
    "Real or just in the head: trials with sealed keys, and honest evidence",
)  # fmt: skip
QUESTIONS = _place(
    "questions.index", "Questions", "questions",
    "What you want to know, the evidence for it, your answers, and sittings to find them",
    "asks", "sittings", "readers",
)  # fmt: skip
CLAIMS = _place(
    "claimed.index", "Claims", "claims",
    "Everything called shown in this journal, and how much of it may be luck",
)  # fmt: skip
GROUPS = (
    Group("Every day", (
        TODAY,
        _place("brews.index", "Brews", "brews",
               "Every brew, newest first, the search, and looking back", "lookback"),
        _place("tastings.index", "Tastings", "taste",
               "What was noted about each cup, cups still to taste, and how the tasters agree",
               "tasters"),
        _place("worksheets.index", "Worksheets", "worksheets",
               "Scale, dilute, ice, strength, time, caffeine, paper, water"),
    )),
    Group("On the table", (TWO_CUPS, BLIND, QUESTIONS, CLAIMS)),
    Group("On the shelf", (
        _place("bags.index", "Bags", "bags",
               "What is left, rest days, how each bag went, and experiments with one",
               "experiments"),
        _place("filters.index", "Filters", "filters",
               "Packs, papers in use and how often each was used"),
        _place("recipes.index", "Recipes", "recipes",
               "What you brew from, with every revision, and which are preferred",
               "ranking"),
        _place("gear.index", "Gear", "gear", "Brewers, grinders and waters"),
    )),
    Group("This journal", (
        _place("settings.index", "Settings", "settings",
               "Units, currency, caffeine, names, all of it in and out, tokens for scripts",
               "taking_out", "sheets", "tokens", "names"),
        _place("devices.index", "Devices", "devices",
               "Let a phone on your network in, and unpair it"),
        _place("backups.index", "Backups", "backups",
               "Copies of the journal: how old, where they go, and restoring one"),
        _place("today.bin", "Bin", "bin", "What was deleted and can be put back"),
    )),
)  # fmt: skip


def _more(beyond: Iterable[Place]) -> Place:
    """The list of all places; where one is in those that are not shown beside it."""
    return _place(
        "today.more", "More", "more", "", *(name for place in beyond for name in place.holds)
    )


# The rail of a desktop shows the groups but the last, which is looked into now and then.
RAIL = GROUPS[:-1]
RAIL_MORE = _more(GROUPS[-1].places)
# The bar of a phone holds what is done daily. Cups that are compared are one neighbourhood there,
# blind or not.
NEIGHBOURHOOD = TWO_CUPS._replace(holds=TWO_CUPS.holds | BLIND.holds | CLAIMS.holds)
_BESIDE = (TODAY, NEIGHBOURHOOD, LOG, QUESTIONS)
_SHOWN = frozenset(name for place in _BESIDE for name in place.holds)
BAR = (*_BESIDE, _more(p for group in GROUPS for p in group.places if not p.holds & _SHOWN))


def neighbours(here: str) -> Group | None:
    """The group whose place the page is; on the first page they would be in the way."""
    for group in GROUPS:
        if here != TODAY.endpoint and any(place.endpoint == here for place in group.places):
            return group
    return None
