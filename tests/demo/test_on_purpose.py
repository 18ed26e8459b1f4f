"""What the demo's household tried on purpose: an experiment brewed to its end, a sitting run to its
end; both say the same whatever day the demo is made on."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from app.database import Database
from app.experiments.found import found
from app.formats import Formats
from app.journal.asks.inbox import read_inbox
from app.journal.experiments.reading import experiment_row
from app.journal.experiments.standing import Standing, standing
from app.journal.sittings.standing import standing as sitting_standing
from app.models import Experiment, Question, Sitting, SittingTick
from seed_demo import build
from seed_demo.experiments import FACTORS
from seed_demo.questions import BOILED, METAL
from tests.demo.conftest import TODAY
from tests.support import page

NOW = datetime.combine(TODAY, time(12), UTC)


@pytest.fixture(scope="module")
def client(demo_config: Config) -> FlaskClient:
    return create_app(demo_config).test_client()


def the_experiment(session: Session) -> Standing:
    (number,) = session.scalars(select(Experiment.id))
    return standing(session, experiment_row(session, number))


def test_all_runs_of_the_experiment_are_brewed_scored_and_count(demo):
    of = the_experiment(demo)
    assert list(of.factors) == list(FACTORS)
    assert [run.state for run in of.runs] == ["counts"] * 15
    assert of.differs == {}, "nothing but what is varied was made otherwise"
    assert [run.row.place for run in of.runs if run.changed] == [8]
    assert of.day_of_last() < TODAY
    assert of.next is None


def test_it_says_what_was_found_and_what_may_be_chance(demo, client):
    read = found(the_experiment(demo), Formats())
    assert [row[-1] for row in read.table] == ["beyond chance", *["may be chance"] * 3]
    assert "From dose 13.5 g to 19.5 g the liking falls by" in read.finding.replace("\xa0", " ")
    assert read.chart is not None
    assert read.to_try is not None
    shown = page.text(client.get("/experiments/1").text)
    assert read.finding.replace("\xa0", " ") in shown
    assert "Brew it beside the middle" in shown


def test_another_day_and_seed_find_the_same(sqlite_config, demo):
    database = Database(sqlite_config.url)
    with Session(database.writer) as session, session.begin():
        build(session, date(2028, 2, 29), seed=3)
        there, here = the_experiment(session), the_experiment(demo)
        assert [cup[:2] for cup in there.tried] == [cup[:2] for cup in here.tried]
    database.dispose()


def test_every_line_of_the_sitting_is_done_and_it_is_closed(demo, client):
    (sitting,) = demo.scalars(select(Sitting))
    of = sitting_standing(demo, sitting, NOW)
    assert [line.state for line in of.lines] == ["done"] * 8
    assert {line.row.kind for line in of.lines} == {"brew", "cool", "taste", "rest"}
    assert sitting.planned_at < sitting.ended_at < NOW
    assert demo.scalar(select(func.count()).select_from(SittingTick)) >= 1
    sheet = page.text(client.get(f"/sittings/{sitting.id}").text)
    assert "2 questions, 8 of 8 lines done" in sheet
    assert "planned " not in sheet, "nothing was made otherwise than planned"


@pytest.mark.parametrize(
    ("asked", "preferred", "said"),
    [(BOILED, "B", "plain tap water a point more"), (METAL, "A", "through paper a point more")],
)
def test_its_questions_are_answered_with_what_was_found_at_it(demo, client, asked, preferred, said):
    sheet = page.text(client.get("/sittings/1").text)
    found_of = sheet.split("What it found")[1].split("Lines")[0].split(asked)[1]
    assert f"preferred Cup {preferred}" in found_of.replace("\xa0", " ")
    question = demo.scalars(select(Question).where(Question.text == asked)).one()
    assert (question.state, said in question.answer) == ("answered", True)
    strength = client.get(f"/questions/{question.id}/export.json").json["strength"]
    assert strength["level"] == "anecdote"
    assert "one pair" in question.answer or "by very little" in question.answer


def test_asks_wait_in_the_inbox_some_of_them_alike(demo):
    waiting = read_inbox(demo)
    assert max(len(one.asks) for one in waiting.together) >= 3
    assert len(waiting.together) >= 2
    assert waiting.count == 9
