"""Sittings for tests: saved as the plan's page saves them, and run as a person would."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from app.brewing.sitting.plan import Brew, Line
from app.database import Database
from app.journal.sittings.cups import Asked, CupLike
from app.journal.sittings.saving import add_sitting
from app.models import Brew as BrewRow
from app.models import Question
from app.sensory.terms import LETTERS
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make

A, B, BY_LOT = (Brew(letter=letter, cups=()) for letter in (*LETTERS, None))
STIR = "Does a stir taste?"


def pair_of(question_id: int, like: BrewRow, *, pair: bool = True, **b: Any) -> Asked:
    """Two cups like a brew, but for what is given for B."""
    cups = {"A": CupLike(like.id), "B": CupLike(like.id, b or {"stirs": 2})}
    return Asked(question_id, cups, pair=pair)


def pair_lines(question_id: int, at: int = 0) -> list[Line]:
    """Two brews along, tasted side by side; `at` is how many lines stand before."""
    of = {"question_id": question_id}
    return [
        Line(kind="brew", lasts_s=410, brews=(A, B), **of),
        Line(kind="cool", lasts_s=295, of=at, cups=2, says="Meanwhile wash up.", **of),
        Line(kind="taste", lasts_s=290, of=at, cups=2, **of),
        Line(kind="rest", lasts_s=75, says="Rinse your mouth.", **of),
    ]


def trial_lines(question_id: int, at: int, trials: int, brews: tuple[Brew, ...]) -> list[Line]:
    """A brew and a trial, as many times as there are trials."""
    lines = []
    for number in range(1, trials + 1):
        of = at + len(lines)
        lines += [
            Line(kind="brew", lasts_s=380, brews=brews, question_id=question_id),
            Line(kind="trial", lasts_s=160, of=of, trial=number, cups=2, question_id=question_id),
            Line(kind="rest", lasts_s=95, says="Wash up.", question_id=question_id),
        ]
    return lines


def question(make: Make, text: str = STIR) -> int:
    row: Question = make.save(Question(text=text, factors=["stirs"], asked_at=NOON))
    return row.id


def save(journal: Database, asked: list[Asked], lines: list[Line], now: datetime = NOON) -> int:
    with journal.writing() as session:
        return add_sitting(session, asked, lines, now).id


def a_pair(journal: Database, make: Make, now: datetime = NOON, **b: Any) -> tuple[int, int]:
    """A sitting of one question with one pair: its number, and the question's."""
    like = make.brew(dose_g=13.5, water_g=215, steep_s=95, water_temp_c=91.0, stirs=0)
    asked = question(make)
    return save(journal, [pair_of(asked, like, **b)], pair_lines(asked), now), asked


def sheet(client: FlaskClient, sitting_id: int) -> str:
    answer = client.get(f"/sittings/{sitting_id}")
    assert answer.status_code == 200
    return page.text(answer.text).replace("\xa0", " ")


def line_ids(journal: Database, sitting_id: int) -> list[int]:
    from app.journal.sittings.reading import lines_of

    with Session(journal.reader) as session:
        return [row.id for row in lines_of(session, sitting_id)]


def brew_line(client: FlaskClient, line_id: int, **typed: Any) -> Any:
    """Log both brews of a line, as its form offers them."""
    opened = client.get(f"/brews/two/new?line={line_id}")
    assert opened.status_code == 200, opened.location
    names = {name.replace("_", "-", 1): value for name, value in typed.items()}
    return client.post("/brews/two/new", data=page.filled(opened.text, holding="a-dose_g", **names))
