"""Blind trials at a sitting: planned, drawn, answered from its sheet, which never knows a key."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, QuestionBlindTest, SittingQuestion, Trial, TrialBrew
from app.web.security import open_to_network
from tests.support import page
from tests.support.blind import ANSWERED, CLAIMED, SERVED, planned, pour, rows
from tests.support.clock import A_DAY, NOON
from tests.support.factories import Make
from tests.support.phone import MACHINE, Phone, blind_test, new_code, seat
from tests.support.sitting import (
    BY_LOT,
    A,
    B,
    brew_line,
    line_ids,
    pair_of,
    question,
    save,
    sheet,
    trial_lines,
)

WAYS = {"claim": "these ways of brewing", "brewing": "fresh pair each trial", "method": "paired"}


def sitting_of(
    journal: Database, make: Make, test_id: int | None, trials: int = 2, brews: Any = (A, B)
) -> tuple[int, int]:
    """A sitting of trials, each with its own brews; its number, and the question's."""
    asked = question(make)
    like = make.brew(dose_g=13.5, water_g=215, stirs=0)
    of = pair_of(asked, like, pair=False)
    of = type(of)(of.question_id, of.cups, pair=False, test_id=test_id)
    return save(journal, [of], trial_lines(asked, 0, trials, brews)), asked


def answer(client: FlaskClient, trial_id: int) -> Any:
    return client.post(f"/blind/trials/{trial_id}/answer", data={"place": "1", "sure": "yes"})


def latest(journal: Database) -> Trial:
    with Session(journal.reader) as session:
        trial = session.scalars(select(Trial).order_by(Trial.id.desc()).limit(1)).one()
    return trial


def test_a_trial_is_drawn_and_answered_from_the_sheet_and_ticked(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    test = planned(client, **WAYS, attribute="clarity", more="B")
    sitting, _ = sitting_of(journal, make, test)
    brew, trial, *_ = line_ids(journal, sitting)
    brew_line(client, brew)
    said = sheet(client, sitting)
    assert "Next, line 2 Blind trial 1" in said
    drawn = client.post(f"/blind/{test}/next")
    assert "To the trial" in sheet(client, sitting)
    assert f'href="/sittings/{sitting}">Back to the run sheet' in client.get(drawn.location).text
    number = latest(journal).id
    pour(client, number)
    assert "Next, line 2" in sheet(client, sitting)
    answer(client, number)
    said = sheet(client, sitting)
    assert "2 of 6 lines done" in said
    assert "Next, line 3 Rest" in said
    del trial


def test_the_brews_of_the_line_are_those_it_was_poured_from(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    test = planned(client, **WAYS, attribute="clarity", more="B")
    sitting, _ = sitting_of(journal, make, test)
    brew, *_ = line_ids(journal, sitting)
    brew_line(client, brew)
    client.post(f"/blind/{test}/next")
    number = latest(journal).id
    pour(client, number)
    with Session(journal.reader) as session:
        assert session.scalars(select(TrialBrew)).all() == []
    answer(client, number)
    with Session(journal.reader) as session:
        brews = session.scalars(select(Brew.id).order_by(Brew.id.desc()).limit(2)).all()
        ties = {(row.cup, row.brew_id) for row in session.scalars(select(TrialBrew))}
    assert ties == {("A", brews[1]), ("B", brews[0])}


def test_the_test_is_planned_from_the_sheet_and_is_under_the_question_before_its_first_answer(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, asked = sitting_of(journal, make, None)
    brew, trial, *_ = line_ids(journal, sitting)
    brew_line(client, brew)
    html = client.get(f"/sittings/{sitting}").text
    assert "Plan the blind test" in html
    opened = client.get(f"/blind/new?question_id={asked}&line={trial}").text
    typed = {"a_words": "no stir", "b_words": "two stirs", "p_d_pct": "40", "new_taster": "Juniper"}
    sent = page.filled(opened, holding="a_words", **typed)
    sent.pop("start", None)
    kept = client.post("/blind/new", data=sent)
    assert kept.location == f"/sittings/lines/{trial}"
    with Session(journal.reader) as session:
        (row,) = session.scalars(select(SittingQuestion))
        tied = session.get_one(QuestionBlindTest, (asked, row.test_id or 0))
        assert tied.tied_at is not None
        assert session.scalars(select(Trial)).all() == []
    assert "Draw the trial" in sheet(client, sitting)


def test_what_a_lot_decides_is_brewed_from_the_trial_and_done_when_it_is_served(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    test = planned(
        client, claim="these ways of brewing", brewing="every cup its own", method="A-not-A"
    )
    sitting, _ = sitting_of(journal, make, test, 1, (BY_LOT,))
    brew, *_ = line_ids(journal, sitting)
    said = sheet(client, sitting)
    assert "Next, line 1 Brew for the trial, as its serving card says" in said
    assert "Brew along" not in said
    assert client.get(f"/brews/new?line={brew}").location == f"/sittings/lines/{brew}"
    client.post(f"/blind/{test}/next")
    assert "Next, line 1" in sheet(client, sitting)
    pour(client, latest(journal).id)
    assert "Next, line 2 Blind trial 1" in sheet(client, sitting)


@pytest.mark.parametrize("stage", [{}, CLAIMED, CLAIMED | SERVED, CLAIMED | SERVED | ANSWERED])
def test_no_page_of_a_sitting_tells_the_key(
    client: FlaskClient, journal: Database, make: Make, stage: dict[str, Any]
) -> None:
    """The pages of journals that differ in the key alone are the same."""
    plain = {"method": "A-not-A", "brewing": "every cup its own", "claim": WAYS["claim"]}
    numbers = {}
    for cups in ("A", "B"):
        test, _ = rows(make, [stage | {"cups": cups}], title="One cup", **plain)
        numbers[cups] = sitting_of(journal, make, test.id, 1, (BY_LOT,))[0]
    seen = {}
    for cups, sitting in numbers.items():
        said = sheet(client, sitting)
        seen[cups] = said
    assert seen["A"] == seen["B"]


def test_trials_of_before_do_not_count_and_a_void_or_skipped_one_leaves_its_line(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    early = {"answered_at": NOON - A_DAY, "drawn_at": NOON - 2 * A_DAY, "served_at": NOON - A_DAY}
    void = {"voided_at": NOON, "void_reason": "Spilled"}
    test, _ = rows(
        make,
        [CLAIMED | ANSWERED | early, CLAIMED | SERVED | void, CLAIMED | SERVED | ANSWERED],
        pouring="helper",
    )
    sitting, _ = sitting_of(journal, make, test.id)
    _, first, _, _, second, _ = line_ids(journal, sitting)
    assert "2 of 6 lines done" not in sheet(client, sitting)
    assert "1 of 6 lines done" in sheet(client, sitting)
    client.post(f"/sittings/lines/{second}/skip", data={"why": "Late"})
    assert "1 of 6 lines done, 1 skipped" in sheet(client, sitting)
    client.post(f"/sittings/lines/{second}/take-up")
    client.post(f"/sittings/lines/{first}/skip", data={"why": "Late"})
    assert "Skipped: Late" in sheet(client, sitting)


def test_who_only_tastes_or_pours_sees_no_sheet(
    client: FlaskClient, app: Flask, journal: Database, make: Make
) -> None:
    open_to_network(app, [MACHINE])
    test = blind_test(make)
    guest = Phone(app)
    guest.pair(new_code(client, seat(make, test).id))
    sitting, _ = sitting_of(journal, make, test.id)
    line, *_ = line_ids(journal, sitting)
    assert guest.ask("/guest").status_code == 200
    for path in ("/sittings/", f"/sittings/{sitting}", f"/sittings/lines/{line}", "/sittings/new"):
        refused = guest.ask(path)
        assert refused.status_code == 403
        assert "Does a stir taste?" not in refused.text
    assert guest.ask(f"/sittings/lines/{line}/tick", method="POST").status_code == 403
