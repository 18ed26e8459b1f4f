"""Limits that are written only where a question asks about them."""

from app.brewing.sentences import Sentence
from app.brewing.tolerances import TOLERANCES
from app.brewing.within.amounts import RANGE
from app.brewing.within.dimension import Brews, Kinds, Numbers
from app.brewing.within.phrases import beyond, span
from app.brewing.within.scales import hardness
from app.brewing.within.things import folded
from app.brewing.within.words import counted, listed, mass, number, time


def _grinders(brews: Brews) -> Sentence:
    return Sentence(f"from {counted(len({brew.grinder_id for brew in brews}), 'grinder')}")


def _settings(brews: Brews) -> Sentence:
    """Numbers of different grinders mean different things, so settings are counted."""
    kinds = {(brew.grinder_id, folded(brew.grind_setting)) for brew in brews}
    return Sentence(f"at {counted(len(kinds), 'setting')} of the grinder")


def _turned(brews: Brews) -> Sentence:
    kinds = {brew.flipped for brew in brews}
    return Sentence(
        listed([word for word, on in (("upright", False), ("flipped", True)) if on in kinds])
    )


def _recipes(brews: Brews) -> Sentence:
    kinds = {brew.revision_id for brew in brews}
    return Sentence(f"by {counted(len(kinds), 'recipe')}")


def _bypass(low: float, high: float, apart: bool) -> Sentence | None:
    if high == 0:
        return Sentence("without bypass water")
    if low > 0:
        return span("with {} of bypass water", mass)(low, high, apart)
    frame = "with {} of bypass water or none" if apart else "with up to {} of bypass water"
    return Sentence(frame, *mass(high))


def _waters(brews: Brews) -> Sentence | None:
    """Only where their hardness does not tell them apart."""
    kinds = {brew.water_id for brew in brews}
    classes = {hardness(brew) for brew in brews}
    return (
        Sentence(f"with {counted(len(kinds), 'kettle water')}")
        if len(kinds) > len(classes)
        else None
    )


GRINDER = Kinds(
    name="grinder",
    asked="grinder",
    aside=True,
    rule="How many grinders were noted.",
    read=lambda brew: (str(brew.grinder_id or ""),),
    say=_grinders,
    others=lambda kinds: Sentence("other grinders"),
)
SETTING = Kinds(
    name="grinder setting",
    asked="grinder setting",
    aside=True,
    rule="How many settings were noted, each grinder's its own.",
    read=lambda brew: (
        (f"{brew.grinder_id}: {folded(brew.grind_setting)}",) if brew.grind_setting else ()
    ),
    say=_settings,
    others=lambda kinds: Sentence("other settings of the grinder"),
)
FLIPPED = Kinds(
    name="upright or flipped",
    asked="upright or flipped",
    aside=True,
    rule="Whether the brewer stood upright or was flipped.",
    read=lambda brew: ("flipped" if brew.flipped else "upright",),
    say=_turned,
    others=lambda kinds: Sentence(f"{listed(sorted(kinds))} brewers"),
    all=frozenset({"upright", "flipped"}),
)
STEPS = Kinds(
    name="steps of the recipe",
    asked="steps of the recipe",
    aside=True,
    rule="How many revisions of recipes were brewed by.",
    read=lambda brew: (str(brew.revision_id or ""),),
    say=_recipes,
    others=lambda kinds: Sentence("other steps"),
)
DOSE = Numbers(
    name="dose",
    asked="dose",
    aside=True,
    rule=RANGE,
    read=lambda brew: brew.dose_g,
    close=TOLERANCES["dose_g"],
    say=span("with {} of coffee", mass),
    sides=beyond("{} coffee", "less", "more", figured="doses {}", write=mass),
)
BYPASS = Numbers(
    name="bypass water",
    asked="bypass water",
    aside=True,
    rule=RANGE,
    read=lambda brew: brew.bypass_g,
    close=TOLERANCES["bypass_g"],
    say=_bypass,
    sides=beyond("{} bypass water", "less", "more", least=0, figured="bypass water {}", write=mass),
)
PRESS_TIME = Numbers(
    name="press time",
    asked="press time",
    aside=True,
    rule=RANGE,
    read=lambda brew: brew.press_s,
    close=TOLERANCES["press_s"],
    say=span("with presses of {}", time, one="with a press of {}"),
    sides=beyond("a {} press", "shorter", "longer", least=0),
)
PRESS_EFFORT = Numbers(
    name="press effort",
    asked="press effort",
    aside=True,
    rule=RANGE,
    read=lambda brew: brew.press_effort,
    say=span("with a press effort of {} of five", number),
    sides=beyond("a {} press", "lighter", "firmer", least=1, greatest=5),
)
WATERS = Kinds(
    name="kettle water",
    asked="kettle water",
    aside=True,
    rule="How many waters were noted, where their hardness does not tell them apart.",
    read=lambda brew: (str(brew.water_id or ""),),
    say=_waters,
    others=lambda kinds: None,
)
BREW_WATER = Numbers(
    name="brew water",
    asked="brew water",
    aside=True,
    rule=f"Bypass water and ice left out. {RANGE}",
    read=lambda brew: brew.water_g,
    close=TOLERANCES["water_g"],
    say=span("with {} of brew water", mass),
    sides=beyond("{} brew water", "less", "more", figured="brew water {}", write=mass),
)
OF_THE_GRINDER = (GRINDER, SETTING)
OF_THE_HAND = (PRESS_TIME, PRESS_EFFORT, FLIPPED, STEPS)
OF_THE_SCALE = (DOSE, BREW_WATER, BYPASS)
