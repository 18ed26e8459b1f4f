"""The app that tests use in turn answers each of them as an app of its own would."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from flask import Flask
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from app.formats import Formats
from app.models import Settings
from app.web.security import open_to_network
from tests.support.addresses import pages
from tests.support.apps import SharedApp, SharedDatabase
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.household import furnish

TOKEN = re.compile(r'(name="(?:csrf_token|entry_key)"[^>]*value=)"[^"]*"|content="Ij[^"]*"')


@pytest.fixture
def elsewhere(sqlite_template: Path, tmp_path: Path) -> Config:
    """Another journal, of another port and language."""
    home = tmp_path / "elsewhere"
    home.mkdir()
    shutil.copyfile(sqlite_template, home / "journal.db")
    url = f"sqlite:///{home / 'journal.db'}"
    return Config(url, home, secret_key="other", port=9000, demo=True, locale="de")  # noqa: S106


@pytest.fixture
def used(elsewhere: Config, run_folder: Path) -> tuple[SharedApp, SharedDatabase]:
    """An app and a database to which a test did everything that tests do."""
    shared, database = SharedApp(run_folder / "pages"), SharedDatabase()
    assert elsewhere.sqlite_path
    journal = database.open(elsewhere.sqlite_path)
    app = shared.open(elsewhere, journal)
    make = Make(journal)
    furnish(make, "Words of an earlier test")
    make.save(Settings(id=1, locale="de", currency="JPY", mass_unit="oz", volume_unit="US fl oz",
                       temp_unit="°F", kettle_efficiency_pct=50.0, caffeine=True,
                       caffeine_limit="pregnancy or lactation"))  # fmt: skip
    assert _said(app)
    app.config.update(WTF_CSRF_ENABLED=True, TESTING=False, ZONE="Asia/Tokyo", SPARE=1)
    open_to_network(app, ["192.0.2.7"])
    app.extensions["oddcup_demo"] = {"demo": 1}
    app.jinja_env.globals["asset"] = app.jinja_env.filters["amount"] = lambda *_: "spare"
    database.close()
    return shared, database


def _said(app: Flask) -> dict[str, str]:
    """What every page says, random parts aside."""
    with Session(app.extensions["oddcup_database"].reader) as session:
        addresses = pages(app, session)
    client = app.test_client()
    return {path: TOKEN.sub(r"\1", client.get(path).text) for path in addresses.values()}


def _formats(app: Flask) -> Formats:
    now: Formats = app.extensions["oddcup_formats"].now
    return now


def test_nothing_of_an_earlier_test_is_left(
    used: tuple[SharedApp, SharedDatabase], sqlite_config: Config
) -> None:
    path = sqlite_config.sqlite_path
    assert path
    new = create_app(sqlite_config)
    new.config.update(TESTING=True, WTF_CSRF_ENABLED=False, ZONE="UTC", CLOCK=lambda: NOON)
    furnish(Make(new.extensions["oddcup_database"]))
    journal = used[1].open(path)
    app = used[0].open(sqlite_config, journal)
    assert app.config.keys() == new.config.keys()
    assert {**app.config, "CLOCK": 0} == {**new.config, "CLOCK": 0}
    assert app.extensions.keys() == new.extensions.keys()
    assert vars(_formats(app)) == vars(_formats(new))
    said = _said(new)
    assert len(said) > 35
    assert _said(app) == said
    new.extensions["oddcup_database"].dispose()
    journal.dispose()


def test_no_test_can_add_an_address_to_it(app: Flask) -> None:
    with pytest.raises(AssertionError, match="already handled its first request"):
        app.add_url_rule("/spare", view_func=lambda: "spare")
