"""The demo's file: made whole or not at all, always the same, left alone once it is there."""

from __future__ import annotations

import hashlib
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, select
from sqlalchemy.orm import Session, aliased

from app.backups.checks import find_damage
from app.config import Config
from app.database import Database
from app.models import Brew, SideBySide
from seed_demo import build, ensure_demo
from tests.demo.conftest import TODAY
from tests.support.demo import demo_in

ROOT = Path(__file__).resolve().parents[2]


def place(folder: Path) -> Config:
    return Config(url=f"sqlite:///{folder / 'demo.db'}", home=folder, secret_key="x")  # noqa: S106


def digest(config: Config) -> str:
    assert config.sqlite_path
    with closing(sqlite3.connect(config.sqlite_path)) as journal:
        return hashlib.sha256("\n".join(journal.iterdump()).encode()).hexdigest()


def test_the_same_seed_and_day_give_the_same_rows(demo_config, tmp_path):
    again = place(tmp_path)
    ensure_demo(again, TODAY)
    assert [path.name for path in tmp_path.iterdir()] == ["demo.db"]
    assert digest(again) == digest(demo_config)


@pytest.mark.parametrize("change", [{"seed": 12}, {"today": TODAY - timedelta(days=1)}])
def test_another_seed_or_day_gives_other_rows(change, demo_config, tmp_path):
    other = place(tmp_path)
    ensure_demo(other, **({"today": TODAY} | change))
    assert digest(other) != digest(demo_config)


def test_the_file_is_a_sound_journal(demo_config):
    assert find_damage(demo_config) == []


def test_a_demo_that_is_there_is_left_alone(run_folder, tmp_path):
    config = demo_in(tmp_path, run_folder, TODAY)
    with closing(sqlite3.connect(tmp_path / "demo.db")) as journal:
        journal.execute("DELETE FROM side_by_side")
        journal.commit()
    before = digest(config)
    ensure_demo(config, date(2027, 5, 1))
    assert digest(config) == before


def test_an_empty_file_is_filled(demo_config, tmp_path):
    config = place(tmp_path)
    (tmp_path / "demo.db").touch()
    ensure_demo(config, TODAY)
    assert digest(config) == digest(demo_config)


def test_what_an_older_demo_left_behind_does_no_harm(demo_config, tmp_path):
    """Somebody deletes demo.db alone while its write-ahead log stays."""
    config = place(tmp_path)
    ensure_demo(config, date(2026, 3, 1))
    with closing(sqlite3.connect(tmp_path / "demo.db")) as journal:
        journal.execute("DELETE FROM side_by_side")
        journal.commit()
        log = (tmp_path / "demo.db-wal").read_bytes()
    (tmp_path / "demo.db").unlink()
    (tmp_path / "demo.db-wal").write_bytes(log)
    ensure_demo(config, TODAY)
    assert find_damage(config) == []
    assert digest(config) == digest(demo_config)


@pytest.mark.servers
def test_killed_while_writing_leaves_no_half(tmp_path):
    """The writer dies when all rows are written and none is committed."""
    code = f"""
import os, signal
from datetime import date
from pathlib import Path
from sqlalchemy import event
from sqlalchemy.orm import Session
from tests.demo.test_file import place
from seed_demo import ensure_demo

@event.listens_for(Session, "before_commit")
def die(session):
    session.flush()
    os.kill(os.getpid(), signal.SIGKILL)

ensure_demo(place(Path({str(tmp_path)!r})), date(2026, 11, 25))
"""
    writer = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False)
    assert writer.returncode == -signal.SIGKILL
    assert list(tmp_path.glob("*.partial"))
    assert not (tmp_path / "demo.db").exists()
    ensure_demo(place(tmp_path), TODAY)
    assert find_damage(place(tmp_path)) == []


def test_a_journal_on_a_server_is_refused(tmp_path):
    config = replace(place(tmp_path), url="postgresql+psycopg:///somewhere")
    with pytest.raises(ValueError, match="file of its own"):
        ensure_demo(config, TODAY)


def test_the_database_accepts_every_row(journal):
    """On whichever database the tests run: all checks and keys hold."""
    with Session(journal.writer) as session, session.begin():
        build(session, TODAY - timedelta(days=1))
    with Session(journal.reader) as session:
        assert 500 <= session.scalar(select(func.count()).select_from(Brew)) <= 700


@pytest.mark.parametrize("month", range(1, 13))
def test_it_can_end_on_any_day(sqlite_config, month):
    database = Database(sqlite_config.url)
    end_on = date(2028, month, 1) - timedelta(days=month % 2)
    with Session(database.writer) as session, session.begin():
        build(session, end_on, seed=month)
        assert session.scalar(select(func.max(Brew.brewed_on))) == end_on
        assert 480 <= session.scalar(select(func.count()).select_from(Brew)) <= 720
        a, b = aliased(Brew), aliased(Brew)
        bags = select(a.bag_id, b.bag_id).select_from(SideBySide)
        bags = bags.join(a, a.id == SideBySide.brew_a_id).join(b, b.id == SideBySide.brew_b_id)
        pairs = session.execute(bags).all()
    database.dispose()
    assert len(pairs) >= 12
    assert all(first == second for first, second in pairs), "both cups of a pair are of one bag"
