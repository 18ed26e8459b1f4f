"""A new field of the brew touches the few files that DEVELOPERS.md lists, and no others."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

from app.brews.forms import BrewForm
from app.models import Brew, RecipeRevision
from app.models.brews import BrewValues
from app.models.recipes import RevisionValues
from app.web.recipe_form import RecipeForm

TOP = Path(__file__).parents[2]
MOST_PLACES = 6
# A field that only brews have: it stands for any that may be added.
EXAMPLE = "press_effort"
# What is made of that one besides: it is charted by a filter's use, two cups may differ in it, and
# a question may ask about it, whose answer was tested within some values of it.
USES = {
    "app/brewing/tolerances.py",
    "app/brewing/within/asides.py",
    "app/brewing/within/facts.py",
    "app/journal/gathered/facts.py",
    "app/filters/queries.py",
    "app/filters/trends.py",
    "app/templates/filters/_uses.html",
    "app/journal/pairs/brews.py",
    "app/journal/pairs/rows.py",
    "app/journal/pairs/setup.py",
}
OF_THE_JOURNAL = {"id", "entry_key", "brewed_at", "zone", "brewed_on", "note_search", "binned_at"}
OF_THE_RECIPE = {"id", "recipe_id", "number", "made_at", "why"}


def naming(word: str) -> set[str]:
    """Files of the app, and of its migrations, that name a field or its bounds."""
    files = [*TOP.glob("app/**/*.py"), *TOP.glob("app/**/*.html")]
    files += TOP.glob("migrations/versions/*.py")
    return {
        file.relative_to(TOP).as_posix()
        for file in files
        if word in file.read_text(encoding="utf-8").lower()
    }


def listed() -> set[str]:
    """The places that DEVELOPERS.md gives; its directory of migrations stands for a new one."""
    text = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8")
    item = re.search(r"- \*\*Add a field to the brew\*\*.*", text)
    assert item
    return set(re.findall(r"`((?:app|migrations)/[^`]*)`", item[0]))


def test_the_places_of_a_new_field_are_few_and_listed() -> None:
    places = naming(EXAMPLE) - USES
    migrations = {place for place in places if place.startswith("migrations/")}
    assert len(migrations) == 1
    assert places - migrations | {"migrations/versions/"} == listed()
    assert len(places) <= MOST_PLACES


def test_the_uses_that_are_left_out_are_real() -> None:
    assert naming(EXAMPLE) >= USES


def test_what_is_noted_of_a_brew_is_what_its_form_asks_and_its_table_holds() -> None:
    noted = {field.name for field in fields(BrewValues)}
    assert noted == {column.key for column in Brew.__table__.columns} - OF_THE_JOURNAL
    assert noted <= BrewForm()._fields.keys()


def test_what_a_revision_says_is_what_its_form_asks_and_its_table_holds() -> None:
    said = {field.name for field in fields(RevisionValues)}
    assert said == {column.key for column in RecipeRevision.__table__.columns} - OF_THE_RECIPE
    assert said <= RecipeForm()._fields.keys()
