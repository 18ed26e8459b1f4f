"""What can be changed: its name, its page and the form that changes it."""

from typing import NamedTuple


class Kind(NamedTuple):
    """`page` and `form` are endpoints that take the row's number as `argument`, if they take one.

    Without a form, earlier versions are shown and not brought back from here.
    """

    name: str
    page: str
    form: str
    argument: str


KINDS = {
    "brew": Kind("brew", "brews.show", "brews.edit", "brew_id"),
    "tasting": Kind("tasting", "tastings.edit", "tastings.edit", "tasting_id"),
    "bag": Kind("bag", "bags.show", "bags.edit", "bag_id"),
    "recipe": Kind("recipe", "recipes.show", "recipes.revise", "recipe_id"),
    "filter_pack": Kind("pack", "filters.show_pack", "filters.edit_pack", "pack_id"),
    "filter": Kind("filter", "filters.show", "filters.edit", "filter_id"),
    "brewer": Kind("brewer", "gear.show_brewer", "gear.edit_brewer", "brewer_id"),
    "grinder": Kind("grinder", "gear.show_grinder", "gear.edit_grinder", "grinder_id"),
    "water": Kind("water", "gear.show_water", "gear.edit_water", "water_id"),
    "question": Kind("question", "questions.show", "questions.edit", "question_id"),
    "ask": Kind("ask", "asks.edit", "asks.edit", "ask_id"),
    "answer": Kind("answer", "questions.show", "questions.show", "question_id"),
    "blind_test": Kind("blind test", "blind.show", "blind.edit", "test_id"),
    "afterthought": Kind("trial", "blind.trial", "blind.after", "trial_id"),
    "sitting": Kind("sitting", "sittings.show", "", "sitting_id"),
    "experiment": Kind("experiment", "experiments.show", "", "experiment_id"),
    "settings": Kind("settings", "settings.index", "settings.index", ""),
}
