"""What is in the bin, in words, and the way back for each kind of thing."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from app.formats import Formats
from app.journal.experiments.reading import Waiting
from app.journal.experiments.settings import setting_in_words, settings_at
from app.journal.habits import Habit
from app.sensory.scores.design import Factor
from app.today.binned import BinnedRow

MOST_CHARS = 80
ID = "id"
OWNER = "owner_id"


class Kind(NamedTuple):
    """`restore` and `page` are endpoints; their arguments are fields of the row in the bin."""

    name: str
    restore: str
    restore_ids: Mapping[str, str]
    page: str
    page_ids: Mapping[str, str]


def _kind(name: str, restore: str, page: str, argument: str) -> Kind:
    """A thing with a page of its own."""
    return Kind(name, restore, {argument: ID}, page, {argument: ID})


def _part(name: str, restore: str, page: str, argument: str, owner: str) -> Kind:
    """A part of something, whose page it stands on."""
    return Kind(name, restore, {owner: OWNER, argument: ID}, page, {owner: OWNER})


KINDS = {
    "brew": _kind("Brew", "brews.restore", "brews.show", "brew_id"),
    "tasting": _kind("Tasting", "tastings.restore", "tastings.edit", "tasting_id"),
    "brew_photo": _part("Photo", "brews.restore_photo", "brews.show", "photo_id", "brew_id"),
    "side_by_side": Kind(
        "Side by side",
        "side_by_side.restore",
        {"saved_id": ID},
        "side_by_side.show",
        {"brew_a": OWNER, "brew_b": "other_id"},
    ),
    "bag": _kind("Bag", "bags.restore", "bags.show", "bag_id"),
    "frozen_span": _part(
        "Days in the freezer", "bags.restore_span", "bags.edit", "span_id", "bag_id"
    ),
    "bag_correction": _part(
        "Correction", "bags.restore_correction", "bags.edit", "correction_id", "bag_id"
    ),
    "filter": _kind("Filter", "filters.restore", "filters.show", "filter_id"),
    "blind_test": _kind("Blind test", "blind.restore", "blind.show", "test_id"),
    "question": _kind("Question", "questions.restore", "questions.show", "question_id"),
    "ask": _kind("Ask", "asks.restore", "asks.edit", "ask_id"),
    "sitting": _kind("Sitting", "sittings.restore", "sittings.show", "sitting_id"),
    "experiment": _kind("Experiment", "experiments.restore", "experiments.show", "experiment_id"),
    "recipe": _kind("Recipe", "recipes.restore", "recipes.show", "recipe_id"),
    "filter_pack": _kind("Pack of filters", "filters.restore_pack", "filters.show_pack", "pack_id"),
    "brewer": _kind("Brewer", "gear.restore_brewer", "gear.show_brewer", "brewer_id"),
    "grinder": _kind("Grinder", "gear.restore_grinder", "gear.show_grinder", "grinder_id"),
    "water": _kind("Water", "gear.restore_water", "gear.show_water", "water_id"),
}


def in_words(row: BinnedRow, formats: Formats) -> str:
    """What a thing in the bin is, so that it can be told from others of its kind."""
    day, more = formats.day(row.day), row.more or ""
    if len(more) > MOST_CHARS:
        more = f"{more[:MOST_CHARS]}…"
    noted = f": {more}" if more else ""
    words = {
        "brew": f"{row.name}, {day}, {formats.grams(row.amount)}",
        "tasting": f"{row.name}, {day}, tasted by {more}",
        "brew_photo": f"{row.name}, {day}{noted}",
        "side_by_side": f"{row.name}, {day}, beside {more}, {formats.day(row.until)}",
        "bag": f"{row.name}, roasted {day}" if row.day else row.name,
        "frozen_span": f"{row.name}, {day} to {formats.day(row.until) if row.until else 'now'}",
        "bag_correction": f"{row.name}, {_signed(row.amount, formats)}, {day}{noted}",
        "ask": row.name[:MOST_CHARS] or f"asked once more, {day}",
        "filter": f"{row.name} no. {row.amount or 0:.0f}{noted}",
    }
    return words.get(row.kind, row.name)


def habit_in_words(habit: Habit, formats: Formats) -> str:
    """Such as: Or as Ida: 13.5 g in 215 g, Bright."""
    amounts = f"{formats.grams(habit.dose_g)} in {formats.grams(habit.water_g)}"
    whose = f" as {habit.whose}:" if habit.whose else ""
    recipe = f", {habit.recipe_name}" if habit.recipe_name else ""
    return f"Or{whose} {amounts}{recipe}"


def _signed(grams: float | None, formats: Formats) -> str:
    return f"{'+' if (grams or 0) > 0 else ''}{formats.grams(grams)}"


def run_in_words(run: Waiting, factors: Sequence[Factor], formats: Formats) -> str:
    """What the next brew of an experiment is set to."""
    settings = settings_at(factors, run.levels)
    return ", ".join(setting_in_words(name, value, formats) for name, value in settings.items())
