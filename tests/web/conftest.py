"""For tests that walk over every page."""

from __future__ import annotations

import pytest
from flask import Flask
from sqlalchemy.orm import Session

from app.database import Database
from tests.support.addresses import pages
from tests.support.factories import Make
from tests.support.hostile import MARKUP
from tests.support.household import furnish


@pytest.fixture
def full(app: Flask, make: Make, journal: Database) -> dict[str, str]:
    """Every page's address, on a journal whose every text is markup."""
    furnish(make, MARKUP)
    with Session(journal.reader) as session:
        return pages(app, session)
