"""The three first steps stand on Today until they are done, or waved away; that can be undone."""

from __future__ import annotations

from flask.testing import FlaskClient

from tests.support import page
from tests.support.factories import Make

STEPS = ("A bag of beans", "Your brewer", "A pack of filters")
AWAY = "/settings/first-steps/away"


def steps(client: FlaskClient) -> list[str]:
    shown = page.text(client.get("/").text)
    return [step for step in STEPS if step in shown]


def test_they_stand_until_all_are_done(client: FlaskClient, make: Make) -> None:
    assert steps(client) == list(STEPS)
    make.brew(make.bag(make.bean()))
    assert steps(client) == list(STEPS)
    make.bag(make.bean(), roasted_on=None, net_g=250.0)
    assert steps(client) == list(STEPS)
    make.pack()
    assert steps(client) == []


def test_waved_away_they_stay_away_until_the_settings_bring_them_back(
    client: FlaskClient, make: Make
) -> None:
    make.brew()
    answer = client.post(AWAY)
    assert answer.location == "/"
    told = page.text(client.get("/").text)
    assert "The first steps are put away. Settings brings them back." in told
    assert steps(client) == []
    settings = client.get("/settings/").text
    assert "first_steps" not in page.form(settings, holding="locale")
    assert "first steps waved away" in page.text(client.get("/history/settings/1").text)
    back = page.filled(settings, holding="locale", first_steps="y")
    assert client.post("/settings/", data=back).status_code == 303
    assert steps(client) == list(STEPS)


def test_waving_away_changes_no_other_setting(client: FlaskClient) -> None:
    changed = page.filled(client.get("/settings/").text, holding="locale", mass_unit="oz")
    client.post("/settings/", data=changed)
    client.post(AWAY)
    assert page.form(client.get("/settings/").text, holding="locale")["mass_unit"] == ["oz"]
    assert steps(client) == []
