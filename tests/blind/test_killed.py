"""A server killed between the answer and the key: the answer stands, and the key is shown once."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from app.config import Config
from app.database import Database
from tests.support.blind import next_trial, planned, pour, right_places, trial
from tests.support.page import text

# Kills its own process the first time it asks for the time after the answer is on disk.
DIES = """
import os, signal, sqlite3, sys
from datetime import UTC, datetime
from pathlib import Path
from app import create_app
from app.config import Config

journal, number, place = sys.argv[1:]

def clock():
    with sqlite3.connect(journal) as looking:
        kept = looking.execute("SELECT answered_at FROM trial WHERE id = ?", (number,)).fetchone()
    looking.close()
    if kept[0]:
        os.kill(os.getpid(), signal.SIGKILL)
    return datetime(2026, 9, 15, 12, 5, tzinfo=UTC)

app = create_app(Config(url=f"sqlite:///{journal}", home=Path(journal).parent, secret_key="s"))
app.config.update(WTF_CSRF_ENABLED=False, CLOCK=clock)
app.test_client().post(f"/blind/trials/{number}/answer", data={"place": place, "sure": "yes"})
"""


def test_killed_between_answer_and_key(
    client: FlaskClient, journal: Database, config: Config
) -> None:
    path = config.sqlite_path
    if path is None:
        pytest.skip("The dying server of this test opens a file")
    number = next_trial(client, planned(client))
    pour(client, number)
    (right,) = right_places(journal, number)
    program = [sys.executable, "-c", DIES, str(path), str(number), str(right)]
    done = subprocess.run(program, cwd=Path(__file__).parents[2], check=False, timeout=60)
    assert done.returncode == -signal.SIGKILL

    kept = trial(journal, number)
    assert (kept.answer, kept.seen_at) == (right, None)
    page = text(client.get(f"/blind/trials/{number}").text)
    assert "Your answer is kept" in page
    assert "Right answer" not in page
    client.post(f"/blind/trials/{number}/answer", data={"place": str(right % 3 + 1)})
    assert trial(journal, number).answer == right

    client.post(f"/blind/trials/{number}/reveal")
    seen_at = trial(journal, number).seen_at
    assert seen_at is not None
    assert "Right answer:" in text(client.get(f"/blind/trials/{number}").text)
    client.post(f"/blind/trials/{number}/reveal")
    assert trial(journal, number).seen_at == seen_at
