"""The script on the reference page logs what a scale says, on a real server with a real line."""

from __future__ import annotations

import os
import subprocess
import sys
import termios
import time
import tty
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

from app.api.token_views import EXAMPLE
from app.config import Config
from app.database import Database
from tests.migrations.rows import read_rows
from tests.support.factories import Make
from tests.support.scripts import make_token
from tests.support.server import served

READINGS = (0.0, 3.1, 9.8, 14.6, *[14.7] * 6, 0.0, 0.0, 48.2, 130.5, 207.9, *[214.8] * 6)


def _weigh(line: int) -> None:
    """What a scale writes: a word as it wakes, then weights."""
    os.write(line, b"ready\r\n")
    for grams in READINGS:
        os.write(line, f" {grams:.1f} g\r\n".encode())
        time.sleep(0.01)


@pytest.fixture
def line() -> Iterator[tuple[int, str]]:
    """A serial line: the scale's end, and the path of the other one, set as the page says."""
    scale, port = os.openpty()
    tty.setraw(port, termios.TCSANOW)
    yield scale, os.ttyname(port)
    os.close(scale)
    os.close(port)


@pytest.mark.servers
def test_the_example_logs_the_brew_that_the_scale_weighed(
    app: Flask, journal: Database, config: Config, make: Make, line: tuple[int, str], tmp_path: Path
) -> None:
    code = EXAMPLE.read_text(encoding="utf-8")
    assert len(code.splitlines()) <= 12
    script = tmp_path / "scale.py"
    script.write_text(code, encoding="utf-8")
    bag_id, brewer_id = make.bag().id, make.brewer().id
    with served(app) as address:
        running = subprocess.Popen(
            [sys.executable, "-I", script, address, line[1], str(bag_id), str(brewer_id)],
            env={"ODDCUP_TOKEN": make_token(journal, "may_log_brews")},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        _weigh(line[0])
        said, _ = running.communicate(timeout=60)
    assert (running.returncode, said.strip()) == (0, "/api/v1/brews/1"), said
    (brew,) = read_rows(config.url)["brew"]
    assert (brew["dose_g"], brew["water_g"], brew["bag_id"]) == (14.7, 214.8, bag_id)
