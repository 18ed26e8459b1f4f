"""A sitting is run from its sheet: a line starts there, and is ticked by what the journal has."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from urllib.parse import parse_qs, urlsplit

from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.sittings.reading import planned_question_ids
from app.models import Brew, QuestionBrew, QuestionSideBySide, SideBySide
from tests.support import page
from tests.support.clock import A_DAY, NOON
from tests.support.factories import Make
from tests.support.sitting import (
    a_pair,
    brew_line,
    line_ids,
    pair_lines,
    pair_of,
    question,
    save,
    sheet,
)

Freeze = Callable[..., None]


def newest(journal: Database, count: int) -> list[Brew]:
    with Session(journal.reader) as session:
        found = session.scalars(select(Brew).order_by(Brew.id.desc()).limit(count)).all()
    return list(reversed(found))


def taste(client: FlaskClient, a: Brew, b: Brew) -> Any:
    opened = client.get(f"/taste/{a.id}/{b.id}").text
    sent = {"a-liking": "6", "b-liking": "8", "a-new_taster": "Juniper"}
    return client.post(
        f"/taste/{a.id}/{b.id}", data=page.filled(opened, holding="a-liking", **sent)
    )


def prefer(client: FlaskClient, a: Brew, b: Brew, preference: str) -> Any:
    return client.post(f"/side-by-side/{a.id}/{b.id}", data={"preference": preference})


def test_a_pair_from_the_first_line_to_what_it_found(
    client: FlaskClient, journal: Database, make: Make, freeze: Freeze
) -> None:
    sitting, question = a_pair(journal, make)
    brew, *_ = line_ids(journal, sitting)
    assert "Next, line 1 Brew A and B along" in sheet(client, sitting)

    answer = brew_line(client, brew)
    assert answer.location == f"/sittings/lines/{brew}"
    assert client.get(answer.location).location == f"/sittings/{sitting}"
    a, b = newest(journal, 2)
    assert (a.dose_g, a.water_g, a.steep_s, a.stirs) == (13.5, 215, 95, 0)
    assert (b.dose_g, b.water_g, b.steep_s, b.stirs) == (13.5, 215, 95, 2)
    with Session(journal.reader) as session:
        under = session.scalars(select(QuestionBrew.brew_id).order_by(QuestionBrew.brew_id)).all()
    assert under == [a.id, b.id]

    said = sheet(client, sitting)
    assert "Both brews saved." in said
    assert "Next, line 2 Pour out, and let it cool" in said
    assert "Until 12:04" in said  # 4 min 55 s after noon
    freeze(NOON + timedelta(minutes=6))
    assert "Next, line 3 Taste A and B side by side" in sheet(client, sitting)

    assert taste(client, a, b).location == f"/sittings/{sitting}"
    assert "Which did you prefer?" in sheet(client, sitting)
    assert prefer(client, a, b, "b").location == f"/sittings/{sitting}"
    with Session(journal.reader) as session:
        (saved,) = session.scalars(select(SideBySide))
        assert session.get(QuestionSideBySide, (question, saved.id)) is not None
    assert "Next, line 4 Rest" in sheet(client, sitting)

    freeze(NOON + timedelta(minutes=10))
    over = sheet(client, sitting)
    assert "4 of 4 lines done. Nothing is left to do: close it." in over
    assert "What it found" in over
    assert "Side by side : preferred Cup B" in over
    assert "Write the answer" in over
    with Session(journal.reader) as session:
        assert planned_question_ids(session) == {question}
    assert client.post(f"/sittings/{sitting}/end").status_code == 303
    with Session(journal.reader) as session:
        assert planned_question_ids(session) == set()


def test_a_line_starts_the_clock_filled_in_and_the_clock_leads_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make, stirs=2, steep_s=140)
    brew, *_ = line_ids(journal, sitting)
    to_clock = client.get(f"/brews/two/new?line={brew}&along=1")
    given = parse_qs(urlsplit(to_clock.location).query)
    assert (given["a-line"], given["a-steep_s"], given["b-steep_s"]) == (
        [f"{brew}"],
        ["1:35"],
        ["2:20"],
    )
    clock = client.get(to_clock.location)
    assert clock.status_code == 200
    to_log = page.form(clock.text, holding="a-line")
    log = client.get("/brews/two/new", query_string=to_log).text
    answer = client.post("/brews/two/new", data=page.filled(log, holding="a-line"))
    assert answer.location == f"/sittings/lines/{brew}"
    assert [brew.stirs for brew in newest(journal, 2)] == [0, 2]
    assert "1 of 4 lines done" in sheet(client, sitting)


def test_what_was_brewed_otherwise_is_told_and_counts(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    brew, *_ = line_ids(journal, sitting)
    brew_line(client, brew, b_stirs="4", b_water_temp_c="86")
    said = sheet(client, sitting)
    assert "brewed otherwise: water temperature 86 °C, planned 91 °C; stirs 4, planned 2." in said
    assert said.count("brewed otherwise") == 1
    assert "1 of 4 lines done" in said


def test_it_is_left_and_taken_up_on_another_day(
    client: FlaskClient, journal: Database, make: Make, freeze: Freeze
) -> None:
    sitting, _ = a_pair(journal, make)
    brew, *_ = line_ids(journal, sitting)
    brew_line(client, brew)
    freeze(NOON + 2 * A_DAY)
    assert "Next, line 3" in sheet(client, sitting)
    today = page.text(client.get("/").text)
    assert "A sitting is under way" in today
    assert "next: taste A and B side by side" in today


def test_a_line_is_skipped_with_a_reason_and_taken_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    brew, cool, taste_both, _ = line_ids(journal, sitting)
    refused = client.post(f"/sittings/lines/{brew}/skip", data={"why": " "})
    assert refused.status_code == 422
    assert "Please fill this in." in page.text(refused.text)
    for line in (brew, cool, taste_both):
        client.post(f"/sittings/lines/{line}/skip", data={"why": "The bag was empty"})
    said = sheet(client, sitting)
    assert "Skipped: The bag was empty" in said
    assert "0 of 4 lines done, 3 skipped" in said
    assert "Next, line 4" in said
    client.post(f"/sittings/lines/{brew}/take-up")
    assert "Next, line 1" in sheet(client, sitting)
    history = page.text(client.get(f"/history/sitting/{sitting}").text)
    assert "line 1 skipped" in history
    assert "line 1 taken up again" in history


def test_a_brew_in_the_bin_is_brewed_again(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    brew, *_ = line_ids(journal, sitting)
    brew_line(client, brew)
    a, b = newest(journal, 2)
    client.post(f"/brews/{b.id}/bin")
    assert "Next, line 1" in sheet(client, sitting)
    assert client.get(f"/brews/two/new?line={brew}").location == f"/brews/new?line={brew}"
    opened = client.get(f"/brews/new?line={brew}").text
    client.post("/brews/new", data=page.filled(opened, holding="line"))
    (again,) = newest(journal, 1)
    assert (again.stirs, again.dose_g) == (2, 13.5)
    assert "Next, line 2" in sheet(client, sitting)
    client.post(f"/brews/{b.id}/restore")  # it is back, and beside the sitting
    assert "Next, line 2" in sheet(client, sitting)
    assert "Taste both" not in client.get(f"/sittings/{sitting}").text.split("line-3")[0]
    del a


def test_two_phones_that_log_one_line_keep_the_first(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    brew, *_ = line_ids(journal, sitting)
    other = page.filled(client.get(f"/brews/two/new?line={brew}").text, holding="a-line")
    brew_line(client, brew)
    first = newest(journal, 2)
    answer = client.post("/brews/two/new", data=other)
    assert answer.status_code == 303
    said = sheet(client, sitting)
    assert "This line has its brew already: what you saved is in the journal" in said
    with Session(journal.reader) as session:
        under = session.scalars(select(QuestionBrew.brew_id).order_by(QuestionBrew.brew_id)).all()
    assert under == [brew.id for brew in first]


def test_a_line_that_is_brewed_says_so_to_who_opens_it_again(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    brew, cool, *_ = line_ids(journal, sitting)
    brew_line(client, brew)
    for line in (brew, cool, 999_999):
        answer = client.get(f"/brews/two/new?line={line}")
        assert answer.status_code == 303
    assert "is brewed already" in sheet(client, sitting)


def test_the_bin_takes_a_sitting_and_gives_it_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, question = a_pair(journal, make)
    client.post(f"/sittings/{sitting}/bin")
    with Session(journal.reader) as session:
        assert planned_question_ids(session) == set()
    assert "Does a stir taste?" in page.text(client.get("/bin").text)
    assert "in the bin" in sheet(client, sitting)
    client.post(f"/sittings/{sitting}/restore")
    with Session(journal.reader) as session:
        assert planned_question_ids(session) == {question}


def test_the_list_and_the_question_lead_to_the_sheet(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    assert "No sitting yet" in page.text(client.get("/sittings/").text)
    sitting, question = a_pair(journal, make)
    assert f'href="/sittings/{sitting}"' in client.get("/sittings/").text
    assert f'href="/sittings/{sitting}"' in client.get(f"/questions/{question}").text
    client.post(f"/sittings/{sitting}/end")
    assert "Over" in page.text(client.get("/sittings/").text)
    assert f'href="/sittings/{sitting}"' not in client.get(f"/questions/{question}").text


def test_brews_logged_without_the_sheet_are_taken_for_its_line(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    line, *_ = line_ids(journal, sitting)
    assert "Logged already" not in sheet(client, sitting)
    a = make.brew(brewed_at=NOON, dose_g=13.5, water_g=215, stirs=0)
    b = make.brew(brewed_at=NOON, dose_g=13.5, water_g=215, stirs=3)
    assert "Logged already as cup A" in sheet(client, sitting)
    for wrong in ({"brew": [a.id, a.id]}, {"brew": ["", ""]}):
        assert client.post(f"/sittings/lines/{line}/brews", data=wrong).status_code == 303
        assert "Please choose a brew for each cup" in sheet(client, sitting)
    assert client.post(f"/sittings/lines/{line}/brews", data={"brew": [999999]}).status_code == 404
    client.post(f"/sittings/lines/{line}/brews", data={"brew": [a.id, b.id]})
    said = sheet(client, sitting)
    assert "1 of 4 lines done" in said
    assert "stirs 3, planned 2" in said
    assert "Logged already" not in said


def test_what_has_to_be_ready_is_ticked_by_the_journal_or_by_hand(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    html = client.get(f"/sittings/{sitting}").text
    assert "27 g of Morning Hill" in sheet(client, sitting)
    before = html.count('class="done"')
    assert before >= 2  # the bag and the brewer
    client.post(f"/sittings/{sitting}/ready", data={"ready": "kettle"})
    client.post(f"/sittings/{sitting}/ready", data={"ready": "kettle"})  # another phone
    ticked = client.get(f"/sittings/{sitting}").text
    assert ticked.count('class="done"') == before + 1
    client.post(f"/sittings/{sitting}/ready", data={"missing": "kettle"})
    assert client.get(f"/sittings/{sitting}").text.count('class="done"') == before
    assert client.post(f"/sittings/{sitting}/ready", data={"ready": " "}).status_code == 404
    assert client.post(f"/sittings/{sitting}/ready", data={"ready": "x" * 99}).status_code == 404


def test_a_sheet_asks_as_much_of_the_journal_for_ten_pairs_as_for_two(
    client: FlaskClient, journal: Database, make: Make, statements: Callable[..., Any]
) -> None:
    asked: dict[int, int] = {}
    like = make.brew(dose_g=13.5, water_g=215, stirs=0)
    for pairs in (2, 10):
        questions = [question(make, f"Does a stir taste, {number}?") for number in range(pairs)]
        lines = [line for at, one in enumerate(questions) for line in pair_lines(one, 4 * at)]
        sitting = save(journal, [pair_of(one, like) for one in questions], lines)
        ids = line_ids(journal, sitting)[::4]
        for line in ids[:-1]:
            brew_line(client, line)
        client.post(f"/sittings/lines/{ids[-1]}/skip", data={"why": "Late"})
        client.get(f"/sittings/{sitting}")
        with statements() as seen:
            assert client.get(f"/sittings/{sitting}").status_code == 200
        asked[pairs] = len(seen)
    assert asked[10] == asked[2]
