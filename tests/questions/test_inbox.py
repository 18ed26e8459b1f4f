"""The inbox: many lines pasted, alike ones side by side, gathered with one tap, and taken back."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.asks.inbox import MOST_IN_ONE
from app.journal.questions import MOST_OFFERED
from app.models import Ask, Question
from tests.questions.sheets import walked
from tests.similar.measured import groups_in
from tests.support import page
from tests.support.asking import ask, number, says, tie
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]
NEW, INBOX = "/questions/asks/new", "/questions/asks/"
PAPERS = [
    "Two papers or one?",
    "does a second FILTER change anything??",
    "one filtre or two filters",
]


def paste(client: FlaskClient, *lines: str, **more: str | None) -> int:
    """The status of pasting as the page does."""
    typed = page.filled(client.get(NEW).text, holding="own_days", text="\n".join(lines), **more)
    return client.post(NEW, data=typed).status_code


def asks(journal: Database) -> list[Ask]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Ask).order_by(Ask.id)))


def questions(journal: Database) -> list[Question]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Question).order_by(Question.id)))


def forms(client: FlaskClient) -> list[page.Values]:
    """The forms of the inbox that gather what is ticked in them."""
    reader = page.read(client.get(INBOX).text)
    return [
        values for given, values in reader.forms
        if given.get("action", "").endswith("/gather") and "text" in values
    ]  # fmt: skip


def gather(client: FlaskClient, values: page.Values, **typed: str | list[str]) -> int:
    sent = values | {name: v if isinstance(v, list) else [v] for name, v in typed.items()}
    return client.post(f"{INBOX}gather", data=sent).status_code


def take_back(client: FlaskClient) -> None:
    sent = next(
        values for given, values in page.read(client.get(INBOX).text).forms
        if given.get("action", "").endswith("take-back")
    )  # fmt: skip
    assert client.post(f"{INBOX}take-back", data=sent).status_code == 303


def ticks(html: str) -> list[str]:
    return re.findall(r'type="checkbox" name="ask" value="(\d+)"', html)


# Pasting


def test_each_line_becomes_an_ask_with_its_day_and_source(
    client: FlaskClient, journal: Database
) -> None:
    lines = (
        "- Two papers or one?", "", "2026-03-05 Why so hot?", "5.4.2026: Which mill?",
        "[7 Jun 2026, 14:05] Is it the water?", "\tmilk   or not\u200b", "3 minutes or 4?",
    )  # fmt: skip
    assert paste(client, *lines, source="Letters") == 303
    found = asks(journal)
    assert [(one.text, one.asked_on) for one in found] == [
        ("Two papers or one?", date(2026, 9, 15)), ("Why so hot?", date(2026, 3, 5)),
        ("Which mill?", date(2026, 4, 5)), ("Is it the water?", date(2026, 6, 7)),
        ("milk or not\u200b", date(2026, 9, 15)), ("3 minutes or 4?", date(2026, 9, 15)),
    ]  # fmt: skip
    assert {one.source for one in found} == {"Letters"}
    assert {one.question_id for one in found} == {None}


def test_a_date_stays_in_the_words_where_that_is_wished(
    client: FlaskClient, journal: Database
) -> None:
    assert paste(client, "2026-03-05 Why so hot?", own_days=None, asked_on="2026-08-01") == 303
    (one,) = asks(journal)
    assert (one.text, one.asked_on) == ("2026-03-05 Why so hot?", date(2026, 8, 1))


def test_the_same_list_pasted_again_is_left_out_and_the_same_words_of_two_people_are_not(
    client: FlaskClient, journal: Database
) -> None:
    assert paste(client, "Which mill?", "Which mill?", "Ice?") == 303
    assert len(asks(journal)) == 3
    assert paste(client, "Which mill?", "Which mill?", "Ice?", "Milk?") == 303
    assert [one.text for one in asks(journal)][3:] == ["Milk?"]
    assert "3 lines were here already and left out." in says(client, INBOX)
    assert paste(client, "Ice?", source="Letters") == 303
    assert len(asks(journal)) == 5


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "Please fill this in."),
        ("\n \n-\n", "Please fill this in."),
        ("\n".join(f"line {n}" for n in range(5000)), "These are 5,000 lines. Paste at most 200"),
        ("ok?\n" + "x" * 3000, "Line 2: 3,000 characters; an ask has at most 1,000."),
        ("x" * 260_000, "Keep this within 250000 characters."),
        ("2026-02-31 Why?", "Line 1: this date is not in the calendar, or has not come yet."),
        ("fine?\n2031-01-01 Why?", "Line 2: this date is not in the calendar"),
        ("5.4.2026", "Line 1: there is a date, and no words."),
        ("\n".join(["y" * 1001] * 9), "So are 6 more lines."),
    ],
)
def test_what_cannot_be_pasted_comes_back_as_it_was_with_a_message_beside_it(
    client: FlaskClient, journal: Database, text: str, message: str
) -> None:
    typed = page.filled(client.get(NEW).text, holding="own_days", text=text, source="Class")
    answer = client.post(NEW, data=typed)
    assert answer.status_code == 422
    assert re.search(rf'id="text-error">[^<]*{re.escape(message)}', answer.text)
    kept = page.form(answer.text, holding="own_days")
    assert kept["text"][0].strip() == text.strip()
    assert kept["source"] == ["Class"]
    assert asks(journal) == []


def test_html_control_characters_and_other_lines_are_words_like_any_other(
    client: FlaskClient, journal: Database
) -> None:
    assert paste(client, "<script>alert(1)</script> \x00\x07why?", "a\u2028b", "☕?") == 303
    assert [one.text for one in asks(journal)] == [
        "<script>alert(1)</script> why?", "a", "b", "☕?",
    ]  # fmt: skip
    assert "<script>alert" not in client.get(INBOX).text


# Gathering


def test_alike_asks_stand_together_and_one_tap_gathers_them_under_a_new_question(
    client: FlaskClient, journal: Database
) -> None:
    assert paste(client, *PAPERS, "Which milk?") == 303
    told = says(client, INBOX)
    assert "3 asks, perhaps one question" in told
    assert "Alike in: two papers, paper." in told.replace("paper, two papers", "two papers, paper")
    assert {one.question_id for one in asks(journal)} == {None}  # nothing without the tap
    together, _ = forms(client)
    assert len(together["ask"]) == 3
    assert gather(client, together) == 303
    (question,) = questions(journal)
    assert question.text in PAPERS
    assert question.factors == ["filter"]
    assert [one.question_id for one in asks(journal)] == [1, 1, 1, None]
    assert "asked 3 times," in says(client, "/questions/1")
    assert all(text in says(client, "/questions/1") for text in PAPERS)


def test_gathering_is_taken_back_with_one_tap_and_the_empty_question_goes_into_the_bin(
    client: FlaskClient, journal: Database
) -> None:
    paste(client, *PAPERS)
    assert gather(client, forms(client)[0]) == 303
    assert "3 asks went under" in says(client, INBOX)
    history = says(client, "/history/ask/1")
    assert "From this computer: gathered. " in history
    assert "Question in the inbox Two papers or one?" in history
    take_back(client)
    assert "taken back" in says(client, "/history/ask/1")
    assert {one.question_id for one in asks(journal)} == {None}
    assert questions(journal)[0].binned_at is not None
    assert "went under" not in says(client, INBOX)
    assert "3 asks, perhaps one question" in says(client, INBOX)


def test_asks_like_a_question_that_is_there_are_put_under_it(
    client: FlaskClient, journal: Database
) -> None:
    address = ask(client, "Do two papers taste different from one?", factor="filter")
    paste(client, *PAPERS, "Ice?")
    together = forms(client)[0]
    assert "There already: Do two papers taste different from one?" in says(client, INBOX)
    assert together["question_id"] == ["1"]
    assert gather(client, together) == 303
    assert len(questions(journal)) == 1
    assert "asked 4 times," in says(client, address)
    take_back(client)
    assert "asked 1 time," in says(client, address)
    assert questions(journal)[0].binned_at is None


def test_one_ask_is_made_a_question_and_others_are_left_out_of_a_group(
    client: FlaskClient, journal: Database
) -> None:
    paste(client, *PAPERS, "Milk before or after?")
    together, _ = forms(client)
    left_out = together["ask"].pop()
    assert gather(client, together, text="Is one paper enough?") == 303
    assert questions(journal)[0].text == "Is one paper enough?"
    assert [one.id for one in asks(journal) if one.question_id is None] == [int(left_out), 4]
    assert client.post(f"{INBOX}gather", data={"ask": "4"}).status_code == 303
    assert questions(journal)[1].text == "Milk before or after?"
    assert asks(journal)[3].question_id == 2


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"ask": []}, "Tick at least one ask."),
        ({"text": "x" * 301}, "Keep this within 300 characters."),
    ],
)
def test_what_cannot_be_gathered_is_shown_again_with_what_was_typed(
    client: FlaskClient, journal: Database, typed: dict[str, str | list[str]], message: str
) -> None:
    paste(client, *PAPERS)
    sent = forms(client)[0] | {"text": ["Mine?"]} | typed
    answer = client.post(f"{INBOX}gather", data=sent)
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    assert {one.question_id for one in asks(journal)} == {None}
    if typed.get("text"):
        assert "x" * 301 in answer.text


def test_a_question_or_ask_that_is_gone_meanwhile_gathers_nothing(
    client: FlaskClient, journal: Database
) -> None:
    paste(client, *PAPERS)
    assert client.post(f"{INBOX}gather", data={"ask": "1", "question_id": "77"}).status_code == 404
    client.post("/questions/asks/2/bin")
    assert (
        client.post(f"{INBOX}gather", data={"ask": ["1", "2", "88"], "text": "?"}).status_code
        == 303
    )
    assert [one.question_id for one in asks(journal)] == [1, None, None]


# A question and its asks


def test_asks_are_taken_off_and_one_without_words_gets_those_of_the_question(
    client: FlaskClient, journal: Database
) -> None:
    address = ask(client, "Milk before or after?")
    client.post(f"{address}/again")
    sent = {"ask": ["1", "2"], "question_id": "1"}
    assert client.post("/questions/asks/release", data=sent).status_code == 303
    assert [(one.text, one.question_id) for one in asks(journal)] == [
        ("Milk before or after?", None)
    ] * 2
    assert questions(journal)[0].binned_at is not None  # nothing is left under it
    take_off = client.post("/questions/asks/take-back", data={"ask": ["1", "2"]})
    assert take_off.status_code == 303
    assert questions(journal)[0].binned_at is None
    assert {one.question_id for one in asks(journal)} == {1}


def test_a_question_in_the_bin_keeps_its_asks_until_they_are_sent_back(
    client: FlaskClient, journal: Database
) -> None:
    paste(client, *PAPERS)
    gather(client, forms(client)[0])
    client.post("/questions/1/bin")
    assert "Two papers" not in says(client, INBOX)
    binned = client.get("/questions/1").text
    sent = [v for given, v in page.read(binned).forms if given["action"].endswith("release")][-1]
    client.post("/questions/1/restore")
    assert "asked 3 times," in says(client, "/questions/1")
    client.post("/questions/1/bin")
    assert client.post("/questions/asks/release", data=sent).status_code == 303
    assert {one.question_id for one in asks(journal)} == {None}


def test_two_questions_are_one_after_the_asks_of_one_went_under_the_other(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    first, second = ask(client, "Two papers or one?"), ask(client, "Is a second paper any good?")
    client.post(f"{second}/again")
    typed = page.filled(
        client.get("/questions/asks/2").text, holding="asked_on", question_id=str(number(first))
    )
    assert client.post("/questions/asks/2", data=typed).status_code == 303
    assert "asked 2 times," in says(client, first)
    assert "asked 1 time," in says(client, second)
    sent = page.form(client.get(f"{second}/asks").text, holding="ask") | {"question_id": ["1"]}
    assert client.post(f"{INBOX}gather", data=sent).status_code == 303
    assert "asked 3 times," in says(client, first)
    assert questions(journal)[1].binned_at is not None  # nothing is left under it
    take_back(client)
    assert "asked 2 times," in says(client, first)
    assert questions(journal)[1].binned_at is None
    tie(client, second, "brew", make.brew())
    assert gather(client, sent) == 303
    assert questions(journal)[1].binned_at is None  # its evidence is there still


def test_sixty_asks_are_gathered_in_as_many_taps_as_there_are_groups(
    client: FlaskClient, journal: Database
) -> None:
    lines = [text for texts in groups_in("first").values() for text in texts][:40]
    assert paste(client, *lines) == 303
    taps = 0
    while "perhaps one question" in says(client, INBOX):
        assert gather(client, forms(client)[0]) == 303
        taps += 1
    gathered = sum(one.question_id is not None for one in asks(journal))
    assert gathered >= 30
    assert taps <= 12


def test_the_inbox_asks_as_often_with_many_as_with_few(
    client: FlaskClient, statements: Watch
) -> None:
    counts = []
    for many in (1, 60):
        paste(client, *[f"{text} {n}" for n in range(many) for text in PAPERS[:1]])
        client.get(INBOX)
        with statements() as seen:
            client.get(INBOX)
        counts.append(len(seen))
    assert counts[0] == counts[1] <= 10


def test_asks_that_are_gone_make_no_question(client: FlaskClient, journal: Database) -> None:
    gone = {"ask": ["999999"], "text": ""}
    refused = client.post("/questions/asks/gather", data=gone)
    assert refused.status_code == 422
    assert "no longer there" in page.text(refused.text)
    with Session(journal.reader) as session:
        assert session.scalar(select(func.count()).select_from(Question)) == 0


def test_a_long_inbox_stands_on_sheets_whose_groups_are_whole(
    client: FlaskClient, journal: Database
) -> None:
    apart = groups_in("first")
    paste(client, *[text for texts in apart.values() for text in texts])
    for n in range(MOST_OFFERED + 5):
        ask(client, f"Is a longer talk about thing {n} of any use to somebody who asks it here?")
    on_sheets = list(walked(client, INBOX))
    assert len(on_sheets) >= 2
    found = [one for sheet in on_sheets for one in ticks(sheet)]
    assert sorted(map(int, found)) == [one.id for one in asks(journal) if not one.question_id]
    assert all(len(one) < 37_000 for one in on_sheets)
    assert client.get(f"{INBOX}?sheet={len(on_sheets) + 1}").status_code == 404


def test_gathering_on_a_later_sheet_leads_back_to_it_or_to_the_last_there_is(
    client: FlaskClient, journal: Database
) -> None:
    paste(client, *[text for texts in groups_in("first").values() for text in texts])
    last = len(list(walked(client, INBOX)))
    here = f"{INBOX}?sheet={last}"
    for back in (here, None):
        sent = next(
            values for given, values in page.read(client.get(here).text).forms
            if given.get("action", "").endswith("/gather") and "text" in values
        )  # fmt: skip
        refused = client.post(f"{INBOX}gather", data=sent | {"ask": []})
        assert refused.status_code == 422
        assert f'name="sheet" value="{last}"' in refused.text
        if back is None:  # everything of it at once
            sent["ask"] = re.findall(
                r'type="checkbox" name="ask" value="(\d+)"', client.get(here).text
            )
        else:
            sent["ask"] = ticks(refused.text)[:1]
        answer = client.post(f"{INBOX}gather", data=sent)
        if back:
            assert answer.location == back
        assert client.get(answer.location).status_code == 200
    assert last > 1
    assert f"sheet={last}" not in (answer.location or "")


def test_a_very_large_group_comes_in_parts_and_the_next_is_like_the_new_question(
    client: FlaskClient, journal: Database
) -> None:
    paste(client, *[PAPERS[0]] * (MOST_IN_ONE + 5))
    first, second = forms(client)
    assert [len(one["ask"]) for one in (first, second)] == [MOST_IN_ONE, 5]
    assert gather(client, first) == 303
    assert "There already: Two papers or one?" in says(client, INBOX)
    assert gather(client, forms(client)[0]) == 303
    assert {one.question_id for one in asks(journal)} == {1}


def test_asks_older_than_those_compared_come_after_them(
    client: FlaskClient, journal: Database
) -> None:
    marks = [f"{one}{other}" for one in "bdfgklmnprst" for other in "aeiou"]
    for part in ("ae", "iu"):
        paste(client, *[f"Is {one}r{other}x?" for one in marks for other in part])
    found = [int(number) for one in walked(client, INBOX) for number in ticks(one)]
    assert len(found) == 240
    assert sorted(found) == [one.id for one in asks(journal)]
    older = client.get(f"{INBOX}?before=41").text
    assert 'rel="prev"' in older
    assert 'name="before" value="41"' in older
