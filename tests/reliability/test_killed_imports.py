"""An import killed at any moment leaves the journal as it was, and comes in whole the next time."""

from __future__ import annotations

import subprocess
import sys
from contextlib import suppress
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
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    return subprocess.Popen(words, cwd=ROOT, **quiet)


def _rows(config: Config) -> Rows:
    """All rows, but for when an import came in."""
    rows = read_rows(config.url)
    for row in rows["journal_import"]:
        row["imported_at"] = None
    return rows


def test_an_import_killed_at_ten_moments_changes_nothing(
    sqlite_config: Config, tmp_path: Path, run_folder: Path
) -> None:
    """Killed before its commit it has changed nothing; after it, it is in whole."""
    (tmp_path / "demo").mkdir()
    config = demo_in(tmp_path / "demo", run_folder, date(2026, 11, 25))
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
    before, kept = _rows(sqlite_config), journal.read_bytes()

    start = perf_counter()
    assert _import(journal, package).wait() == 0
    lasts = perf_counter() - start
    whole = _rows(sqlite_config)
    assert whole != before

    unchanged = 0
    for moment in range(MOMENTS):
        for beside in ("-wal", "-shm", ".lock"):
            journal.with_name(f"{journal.name}{beside}").unlink(missing_ok=True)
        journal.write_bytes(kept)
        process = _import(journal, package)
        with suppress(subprocess.TimeoutExpired):
            process.wait(lasts * (0.3 + 0.6 * moment / MOMENTS))
        process.kill()
        process.wait()
        rows = _rows(sqlite_config)
        assert rows in (before, whole)
        unchanged += rows == before
        assert find_damage(sqlite_config) == []
        assert [path.name for path in tmp_path.glob("*.partial")] == []
    assert unchanged >= MOMENTS // 2
    assert _import(journal, package).wait() == 0
    assert find_damage(sqlite_config) == []
