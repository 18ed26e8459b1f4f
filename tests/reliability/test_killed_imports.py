"""An import killed at any moment leaves the journal as it was, and comes in whole the next time."""

from __future__ import annotations

import signal
import subprocess
import sys
from datetime import date
from pathlib import Path
from time import perf_counter

import pytest

from app.backups.checks import find_damage
from app.config import Config
from app.database import Database
from tests.exchange.conftest import out
from tests.migrations.rows import Rows, read_rows
from tests.support.demo import demo_in
from tests.support.factories import Make
from tests.support.server import ROOT

pytestmark = pytest.mark.servers

MOMENTS = 10


def _import(journal: Path, package: Path) -> subprocess.Popen[bytes]:
    words = [sys.executable, "-m", "app", "--journal", str(journal), "import", str(package)]
    return subprocess.Popen(words, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)


def _rows(config: Config) -> Rows:
    return read_rows(config.url)


def test_an_import_killed_at_ten_moments_changes_nothing(
    sqlite_config: Config, tmp_path: Path, run_folder: Path
) -> None:
    (tmp_path / "demo").mkdir()
    config = demo_in(tmp_path / "demo", run_folder, date(2026, 11, 25))
    brews = len(read_rows(config.url)["brew"])
    demo = Database(config.url)
    package = tmp_path / "package.zip"
    package.write_bytes(out(demo))
    demo.dispose()
    journal = sqlite_config.sqlite_path
    assert journal is not None
    mine = Database(sqlite_config.url)
    make = Make(mine)
    make.tasting(make.brew(filters=[make.filter()]))
    mine.dispose()
    before = _rows(sqlite_config)

    beside = tmp_path / "whole.db"
    beside.write_bytes(journal.read_bytes())
    start = perf_counter()
    assert _import(beside, package).wait() == 0
    lasts = perf_counter() - start

    killed = 0
    for moment in range(1, MOMENTS + 1):
        # Most of the time goes into starting: the later half is looked at more closely.
        share = 0.35 + 0.6 * moment / MOMENTS
        process = _import(journal, package)
        try:
            _, says = process.communicate(timeout=lasts * share)
            assert process.returncode == 0, says
            break  # it was quicker than it had been, and is in
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
            process.communicate()
            killed += 1
        assert _rows(sqlite_config) == before
        assert find_damage(sqlite_config) == []
    assert killed >= MOMENTS // 2
    assert _import(journal, package).wait() == 0
    assert len(_rows(sqlite_config)["brew"]) == len(before["brew"]) + brews
    assert find_damage(sqlite_config) == []
