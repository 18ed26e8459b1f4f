"""Limits that are written only where a question asks about them."""

from app.brewing.sentences import Sentence
from app.brewing.tolerances import TOLERANCES
from app.brewing.within.amounts import RANGE
from app.brewing.within.dimension import Brews, Kinds, Numbers
from app.brewing.within.phrases import beyond, span
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
    say=span("with {} of bypass water", mass),
    sides=beyond("{} bypass water", "less", "more", least=0, figured="bypass water {}", write=mass),
)
PRESS_TIME = Numbers(
    name="press time",
    asked="press time",
    aside=True,
    rule=RANGE,
    read=lambda brew: brew.press_s,
    close=TOLERANCES["press_s"],
    say=span("pressed for {}", time),
    sides=beyond("a {} press", "shorter", "longer", least=0),
)
PRESS_EFFORT = Numbers(
    name="press effort",
    asked="press effort",
    aside=True,
    rule=RANGE,
    read=lambda brew: brew.press_effort,
    say=span("pressed with an effort of {} of five", number),
    sides=beyond("a {} press", "lighter", "firmer", least=1, greatest=5),
)
OF_THE_GRINDER = (GRINDER, SETTING)
OF_THE_HAND = (PRESS_TIME, PRESS_EFFORT, FLIPPED, STEPS)
OF_THE_SCALE = (DOSE, BYPASS)
