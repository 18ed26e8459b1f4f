"""Recipes for tests: the form as a browser sends it, and what it left in the journal."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from app.database import Database
from app.models import RecipeRevision
from tests.support import page

POURS = [
    {"kind": "bloom", "starts_s": 0, "lasts_s": 30, "grams": 40.0},
    {"kind": "pour", "starts_s": 30, "grams": 180.0, "note": "in circles"},
]


def send(client: FlaskClient, address: str, to: str = "", **typed: Any) -> Any:
    """Open the form at `address`, type over some fields, save."""
    opened = client.get(address)
    assert opened.status_code == 200
    values = page.filled(opened.text, holding="dose_g", **typed)
    return client.post(to or address, data=values)


def steps(*rows: dict[str, str]) -> dict[str, str]:
    """Fields of step rows as the form names them."""
    return {f"steps-{n}-{name}": value for n, row in enumerate(rows) for name, value in row.items()}


def revisions(journal: Database) -> list[RecipeRevision]:
    query = select(RecipeRevision).options(selectinload(RecipeRevision.steps))
    with Session(journal.reader) as session:
        return list(session.scalars(query.order_by(RecipeRevision.recipe_id, "number")))


def kinds(said: RecipeRevision) -> list[str]:
    return [step.kind for step in said.steps]


def text(client: FlaskClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return page.text(answer.text)
