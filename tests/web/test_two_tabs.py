"""Everything that can be changed, in two tabs: the second is told, both versions are there to
choose from, and the earlier one comes back."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.models import Afterthought
from tests.support import page
from tests.support.asking import ask, reply
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, planned, rows
from tests.support.clock import NOON
from tests.support.factories import Make

BEFORE = re.compile(r'href="([^"]*before_change=[^"]*)"')


@dataclass(frozen=True)
class Changeable:
    """A thing with a form: `made` gives the addresses of the form in two tabs.

    Both tabs change the field `both` from `was` to something else, which `shown` puts in words;
    only the second changes `mine`.
    """

    kind: str
    made: Callable[[FlaskClient, Make], tuple[str, str]]
    both: str
    was: str
    first: str
    second: str
    mine: str
    typed: str
    shown: tuple[str, str] = ("", "")
    row_id: int = 1


def _brew(_client: FlaskClient, make: Make) -> tuple[str, str]:
    papers = [make.filter() for _ in range(3)]
    make.brew(note="as logged", filters=papers[:1])
    return ("/brews/1/edit",) * 2


def _tasting(_client: FlaskClient, make: Make) -> tuple[str, str]:
    make.tasting(liking=5)
    return ("/tastings/1/edit",) * 2


def _recipe(_client: FlaskClient, make: Make) -> tuple[str, str]:
    make.recipe(steps=[{"kind": "pour", "starts_s": 0, "grams": 200.0}])
    return ("/recipes/1/revise",) * 2


def _brewed_recipe(_client: FlaskClient, make: Make) -> tuple[str, str]:
    make.brew(recipe=make.recipe())
    return ("/recipes/1/revise",) * 2


def _bag(_client: FlaskClient, make: Make) -> tuple[str, str]:
    make.bag()
    return ("/bags/1/edit",) * 2


def _two_bags(_client: FlaskClient, make: Make) -> tuple[str, str]:
    bean = make.bean(origin="the south")
    one, other = make.bag(bean), make.bag(bean)
    return f"/bags/{one.id}/edit", f"/bags/{other.id}/edit"


def _pack(_client: FlaskClient, make: Make) -> tuple[str, str]:
    make.pack()
    return ("/filters/packs/1/edit",) * 2


def _filter(_client: FlaskClient, make: Make) -> tuple[str, str]:
    make.filter(note="soft")
    return ("/filters/1/edit",) * 2


def _gear(word: str, **given: Any) -> Callable[[FlaskClient, Make], tuple[str, str]]:
    def made(_client: FlaskClient, make: Make) -> tuple[str, str]:
        getattr(make, word)(**given)
        return (f"/gear/{word}s/1/edit",) * 2

    return made


def _question(client: FlaskClient, _make: Make) -> tuple[str, str]:
    return (ask(client, "Is it the steep?") + "/edit",) * 2


def _answer(client: FlaskClient, _make: Make) -> tuple[str, str]:
    address = ask(client)
    reply(client, address, "not yet", "open")
    return address, address


def _blind_test(client: FlaskClient, _make: Make) -> tuple[str, str]:
    return (f"/blind/{planned(client, title='Papers', note='bag 1')}/edit",) * 2


def _afterthought(_client: FlaskClient, make: Make) -> tuple[str, str]:
    rows(make, [CLAIMED | SERVED | ANSWERED | SEEN | {"cups": "ABB"}])
    make.save(Afterthought(id=1, noted_at=NOON, note="round"))
    return ("/blind/trials/1/after",) * 2


def _settings(_client: FlaskClient, _make: Make) -> tuple[str, str]:
    return ("/settings/",) * 2


NOTE = ("note", "changed by me")
THINGS = {
    "brew": Changeable("brew", _brew, "dose_g", "14", "15", "16", *NOTE, ("15 g", "16 g")),
    "a brew's filter": Changeable(
        "brew", _brew, "filter_1", "1", "2", "3", *NOTE, ("no. 2", "no. 3")
    ),
    "tasting": Changeable(
        "tasting", _tasting, "liking", "5", "7", "3", *NOTE, ("like moderately", "dislike mod")
    ),
    "recipe never brewed": Changeable("recipe", _recipe, "dose_g", "14", "15", "16", *NOTE),
    "recipe that was brewed": Changeable(
        "recipe", _brewed_recipe, "water_g", "220", "230", "240", *NOTE
    ),
    "bag": Changeable("bag", _bag, "net_g", "250", "240", "230", *NOTE),
    "a bean through two bags": Changeable(
        "bag", _two_bags, "origin", "the south", "the north", "the east", *NOTE
    ),
    "pack": Changeable("filter_pack", _pack, "count", "100", "90", "80", *NOTE),
    "filter": Changeable("filter", _filter, "note", "soft", "hard", "torn", "prior_uses", "2"),
    "brewer": Changeable("brewer", _gear("brewer"), "name", "Blue press", "Red", "Grey", *NOTE),
    "grinder": Changeable(
        "grinder", _gear("grinder"), "scale", "clicks from zero", "clicks", "turns", *NOTE
    ),
    "water": Changeable(
        "water", _gear("water", hardness_mg_l=70.0), "hardness_mg_l", "70", "80", "60", *NOTE
    ),
    "text of a question": Changeable(
        "question", _question, "text", "Is it the steep?", "Is it time?", "The water?",
        "factor", "dose",
    ),
    "answer to a question": Changeable(
        "answer", _answer, "answer", "not yet", "an hour of\nwriting", "another hour",
        "state", "answered", ("an hour of writing", "another hour"),
    ),
    "note of a blind test": Changeable(
        "blind_test", _blind_test, "note", "bag 1", "bag 2", "bag 3", "title", "Papers again"
    ),
    "what is said of a trial": Changeable(
        "afterthought", _afterthought, "note", "round", "flat", "thin", "preference", "b"
    ),
    "settings": Changeable(
        "settings", _settings, "currency", "EUR", "JPY", "SEK", "kettle_efficiency_pct", "80"
    ),
}  # fmt: skip


@pytest.fixture(params=THINGS.values(), ids=THINGS)
def thing(request: pytest.FixtureRequest) -> Changeable:
    found: Changeable = request.param
    return found


class Tab:
    """A form as one tab opened it."""

    def __init__(self, client: FlaskClient, thing: Changeable, address: str) -> None:
        self.client, self.thing = client, thing
        html = client.get(address).text
        found = next((a, v) for a, v in page.read(html).forms if thing.both in v and "seen" in v)
        attributes, self.holds = found
        self.sends_to = attributes.get("action") or address.partition("?")[0]
        if thing.kind == "answer":  # its state stands on the buttons
            self.holds["state"] = ["answered" if "Answered" in page.text(html) else "open"]

    def holds_now(self) -> tuple[str, str]:
        """The field that both change, and the one that only the second does."""
        one, other = (self.holds.get(name, [""])[0] for name in (self.thing.both, self.thing.mine))
        return one.replace("\r\n", "\n"), other

    def send(self, **typed: str) -> Any:
        fields = self.holds | {name: [value] for name, value in typed.items()}
        return self.client.post(self.sends_to, data=fields)


class TwoTabs:
    """The thing as its form held it, saved by the first tab, and then sent by the second."""

    def __init__(self, client: FlaskClient, make: Make, thing: Changeable) -> None:
        self.client, self.thing = client, thing
        self.addresses = thing.made(client, make)
        first, self.second = (Tab(client, thing, address) for address in self.addresses)
        self.was = self.second.holds_now()
        assert self.was[0] == thing.was
        assert first.send(**{thing.both: thing.first}).status_code == 303
        self.told = self.second.send(**{thing.both: thing.second, thing.mine: thing.typed})

    def stands(self) -> tuple[str, str]:
        return Tab(self.client, self.thing, self.addresses[1]).holds_now()

    def choose(self, **chosen: str) -> None:
        fields = page.form(self.told.text, holding="seen")
        given = {f"take-{name}": [side] for name, side in chosen.items() if name != "take_all"}
        assert set(given) <= set(fields)
        whole = {"take_all": [chosen["take_all"]]} if "take_all" in chosen else {}
        saved = self.client.post(self.second.sends_to, data=fields | given | whole)
        assert saved.status_code == 303, page.text(saved.text)


@pytest.fixture
def tabs(client: FlaskClient, make: Make, thing: Changeable) -> TwoTabs:
    return TwoTabs(client, make, thing)


def test_the_second_tab_is_told_and_shown_both_versions(tabs: TwoTabs, thing: Changeable) -> None:
    """C2: nothing is overwritten in silence, and nothing typed is lost."""
    assert tabs.told.status_code == 409
    words = page.text(tabs.told.text)
    first, second = thing.shown
    assert (first or thing.first) in words
    assert (second or thing.second) in words
    assert tabs.stands() == (thing.first, tabs.was[1])


def test_all_of_mine_is_saved_where_that_is_chosen(tabs: TwoTabs, thing: Changeable) -> None:
    """C2"""
    tabs.choose(take_all="mine")
    assert tabs.stands() == (thing.second, thing.typed)


def test_what_stands_is_kept_where_that_is_chosen(tabs: TwoTabs, thing: Changeable) -> None:
    """C2"""
    tabs.choose(**{thing.both: "theirs", thing.mine: "theirs"})
    assert tabs.stands() == (thing.first, tabs.was[1])


def test_a_mix_of_both_is_saved_field_by_field(tabs: TwoTabs, thing: Changeable) -> None:
    """C2"""
    tabs.choose(**{thing.both: "theirs", thing.mine: "mine"})
    assert tabs.stands() == (thing.first, thing.typed)


def test_the_earlier_version_is_shown_and_comes_back(
    tabs: TwoTabs, thing: Changeable, client: FlaskClient
) -> None:
    """C2, C14: what somebody saved over is among the earlier versions, with a way back."""
    history = client.get(f"/history/{thing.kind}/{thing.row_id}").text
    first, _ = thing.shown
    assert (first or thing.first) in page.text(history)
    found = BEFORE.findall(history)
    earlier = Tab(client, thing, found[0].replace("&amp;", "&"))
    assert earlier.holds_now()[0] == thing.was
    assert earlier.send().status_code == 303
    assert tabs.stands()[0] == thing.was


def test_its_page_leads_to_the_earlier_versions(
    tabs: TwoTabs, thing: Changeable, client: FlaskClient
) -> None:
    place = f"/history/{thing.kind}/{thing.row_id}"
    back = re.search(r'class="button" href="([^"]*)">Back to', client.get(place).text)
    assert back
    assert f'href="{place}"' in client.get(back[1]).text
    assert tabs.told.status_code == 409
