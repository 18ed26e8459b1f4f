"""Whatever a form makes is there once, however often the form arrives."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import (
    Bag,
    BagCorrection,
    Base,
    Bean,
    BlindTest,
    Brew,
    Brewer,
    Filter,
    FilterPack,
    FrozenSpan,
    Grinder,
    Question,
    Recipe,
    SideBySide,
    Tasting,
    Water,
)
from tests.support import page
from tests.support.factories import Make


class Creating(NamedTuple):
    """A form that creates a row of `table`; `other` is what it might say instead."""

    table: type[Base]
    opened_at: str
    holding: str
    typed: dict[str, str]
    other: dict[str, str]
    made: Callable[[Make], Any] = lambda make: None


FORMS = {
    "brew": Creating(
        Brew, "/brews/new", "dose_g", {"note": "cup one"}, {"note": "cup two"}, Make.brew
    ),
    "tasting": Creating(
        Tasting, "/brews/1/taste", "liking",
        {"new_taster": "Ada", "liking": "8"}, {"liking": "2"}, Make.brew,
    ),
    "side by side": Creating(
        SideBySide, "/side-by-side/1/2", "note", {"preference": "a"}, {"preference": "b"},
        lambda make: (make.brew(), make.brew()),
    ),
    "question": Creating(
        Question, "/questions/new", "text", {"text": "Does it matter?"}, {"text": "Does it?"}
    ),
    "blind test": Creating(
        BlindTest, "/blind/new", "a_words",
        {"a_words": "fresh", "b_words": "used", "new_taster": "Ada", "p_d_pct": "40"},
        {"b_words": "rinsed"},
    ),
    "bag": Creating(Bag, "/bags/new", "net_g", {"name": "Red hill"}, {"name": "Blue hill"}),
    "bean": Creating(Bean, "/bags/new", "net_g", {"name": "Red hill"}, {"name": "Blue hill"}),
    "days in the freezer": Creating(
        FrozenSpan, "/bags/1/edit", "from_on", {}, {"from_on": "2026-03-01"}, Make.bag
    ),
    "correction of a bag": Creating(
        BagCorrection, "/bags/1/edit", "grams", {"grams": "5", "why": "spilled"}, {"grams": "6"},
        Make.bag,
    ),
    "recipe": Creating(
        Recipe, "/recipes/new", "dose_g",
        {"name": "House cup", "dose_g": "14", "water_g": "220"}, {"dose_g": "15"},
    ),
    "pack": Creating(
        FilterPack, "/filters/packs/new", "count", {"name": "White", "count": "100"},
        {"count": "50"},
    ),
    "brewer": Creating(
        Brewer, "/gear/brewers/new", "kind", {"name": "Red", "kind": "pressed immersion"},
        {"name": "Grey"},
    ),
    "grinder": Creating(
        Grinder, "/gear/grinders/new", "scale", {"name": "Mill", "scale": "clicks"},
        {"name": "Other mill"},
    ),
    "water": Creating(
        Water, "/gear/waters/new", "hardness_mg_l", {"name": "Tap"}, {"name": "Spring"}
    ),
}  # fmt: skip


def count(journal: Database, table: type[Base]) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(table)) or 0


class Opened:
    """A creating form as a browser has it."""

    def __init__(self, client: FlaskClient, make: Make, creating: Creating) -> None:
        creating.made(make)
        self.client, self.opened_at = client, creating.opened_at
        forms = page.read(client.get(creating.opened_at).text).forms
        attributes, values = next((a, v) for a, v in forms if creating.holding in v)
        self.to = attributes.get("action") or creating.opened_at
        self.holds = values | {name: [text] for name, text in creating.typed.items()}

    def send(self, **other: str) -> Any:
        sent = self.holds | {name: [text] for name, text in other.items()}
        came_from = {"Referer": f"http://localhost{self.opened_at}"}
        return self.client.post(self.to, data=sent, headers=came_from)


@pytest.mark.parametrize("creating", FORMS.values(), ids=FORMS)
def test_the_same_form_again_gives_what_is_there(
    client: FlaskClient, journal: Database, make: Make, creating: Creating
) -> None:
    """C9: after a lost answer the browser, or the person, sends once more."""
    form = Opened(client, make, creating)
    before = count(journal, creating.table)
    first, again = form.send(), form.send()
    assert (first.status_code, again.status_code) == (303, 303), page.text(first.text)
    assert again.location == first.location
    assert count(journal, creating.table) == before + 1


@pytest.mark.parametrize("creating", FORMS.values(), ids=FORMS)
def test_the_same_form_with_other_content_is_asked_about(
    client: FlaskClient, journal: Database, make: Make, creating: Creating
) -> None:
    """C3: it is not called saved, and it is not lost: it can be saved as another one."""
    form = Opened(client, make, creating)
    before = count(journal, creating.table)
    first = form.send()
    told = form.send(**creating.other)
    assert told.status_code == 409
    assert f'href="{first.location}"' in told.text
    assert count(journal, creating.table) == before + 1
    (name, text), *_ = creating.other.items()
    forms = page.read(told.text).forms
    sent = next(v for a, v in forms if a.get("action", "").rstrip("?") == form.to and name in v)
    assert sent[name] == [text]
    assert client.post(form.to, data=sent).status_code == 303
    assert count(journal, creating.table) == before + 2


def test_a_brew_with_the_last_filter_of_a_pack_is_found_again(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C9: what the first one took is gone from the lists when the second one arrives."""
    make.brew()
    make.pack(count=1)
    opened = client.get("/brews/new").text
    sent = page.filled(opened, holding="dose_g", filter_1="fresh:1")
    first, again = (client.post("/brews/new", data=sent) for _ in range(2))
    assert (first.status_code, again.status_code) == (303, 303)
    assert again.location == first.location
    assert (count(journal, Brew), count(journal, Filter)) == (2, 1)
