"""Two servers on one journal: what one has cached is given up when the other writes."""

from __future__ import annotations

from collections.abc import Iterator
from threading import Event, Thread

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select, update
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from app.database import Database, while_unchanged
from app.models import Bean
from app.trouble import trouble_of
from tests.support import page
from tests.support.caller import Caller
from tests.support.factories import Make
from tests.support.server import port_of_our_own, started

COMMITS = 100


@pytest.fixture
def config(on_either: Config) -> Config:
    return on_either


@pytest.fixture
def other(config: Config) -> Iterator[Database]:
    """The journal as another process has it open."""
    database = Database(config.url)
    yield database
    database.dispose()


@pytest.fixture
def elsewhere(config: Config, other: Database) -> FlaskClient:
    """A browser at a second server."""
    app = create_app(config)
    app.extensions["oddcup_database"] = other
    return app.test_client()


def send(client: FlaskClient, path: str, **typed: str) -> None:
    """Fill in the form of a page that holds these fields."""
    opened = client.get(path, follow_redirects=True).text
    values = page.filled(opened, holding=next(iter(typed)), **typed)
    assert client.post(path, data=values).status_code == 303


def name_of(session: Session) -> str:
    return session.scalars(select(Bean.name)).one()


def cached_name(database: Database) -> str:
    with database.read_session() as session:
        return while_unchanged(session, "name", lambda: name_of(session))


def rename(database: Database, name: str) -> None:
    with database.write_session() as session, session.begin():
        session.execute(update(Bean).values(name=name))


def test_a_bean_named_on_one_server_is_found_by_the_other(
    client: FlaskClient, elsewhere: FlaskClient, make: Make
) -> None:
    bag = make.bag(bean=make.bean(name="Quiet Hill"))
    make.brew(bag=bag)
    search = "/brews/?q=harbour"
    assert "No brew fits" in page.text(elsewhere.get(search).text)
    send(client, f"/bags/{bag.id}/edit", name="Loud Harbour")
    assert "No brew fits" not in page.text(elsewhere.get(search).text)


def test_units_chosen_on_one_server_are_written_by_the_other(
    client: FlaskClient, elsewhere: FlaskClient, make: Make
) -> None:
    shown = f"/brews/{make.brew(dose_g=14.0, water_temp_c=94.0).id}"
    assert "94 °C" in page.text(elsewhere.get(shown).text)
    send(client, "/settings/", mass_unit="oz", temp_unit="°F")
    seen = page.text(elsewhere.get(shown).text)
    assert "201.2 °F" in seen
    assert "0.494 oz" in seen


def test_a_brew_measured_on_one_server_teaches_the_other(
    client: FlaskClient, elsewhere: FlaskClient, make: Make
) -> None:
    brewer = make.brewer()
    brew = make.brew(brewer=brewer, dose_g=15.0, water_g=240.0, steep_s=240)
    gear = f"/gear/brewers/{brewer.id}"
    assert "No measured brews yet" in page.text(elsewhere.get(gear).text)
    send(client, f"/brews/{brew.id}/edit", tds_pct="1.5")
    assert "No measured brews yet" not in page.text(elsewhere.get(gear).text)


def test_a_server_in_a_process_of_its_own_follows(
    config: Config, client: FlaskClient, make: Make
) -> None:
    bag = make.bag(bean=make.bean(name="Quiet Hill"))
    make.brew(bag=bag)
    port = port_of_our_own()
    with started(config, port):
        caller = Caller(f"http://127.0.0.1:{port}")
        search = "/brews/?q=harbour"
        assert "No brew fits" in page.text(caller.get(search))
        send(client, f"/bags/{bag.id}/edit", name="Loud Harbour")
        assert "No brew fits" not in page.text(caller.get(search))


def test_both_see_a_write_of_either(journal: Database, other: Database, make: Make) -> None:
    make.bean(name="Fen")
    assert cached_name(journal) == cached_name(other) == "Fen"
    for writer, name in ((journal, "Moor"), (other, "Heath"), (journal, "Dune")):
        rename(writer, name)
        assert cached_name(journal) == cached_name(other) == name


def test_nothing_is_worked_out_again_while_nobody_writes(journal: Database) -> None:
    worked = []
    for _ in range(50):
        with journal.read_session() as session:
            while_unchanged(session, "sum", lambda: worked.append("once"))
    # A PostgreSQL server has housekeeping of its own, which may count as a write.
    assert len(worked) == 1 if journal.engine.dialect.name == "sqlite" else len(worked) < 5


def test_a_session_that_began_before_a_write_leaves_nothing_old_behind(
    journal: Database, other: Database, make: Make
) -> None:
    make.bean(name="Fen")
    with journal.read_session() as early:
        assert name_of(early) == "Fen"
        rename(other, "Moor")
        while_unchanged(early, "name", lambda: name_of(early))
        assert cached_name(journal) == "Moor"
        while_unchanged(early, "name", lambda: name_of(early))
    assert cached_name(journal) == "Moor"


def test_a_write_between_the_beginning_and_the_first_look_is_not_missed(
    journal: Database, other: Database, make: Make
) -> None:
    make.bean(name="Fen")
    with journal.read_session() as session:
        rename(other, "Moor")
        assert while_unchanged(session, "name", lambda: name_of(session)) == "Moor"
    rename(other, "Heath")
    assert cached_name(journal) == "Heath"


def test_a_session_of_unknown_state_is_given_nothing_cached(journal: Database, make: Make) -> None:
    make.bean(name="Fen")
    assert cached_name(journal) == "Fen"
    with journal.write_session() as session, session.begin():
        session.execute(update(Bean).values(name="Moor"))
        assert while_unchanged(session, "name", lambda: name_of(session)) == "Moor"


@pytest.mark.parametrize("readers", [1, 3])
def test_what_was_committed_before_a_session_is_seen_by_it(
    journal: Database, other: Database, make: Make, readers: int
) -> None:
    """One process writes without pause while the other asks for what it has cached."""
    make.bean(name="0")
    committed, done = [0], Event()
    stale: list[tuple[int, int]] = []

    def read() -> None:
        while not done.is_set():
            before = committed[0]
            seen = int(cached_name(journal))
            if seen < before:
                stale.append((before, seen))

    threads = [Thread(target=read) for _ in range(readers)]
    for thread in threads:
        thread.start()
    _write(other, committed)
    done.set()
    for thread in threads:
        thread.join()
    assert stale == []
    assert cached_name(journal) == str(COMMITS)


def _write(database: Database, committed: list[int]) -> None:
    for number in range(1, COMMITS + 1):
        rename(database, str(number))
        committed[0] = number


def test_who_writes_elsewhere_is_waited_for(config: Config, other: Database) -> None:
    """What one reads before it writes is still so as it writes, on either database."""
    here = Database(config.url)
    with here.writing() as session:
        assert session.scalars(select(Bean.name)).all() == []
        with pytest.raises(DBAPIError) as late, other.writing(patience_s=0.2):
            pytest.fail("two wrote at once")
        assert str(trouble_of(late.value)).startswith("The journal is busy")
        session.add(Bean(name="Rose"))
    with other.writing(patience_s=0.2) as session:
        assert session.scalars(select(Bean.name)).all() == ["Rose"]
    here.dispose()
