"""Which choices of a plan go together, and why others do not: the one place that says so.

The plan's page gets this list as it stands, its refusals come from it, and so do those of the
journal. What a reason is about is the last of the choices it names, as the page asks them.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from app.sensory.terms import Method

Field = Literal["claim", "brewing", "method", "reminder", "tasting", "pouring", "rule", "controls"]

# As the page asks them: a choice closes later ones, never earlier ones.
FIELDS: tuple[Field, ...] = get_args(Field)
# The key of each trial is a coin of its own.
BY_A_COIN: tuple[Method, ...] = ("A-not-A", "same-different")
# Guessing gets more than its share where cups share a brew and one does not.
SHARES_LUCK: tuple[Method, ...] = ("triangle", "tetrad", "three-cup", "duo-trio")
NOT_FIXED = ("every morning", "step by step")

Choices = Mapping[Field, str]


@dataclass(frozen=True, slots=True)
class Clash:
    """Choices that do not go together: one of the words in every field of `when`.

    `why` stands beside `field`, the last of them.
    """

    when: Mapping[Field, tuple[str, ...]]
    why: str

    @property
    def field(self) -> Field:
        return max(self.when, key=FIELDS.index)

    def holds(self, choices: Choices) -> bool:
        return holds(self.when, choices)


def holds(when: Mapping[Field, tuple[str, ...]], choices: Choices) -> bool:
    """Whether every field of `when` has one of its words."""
    return all(choices.get(field) in words for field, words in when.items())


ONE_PAIR = (
    "Cups from one pair of brews can only show that these two brews differ. For a claim about "
    "ways of brewing, brew both afresh for every trial, in an order drawn by lot."
)
NOT_THESE = (
    "Brewed afresh, every trial has other cups, so that nothing is learned about these two. Pour "
    "all cups from one brew of each, or make it a claim about ways of brewing."
)
STANDS_OUT = (
    "Where two cups share a brew, the other stands out even if the recipe is the same: with "
    "brews that vary as much as your tasting does, 46 % come out right in a triangle without "
    "any difference. Say how many trials of A against A to mix in; or ask which of two cups has "
    "more of something or is preferred; or brew every cup by itself."
)
BY_CONTROLS_FIXED = (
    "Where two cups share a brew, this plan is judged against its A-against-A trials, which only "
    "holds for a number of trials fixed beforehand. Choose the fixed number."
)
BY_CONTROLS_POURED = (
    "Where two cups share a brew, this plan is judged against trials of A against A, and whoever "
    "pours alone knows them. Let somebody else pour, or brew every cup by itself."
)
BY_CONTROLS_PANEL = (
    "Where two cups share a brew, this plan is judged against trials of A against A, and a panel "
    "has none. Let several tasters have several trials, or brew every cup by itself."
)
SHARED_REMINDER = (
    "A reminder poured from the A of the trial shares the luck of that brew with the cup when the "
    "cup is A, and cannot when it is not, so that they can be told apart although the recipe is "
    "the same. Brew every cup by itself, or leave the reminder out."
)
SHARED_PAIR = (
    "Two cups of one brew share its luck and two brews do not, so that a different pair can be "
    "told although the recipe is the same. Brew every cup by itself."
)
SOLO_PAIR = (
    "Whoever pours a pair knows whether its two cups are the same. Let somebody else pour, or "
    "choose A – not A: of two cups on a turned tray one is tasted."
)
HALF_CONTROLS = (
    "Half of these trials hold nothing but A, or two cups of one kind: they are there to compare "
    "with already. Leave the others out."
)
SOLO_TETRAD = (
    "Four cups in a ring keep their neighbours when the tray turns, so whoever poured them knows "
    "which can belong together. Let somebody else pour, or choose a triangle."
)
SOLO_PANEL = "The orders of a panel are dealt to many tasters: somebody else has to pour."
PANEL_NUMBER = "A panel is read once everybody has tasted: choose the fixed number of trials."
PREFERENCE_STEPS = "This rule counts right answers, and a preference has none. Choose another rule."
CONTROLS_FIXED = (
    "The number of A-against-A trials is fixed beforehand, and so has the number of trials to be: "
    "choose the fixed number, or leave these trials out."
)
SOLO_CONTROLS = (
    "Whoever pours alone knows that every cup holds A, so A against A tells nothing. Let somebody "
    "else pour, or leave these trials out."
)
PANEL_CONTROLS = "A panel has no trials of A against A: its orders are dealt in equal shares."
PREFERENCE_CONTROLS = (
    "A preference has no right answer to compare with. The pull of the place is read from the "
    "trials themselves."
)

_LUCK: Mapping[Field, tuple[str, ...]] = {
    "brewing": ("fresh pair each trial",),
    "method": SHARES_LUCK,
}
CLASHES: tuple[Clash, ...] = (
    Clash({"claim": ("these ways of brewing",), "brewing": ("one pair",)}, ONE_PAIR),
    Clash(
        {"claim": ("these cups",), "brewing": ("fresh pair each trial", "every cup its own")},
        NOT_THESE,
    ),
    Clash({"brewing": ("fresh pair each trial",), "method": ("same-different",)}, SHARED_PAIR),
    Clash(
        {"brewing": ("fresh pair each trial",), "method": ("A-not-A",), "reminder": ("yes",)},
        SHARED_REMINDER,
    ),
    Clash({**_LUCK, "tasting": ("panel",)}, BY_CONTROLS_PANEL),
    Clash({**_LUCK, "pouring": ("solo",)}, BY_CONTROLS_POURED),
    Clash({**_LUCK, "rule": NOT_FIXED}, BY_CONTROLS_FIXED),
    Clash({**_LUCK, "controls": ("none",)}, STANDS_OUT),
    Clash({"method": ("tetrad",), "pouring": ("solo",)}, SOLO_TETRAD),
    Clash({"method": ("same-different",), "pouring": ("solo",)}, SOLO_PAIR),
    Clash({"tasting": ("panel",), "pouring": ("solo",)}, SOLO_PANEL),
    Clash({"tasting": ("panel",), "rule": NOT_FIXED}, PANEL_NUMBER),
    Clash({"method": ("preference",), "rule": ("step by step",)}, PREFERENCE_STEPS),
    Clash({"method": ("preference",), "controls": ("some",)}, PREFERENCE_CONTROLS),
    Clash({"method": BY_A_COIN, "controls": ("some",)}, HALF_CONTROLS),
    Clash({"tasting": ("panel",), "controls": ("some",)}, PANEL_CONTROLS),
    Clash({"pouring": ("solo",), "controls": ("some",)}, SOLO_CONTROLS),
    Clash({"rule": NOT_FIXED, "controls": ("some",)}, CONTROLS_FIXED),
)


def refused(choices: Choices) -> dict[Field, str]:
    """The choices of a plan that are refused, each with one reason; all of them at once."""
    reasons: dict[Field, str] = {}
    for clash in clashes(choices):
        reasons.setdefault(clash.field, clash.why)
    return reasons


def clashes(choices: Choices) -> Iterator[Clash]:
    """Every set of choices that does not go together, in the order of the list."""
    return (clash for clash in CLASHES if clash.holds(choices))


def shares_luck(choices: Choices) -> bool:
    """Whether right answers mean something only beside those of A-against-A trials.

    Two cups of one brew share its luck, so that the third can stand out although the recipes are
    the same. That cannot happen where A and B are interchangeable (two cups, or every cup a brew
    of its own).
    """
    return holds(_LUCK, choices)


def closed(field: Field, choices: Choices) -> dict[str, str]:
    """The words of a field that do not go with the fields before it, each with the reason."""
    before = {name: choices.get(name, "") for name in FIELDS[: FIELDS.index(field)]}
    reasons: dict[str, str] = {}
    for clash in CLASHES:
        if clash.field == field:
            for word in clash.when[field]:
                if clash.holds({**before, field: word}):
                    reasons.setdefault(word, clash.why)
    return reasons
