"""Several tasters in one test, and panels: own trials and codes, one deal, one pooled reading."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.blind.answers import answers_of
from app.journal.blind.keys import answers
from app.journal.blind.standing import results_hidden, standing
from app.models import BlindTaster, BlindTest, Taster, Trial
from app.sensory.blind.serving import orders
from app.web.security import open_to_network
from tests.support.blind import PLAN, all_trials, blind_test, planned, right_places, trial
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.page import text
from tests.support.phone import MACHINE, Phone, new_code

SEVERAL = {"tasting": "several", "more_names": "Hazel, Ilex"}
SIX = "Hazel, Ilex, Laurel, Olive, Rowan"
PANEL = {
    "tasting": "panel", "rule": "fixed number", "fixed_trials": "6", "more_names": SIX,
}  # fmt: skip


def seats(journal: Database, test_id: int) -> dict[str, BlindTaster]:
    with Session(journal.reader) as session:
        query = (
            select(Taster.name, BlindTaster)
            .join(BlindTaster, BlindTaster.taster_id == Taster.id)
            .where(BlindTaster.test_id == test_id)
        )
        return {row[0]: row[1] for row in session.execute(query)}


def draw_for(client: FlaskClient, journal: Database, test_id: int, name: str) -> int:
    taster = seats(journal, test_id)[name].taster_id
    answer = client.post(f"/blind/{test_id}/next", data={"taster_id": taster})
    assert answer.location.startswith("/blind/trials/"), answer.location
    return int(answer.location.rsplit("/", 1)[1])


def deal(client: FlaskClient, test_id: int) -> None:
    assert client.post(f"/blind/{test_id}/deal").location.endswith(f"/blind/{test_id}/pour")
    client.post(f"/blind/{test_id}/claim")
    client.post(f"/blind/{test_id}/served")


def give(client: FlaskClient, journal: Database, trial_id: int, right: bool) -> None:
    """An answer to a served trial, right or wrong as asked."""
    good = right_places(journal, trial_id)
    method = blind_test(journal, trial(journal, trial_id).test_id).method
    place = next(place for place in answers(method) if (place in good) == right)
    data = {"place": place, "sure": "yes"}
    assert client.post(f"/blind/trials/{trial_id}/answer", data=data).status_code == 303


def said(client: FlaskClient, path: str) -> str:
    return text(client.get(path, follow_redirects=True).text)


def refused(client: FlaskClient, **typed: Any) -> str:
    answer = client.post("/blind/new", data=PLAN | typed)
    assert answer.status_code == 422
    return text(answer.text)


def test_everybody_named_has_a_seat_once(client: FlaskClient, journal: Database) -> None:
    test_id = planned(client, **SEVERAL | {"more_names": "Hazel, hazel ,Juniper,, Ilex"})
    assert list(seats(journal, test_id)) == ["Juniper", "Hazel", "Ilex"]
    test = blind_test(journal, test_id)
    assert (test.several_tasters, test.balanced) == (True, False)


def test_more_names_than_the_plan_has_places_are_refused(client: FlaskClient) -> None:
    assert "More than one taster is named" in refused(client, more_names="Hazel")
    assert "more than 6 tasters" in refused(client, **PANEL | {"more_names": f"{SIX}, Yew"})
    crowd = ", ".join(f"Taster {n}" for n in range(40))
    assert "more than 40 tasters" in refused(client, **SEVERAL | {"more_names": crowd})
    assert "within 4000" in refused(client, **SEVERAL | {"more_names": "x" * 4001})
    assert "each name within" in refused(client, **SEVERAL | {"more_names": "x" * 200})
    assert "choose from the list" in refused(client, **SEVERAL | {"more_ids": ["999"]})


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"rule": "every morning"}, "read once everybody has tasted"),
        ({"fixed_trials": "41"}, "6 to 40 tasters"),
        ({"pouring": "solo"}, "somebody else has to pour"),
        ({"controls": "4"}, "no trials of A against A"),
        ({"method": "preference"}, "too few to show it"),
    ],
)
def test_a_panel_that_would_not_hold_is_refused(
    client: FlaskClient, typed: dict[str, str], says: str
) -> None:
    assert says in refused(client, **PANEL | typed)


def test_each_taster_has_trials_and_codes_of_their_own(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **SEVERAL)
    ids = [draw_for(client, journal, test_id, name) for name in ("Juniper", "Hazel", "Ilex")]
    assert draw_for(client, journal, test_id, "Hazel") == ids[1]
    rows = all_trials(journal)
    assert [row.id for row in rows] == ids
    codes = [code for row in rows for code in row.codes.split()]
    assert len(codes) == len(set(codes)) == 9
    page = said(client, f"/blind/{test_id}")
    assert page.count("not poured yet") == 3
    assert "Trial 2, Hazel" in said(client, f"/blind/trials/{ids[1]}")
    assert client.post(f"/blind/{test_id}/next", data={"taster_id": "999"}).status_code == 404


def test_a_trial_for_everybody_is_drawn_once(client: FlaskClient, journal: Database) -> None:
    test_id = planned(client, **SEVERAL)
    first = draw_for(client, journal, test_id, "Ilex")
    for _ in range(2):
        client.post(f"/blind/{test_id}/deal")
    rows = all_trials(journal)
    assert len(rows) == 3
    assert rows[0].id == first
    assert {row.taster_id for row in rows} == {
        seat.taster_id for seat in seats(journal, test_id).values()
    }


def test_only_who_said_that_they_pour_sees_the_cards_of_everybody(
    app: Flask, client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **SEVERAL)
    client.post(f"/blind/{test_id}/deal")
    helper, curious = app.test_client(), app.test_client()
    code = all_trials(journal)[0].codes.split()[0]
    assert code not in said(helper, f"/blind/{test_id}/pour")
    helper.post(f"/blind/{test_id}/claim")
    assert said(helper, f"/blind/{test_id}/pour").count("in all.") == 3
    for browser in (client, curious):
        browser.post(f"/blind/{test_id}/claim")
        page = said(browser, f"/blind/{test_id}/pour")
        assert "Somebody else has said that they pour" in page
        assert code not in page
        browser.post(f"/blind/{test_id}/served")
    assert all(row.served_at is None for row in all_trials(journal))
    helper.post(f"/blind/{test_id}/served")
    assert all(row.served_at for row in all_trials(journal))
    assert "Every trial that was drawn is served" in said(helper, f"/blind/{test_id}/pour")


def test_the_answers_of_all_are_one_count_with_each_ones_own_beside_it(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **SEVERAL)
    for rights in ((True, True, False), (True, False, True)):
        deal(client, test_id)
        for row, right in zip(all_trials(journal)[-3:], rights, strict=True):
            give(client, journal, row.id, right)
    page = said(client, f"/blind/{test_id}")
    assert "picked the odd cup 4 times out of 6" in page
    assert "Several answers a taster are pooled: it is about these tasters only." in page
    assert "2 answered · 2 of 2 right" in page
    assert page.count("2 answered · 1 of 2 right") == 2
    assert "the best one does well by luck alone" in page


def test_with_one_answer_each_it_is_about_people_like_these(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **SEVERAL)
    deal(client, test_id)
    for row in all_trials(journal):
        give(client, journal, row.id, True)
    assert "Each taster gave one answer" in said(client, f"/blind/{test_id}")


def test_who_joins_later_tastes_too_but_not_in_a_test_for_one(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **SEVERAL)
    client.post(f"/blind/{test_id}/tasters", data={"more_names": "Olive, Hazel"})
    assert list(seats(journal, test_id)) == ["Juniper", "Hazel", "Ilex", "Olive"]
    assert "Name at least one" in text(
        client.post(f"/blind/{test_id}/tasters", follow_redirects=True).text
    )
    alone = planned(client)
    client.post(f"/blind/{alone}/tasters", data={"more_names": "Olive"})
    assert list(seats(journal, alone)) == ["Juniper"]
    assert "planned for one taster" in said(client, f"/blind/{alone}")


def test_a_panel_is_dealt_every_order_equally_often(client: FlaskClient, journal: Database) -> None:
    test_id = planned(client, **PANEL)
    for _ in range(2):
        client.post(f"/blind/{test_id}/deal")
    dealt = Counter(tuple(row.cups) for row in all_trials(journal))
    assert dealt == dict.fromkeys(orders("triangle"), 1)
    codes = [code for row in all_trials(journal) for code in row.codes.split()]
    assert len(set(codes)) == 18
    client.post(f"/blind/{test_id}/tasters", data={"more_names": "Yew"})
    assert "All 6 places of this panel are taken" in said(client, f"/blind/{test_id}")
    assert len(seats(journal, test_id)) == 6


def test_a_panel_waits_until_everybody_is_there(client: FlaskClient, journal: Database) -> None:
    test_id = planned(client, **PANEL | {"more_names": "Hazel"})
    client.post(f"/blind/{test_id}/deal")
    assert "2 of 6 tasters are here: add the others first." in said(client, f"/blind/{test_id}")
    client.post(f"/blind/{test_id}/next")
    assert "dealt to everybody at once" in said(client, f"/blind/{test_id}")
    assert all_trials(journal) == []


def test_a_panel_says_nothing_before_all_have_tasted_and_then_all(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **PANEL)
    deal(client, test_id)
    *most, last = all_trials(journal)
    for row in most:  # five of six are enough by now, and it still waits
        give(client, journal, row.id, True)
        assert "Results are shown when the test has ended" in said(
            client, f"/blind/trials/{row.id}"
        )
    page = said(client, f"/blind/{test_id}")
    assert "right" not in page.replace("Right answers are", "")
    assert blind_test(journal, test_id).ended is None
    give(client, journal, last.id, False)
    assert blind_test(journal, test_id).ended == "shown"
    page = said(client, f"/blind/{test_id}")
    assert "5 of 6 tasters picked the odd cup; guessing gets about 2. That is enough" in page
    assert "in at most 5 panels of 100" in page
    assert "Each taster gave one answer" in page
    assert "1 answered · 1 of 1 right" in page
    client.post(f"/blind/trials/{most[0].id}/reveal")
    assert "Right answer" in said(client, f"/blind/trials/{most[0].id}")


def test_the_last_answer_of_a_panel_can_leave_it_undecided(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **PANEL | {"fixed_trials": "7", "more_names": f"{SIX}, Yew"})
    deal(client, test_id)
    for number, row in enumerate(all_trials(journal)):
        give(client, journal, row.id, number < 5)
    # 5 of 7 is the binomial count (P = .0453); dealt orders ask for 6 (see the sensory test_panel).
    assert blind_test(journal, test_id).ended == "undecided"
    assert "5 of 7 tasters" in (page := said(client, f"/blind/{test_id}"))
    assert "That is not enough to say" in page
    assert "6 or more of 7 show a difference" in page


def test_a_panel_tastes_once_each_and_void_places_are_filled(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **PANEL)
    deal(client, test_id)
    first, second, *_ = all_trials(journal)
    give(client, journal, first.id, True)
    client.post(f"/blind/{test_id}/next", data={"taster_id": first.taster_id})
    assert "everybody tastes once" in said(client, f"/blind/{test_id}")
    assert len(all_trials(journal)) == 6
    client.post(f"/blind/trials/{second.id}/void", data={"reason": "went home"})
    client.post(f"/blind/{test_id}/tasters", data={"more_names": "Yew, Aspen"})
    assert len(seats(journal, test_id)) == 6, "one place is free, not two"
    client.post(f"/blind/{test_id}/tasters", data={"more_names": "Yew"})
    new = draw_for(client, journal, test_id, "Yew")
    client.post(f"/blind/{test_id}/next", data={"taster_id": second.taster_id})
    assert "All 6 places" in said(client, f"/blind/{test_id}")
    assert [row.id for row in all_trials(journal)][6:] == [new]


def test_a_panels_preference_counts_who_prefers_neither(make: Make, journal: Database) -> None:
    test = make.save(
        BlindTest(
            entry_key="p", title="Milk first", made_at=NOON, a_words="milk first", b_words="last",
            claim="these cups", brewing="one pair", method="preference", pouring="helper",
            rule="fixed number", fixed_trials=8, p_d=0.4, several_tasters=True, balanced=True,
        )
    )  # fmt: skip
    for number in range(8):
        taster = make.save(Taster(name=f"Taster {number}"))
        make.save(BlindTaster(test_id=test.id, taster_id=taster.id, joined_at=NOON))
        make.save(
            Trial(
                test_id=test.id, taster_id=taster.id, number=number + 1, pouring="helper",
                cups="AB", codes="417 902", drawn_at=NOON, claimed_at=NOON, poured_by="a" * 64,
                served_at=NOON, answered_at=NOON, answered_by="b" * 64,
                answer=0 if number == 7 else 1,
            )
        )  # fmt: skip
    with Session(journal.reader) as session:
        assert results_hidden(test)
        read = standing(test, answers_of(session, test, NOON))
    # Seven of eight is no majority two-sided (2 x 9/256 = .07); with eight it would be one.
    assert read.state == "undecided"
    assert "7 tasters preferred A, 0 B, 1 neither; a coin gives each about 4." in read.sentence
    assert read.sums[0].startswith("8 or more of 8 for one cup show a preference")
    assert read.n == 8


@pytest.fixture
def owner(app: Flask, client: FlaskClient) -> FlaskClient:
    open_to_network(app, [MACHINE])
    return client


def test_guests_taste_on_their_own_phones(
    app: Flask, owner: FlaskClient, journal: Database
) -> None:
    test_id = planned(owner, **SEVERAL)
    owner.post(f"/blind/{test_id}/deal")
    trials = {row.taster_id: row.id for row in all_trials(journal)}
    phones = {}
    for number, (name, seat) in enumerate(seats(journal, test_id).items()):
        phone = phones[name] = Phone(app, f"192.168.1.{60 + number}")
        phone.pair(new_code(owner, seat.id), name=f"{name}'s")
        own = trials[seat.taster_id]
        waiting = text(phone.ask(f"/blind/trials/{own}").text)
        assert "Your cups are not served yet" in waiting
        assert trial(journal, own).codes.split()[0] in waiting
        assert "Void" not in waiting
        assert "Log a brew" not in waiting
    owner.post(f"/blind/{test_id}/claim")
    owner.post(f"/blind/{test_id}/served")
    for name, phone in phones.items():
        own = trials[seats(journal, test_id)[name].taster_id]
        served = phone.ask(f"/blind/trials/{own}").text
        assert "/blind/trials/" + str(own) + "/void" not in served
        good = right_places(journal, own)[0]
        sent = phone.ask(f"/blind/trials/{own}/answer", "POST", data={"place": good, "sure": "yes"})
        assert sent.status_code == 303
        shown = phone.ask(sent.location).text
        assert "Right answer" in text(shown)
        links = [link for link in shown.split('href="')[1:] if link.startswith("/")]
        kept = ("/guest", "/static/")
        assert all(link.startswith(kept) for link in links), links
    assert "3 of 3 right" in said(owner, f"/blind/{test_id}")


def test_a_code_for_ones_own_phone_is_made_at_the_table(
    owner: FlaskClient, journal: Database
) -> None:
    test_id = planned(owner, **SEVERAL)
    seat = seats(journal, test_id)["Hazel"]
    page = owner.get(f"/blind/{test_id}").text
    assert f'name="seat_id" value="{seat.id}"' in page
    shown = text(owner.post("/devices/guest-codes", data={"seat_id": seat.id}).text)
    assert "Pair Hazel’s phone" in shown
    solo = planned(owner, pouring="solo", **SEVERAL)
    assert 'name="seat_id"' not in owner.get(f"/blind/{solo}").text
