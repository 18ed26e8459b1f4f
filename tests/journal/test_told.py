"""Lists tell brews, pairs and blind tests apart that could be taken for each other."""

from __future__ import annotations

from datetime import timedelta

from flask.testing import FlaskClient

from app.database import Database
from app.formats import Formats
from app.journal.blind.told import titles_in_words
from app.journal.brews import NamedBrew, named_brews
from app.journal.rows import rows_as
from app.journal.told import Apart, brews_in_words, pairs_apart, told_apart
from app.models import Brew, Question
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.phone import blind_test

PLAIN = Formats(space=" ")


def told(journal: Database) -> dict[int, str]:
    with journal.read_session() as session:
        return told_apart(session, rows_as(NamedBrew, session, named_brews()), PLAIN)


def apart(journal: Database, a: Brew, b: Brew) -> Apart:
    with journal.read_session() as session:
        return pairs_apart(session, [(a.id, b.id)], PLAIN)[a.id, b.id]


def test_one_stir_is_a_stir_and_days_rested_are_said_once(journal: Database, make: Make) -> None:
    bag = make.bag(roasted_on=NOON.date() - timedelta(days=9))
    a, b = (make.brew(bag, brewed_at=NOON, stirs=stirs) for stirs in (1, 3))
    assert told(journal) == {a.id: "1 stir", b.id: "3 stirs"}
    assert apart(journal, a, b).words == "stirs: 1 and 3"
    old = make.bag(roasted_on=NOON.date() - timedelta(days=1))
    later = NOON + timedelta(hours=3)
    fresh, _ = (make.brew(of, brewed_at=later, stirs=3) for of in (old, bag))
    assert told(journal)[fresh.id] == "Morning Hill, rested 1 day"


def test_two_brews_of_a_minute_say_what_was_changed(journal: Database, make: Make) -> None:
    one, other = make.filter(), make.filter()
    a = make.brew(brewed_at=NOON, filters=[one])
    b = make.brew(brewed_at=NOON, filters=[make.filter(), other])
    assert told(journal) == {a.id: "1 paper filter", b.id: "2 paper filters"}


def test_a_number_says_what_it_is_a_number_of(journal: Database, make: Make) -> None:
    a = make.brew(brewed_at=NOON, dose_g=14.5)
    b = make.brew(brewed_at=NOON + timedelta(minutes=3), dose_g=16.0)
    assert told(journal) == {a.id: "14.5 g dose", b.id: "16 g dose"}


def test_alike_brewers_are_left_and_right_also_where_something_else_was_changed(
    journal: Database, make: Make
) -> None:
    left = make.brewer(name="Press, left")
    right = make.brewer(name="Press, right", alike_to_id=left.id)
    a = make.brew(brewed_at=NOON, brewer=left, steep_s=100)
    b = make.brew(brewed_at=NOON, brewer=right, steep_s=100)
    assert told(journal) == {a.id: "Press, left", b.id: "Press, right"}
    c = make.brew(brewed_at=NOON, brewer=right, steep_s=160)
    assert told(journal)[c.id] == "2:40 steep, Press, right"


def test_brews_that_nothing_tells_apart_are_counted(journal: Database, make: Make) -> None:
    a, b = (make.brew(brewed_at=NOON) for _ in range(2))
    assert told(journal) == {a.id: "1st of 2", b.id: "2nd of 2"}


def test_brews_of_other_beans_or_hours_need_no_more_words(journal: Database, make: Make) -> None:
    make.brew(brewed_at=NOON)
    make.brew(brewed_at=NOON + timedelta(minutes=11))
    make.brew(make.bag(make.bean(name="Slow Tuesday")), brewed_at=NOON)
    assert told(journal) == {}


def test_a_pick_list_says_first_what_differs(journal: Database, make: Make) -> None:
    make.brew(brewed_at=NOON, water_temp_c=88.0)
    make.brew(brewed_at=NOON, water_temp_c=95.0)
    with journal.read_session() as session:
        rows = rows_as(NamedBrew, session, named_brews())
        words = dict(brews_in_words(session, rows, PLAIN))
    assert [text.split(":")[0] for text in words.values()] == [
        "88 °C water temperature", "95 °C water temperature",
    ]  # fmt: skip


def test_a_pair_says_what_differs_and_whether_that_is_fair(journal: Database, make: Make) -> None:
    a, b = make.brew(dose_g=14.5), make.brew(dose_g=16.0)
    again = make.brew(dose_g=14.5)
    far = make.brew(dose_g=18.0, grind="fine", steep_s=50)
    near = make.brew(dose_g=14.5, grind="coarse", steep_s=200)
    assert apart(journal, a, b) == Apart("one", "dose: 14.5 g and 16 g")
    assert apart(journal, a, again).verdict == "repeat"
    assert apart(journal, far, near) == Apart("several", "grind, dose and steep differ")


def test_blind_tests_of_one_title_say_what_they_are(make: Make) -> None:
    first = blind_test(make, entry_key="1")
    other_cups = blind_test(make, entry_key="2", b_words="thick")
    other_method = blind_test(make, entry_key="3", method="tetrad")
    alone = blind_test(make, "Two waters")
    words = dict(titles_in_words([first, other_cups, other_method, alone], PLAIN))
    assert words[alone.id] == "Two waters"
    assert words[first.id] == "Fresh or rinsed paper: fresh against rinsed, Triangle"
    assert words[other_cups.id] == "Fresh or rinsed paper: fresh against thick, Triangle"
    assert words[other_method.id] == "Fresh or rinsed paper: fresh against rinsed, Tetrad"


def test_every_list_uses_these_words(client: FlaskClient, make: Make) -> None:
    a = make.brew(brewed_at=NOON, dose_g=14.5)
    b = make.brew(brewed_at=NOON, dose_g=16.0)
    make.side_by_side(a, b)
    asked = make.save(Question(text="Which dose?", asked_at=NOON))
    for address in (
        "/", "/brews/", "/tastings/", "/blind/new", f"/side-by-side/pick?a={a.id}",
        f"/questions/{asked.id}/add",
    ):  # fmt: skip
        assert "16 g dose" in page.text(client.get(address).text), address
    for address in ("/side-by-side/", f"/questions/{asked.id}/add"):
        assert "ose: 14.5 g and 16 g" in page.text(client.get(address).text), address
