"""Long lists under a question: a few pieces on its page, each of the others on a sheet."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date, timedelta

import pytest
from flask.testing import FlaskClient

from app.models import Ask, BlindTest, Brew, SideBySide
from app.questions.pieces import A_SHEET, FEW
from tests.questions.sheets import walked
from tests.support import page
from tests.support.asking import ask, blind_test, number, pair, says, tie
from tests.support.clock import NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]
MANY = 2 * A_SHEET + 1
KINDS = {"brew": "brews", "side_by_side": "side-by-sides", "blind_test": "blind-tests"}


def thing(make: Make, kind: str, n: int) -> Brew | SideBySide | BlindTest:
    at = NOON - timedelta(days=n)
    if kind == "brew":
        return make.brew(brewed_at=at)
    if kind == "blind_test":
        return blind_test(make, title=f"Test {n}")
    return pair(make, None if n else "b", steep_s=180)


def offs(html: str, name: str = "row_id") -> list[str]:
    """What can be taken off: each piece has a button of its own, and so has each ask."""
    return re.findall(rf'name="{name}" value="(\d+)">Take', html)


@pytest.mark.parametrize("kind", KINDS)
def test_every_piece_is_reached_and_the_page_shows_those_that_say_something(
    client: FlaskClient, make: Make, kind: str
) -> None:
    address = ask(client, factor="steep")
    things = [thing(make, kind, n) for n in range(MANY)]
    for each in things:
        tie(client, address, kind, each)
    if kind == "brew":
        make.tasting(brew_id=things[-1].id)  # the oldest
    shown, list_address = client.get(address).text, f"{address}/{KINDS[kind]}"
    assert len(offs(shown)) == FEW
    assert f'href="{list_address}">All {MANY} ' in shown
    if kind != "blind_test":
        telling = things[-1] if kind == "brew" else things[0]
        assert offs(shown)[0] == str(telling.id)
    found = [off for html in walked(client, list_address) for off in offs(html)]
    assert len(found) == len(set(found)) == MANY
    assert set(found) == {str(each.id) for each in things}
    assert client.get(f"{list_address}?from={MANY}").status_code == 404
    assert client.get(f"/questions/999/{KINDS[kind]}").status_code == 404


def test_with_few_the_page_has_them_all_and_leads_nowhere(client: FlaskClient, make: Make) -> None:
    address = ask(client, factor="steep")
    for _ in range(FEW):
        tie(client, address, "side_by_side", pair(make, "b", steep_s=180))
    assert len(offs(client.get(address).text)) == FEW
    assert "/side-by-sides" not in client.get(address).text
    assert "1 to 4 of 4" in says(client, f"{address}/side-by-sides")
    assert "None is under this question." in says(client, f"{address}/brews")


def test_taking_off_leads_back_to_the_same_sheet_or_the_one_before_a_last_piece(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client)
    for n in range(A_SHEET + 2):
        tie(client, address, "brew", thing(make, "brew", n))
    here = f"{address}/brews?from={A_SHEET}"
    for back in (here, f"{address}/brews"):
        html = client.get(here).text
        sent = page.form(html, holding="kind") | {"row_id": [offs(html)[0]]}
        answer = client.post(f"{address}/untie", data=sent)
        assert answer.location == back
        assert client.get(back).status_code == 200
    assert "1 to 10 of 10" in says(client, f"{address}/brews")


def test_all_who_asked_stand_on_sheets_and_can_be_taken_off_there(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client, "Is a warm mug better?")
    for n in range(A_SHEET + 1):
        asked = Ask(text=f"Mug {n}?", asked_on=date(2026, 3, 2), noted_at=NOON, source="")
        asked.question_id = number(address)
        make.save(asked)
    assert len(offs(client.get(address).text, "ask")) == FEW
    assert f"All {A_SHEET + 2} asks, or the same" in says(client, address)
    found = [off for html in walked(client, f"{address}/asks") for off in offs(html, "ask")]
    assert len(set(found)) == A_SHEET + 2
    html = client.get(f"{address}/asks?from={A_SHEET}").text
    sent = page.form(html, holding="back") | {"ask": [offs(html, "ask")[0]]}
    answer = client.post("/questions/asks/release", data=sent)
    assert answer.location == f"{address}/asks?from={A_SHEET}"
    assert f"Asked {A_SHEET + 1} times" in says(client, answer.location)
    assert client.get(f"{address}/asks?from=99").status_code == 404


def test_a_sheet_asks_as_often_with_many_pieces_as_with_few(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    address = ask(client, factor="steep")
    counts: list[list[int]] = []
    for rounds in (1, A_SHEET):
        for _ in range(rounds):
            tie(client, address, "side_by_side", pair(make, "b", steep_s=180))
        counts.append([])
        for sheet in ("", "/side-by-sides", "/asks", "/add", "/within"):
            client.get(address + sheet)
            with statements() as seen:
                client.get(address + sheet)
            counts[-1].append(len(seen))
    assert counts[0] == counts[1]
