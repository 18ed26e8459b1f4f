"""A backup that did not pass its checks never gets a name, and replaces none that did."""

from __future__ import annotations

import os
import random
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path
from threading import Barrier, Thread

import pytest

from app.backups.checks import check_file, find_damage
from app.backups.copying import back_up
from app.backups.daily import care_for
from app.backups.record import record_of
from app.cli import main
from app.config import Config
from app.schema import bring_up_to_date
from tests.migrations.snapshot import PAST, load
from tests.support.backups import brews_in, bulky, change
from tests.support.clock import NOON
from tests.support.factories import Make

KILLS = int(os.environ.get("ODDCUP_TEST_KILLS", "3"))
ROOT = Path(__file__).parents[2]


def named(config: Config) -> list[Path]:
    return sorted(config.home.glob("backups/*.db"))


def scribble(file: Path) -> None:
    """Some pages in the middle are noise, as after a fault of the disk."""
    whole = file.read_bytes()
    middle = len(whole) // 2 // 4096 * 4096
    file.write_bytes(whole[:middle] + os.urandom(8192) + whole[middle + 8192 :])


def cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def lose_a_row(file: Path) -> None:
    change(file, "DELETE FROM bean")


def break_a_bound(file: Path) -> None:
    change(file, "PRAGMA ignore_check_constraints = ON", "UPDATE brew SET dose_g = -3")


def break_an_index(file: Path) -> None:
    """An index that says other than its table: only the thorough check compares them."""
    with closing(sqlite3.connect(file)) as journal:
        journal.execute("PRAGMA writable_schema = ON")
        journal.execute(
            "UPDATE sqlite_master SET sql = replace(sql, 'brewed_at, id', 'bag_id, id') "
            "WHERE name LIKE 'ix_brew%' AND sql LIKE '%brewed_at, id%'"
        )
        assert journal.execute("SELECT changes()").fetchone() != (0,)
        journal.commit()


@pytest.mark.parametrize(
    "damage", [scribble, cut, lose_a_row, break_a_bound, break_an_index], ids=lambda d: d.__name__
)
@pytest.mark.parametrize("how", ["by hand", "daily"])
def test_a_damaged_journal_makes_no_backup_and_says_so(
    damage: object, how: str, config: Config, file: Path, make: Make,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """C6: a backup of a damaged journal was called one, and could not be restored."""
    bulky(make, 2)
    for _ in range(30):
        make.brew(filters=[make.filter()])
    make._journal.dispose()
    good = back_up(config)
    assert callable(damage)
    damage(file)
    if how == "by hand":
        assert main(["--journal", str(file), "backup"]) == 1
        assert f"{file} was not backed up" in capsys.readouterr().err
    else:
        care_for(config, NOON)
    assert "was not backed up" in record_of(file).failure
    assert named(config) == [good]
    assert not list(config.home.glob("backups/*partial*"))
    assert good
    assert check_file(good)[0].findings == ()


def test_rows_that_contradict_each_other_are_kept_apart_and_do_not_count(
    config: Config, file: Path, make: Make
) -> None:
    """Without its triggers the journal is whole: to keep no copy at all would be worse."""
    make.brew()
    make._journal.dispose()
    change(file, "DROP TRIGGER trial_kept")
    care_for(config, NOON)
    (kept,) = named(config)
    assert kept.name.startswith("doubtful-")
    assert brews_in(kept) == 1
    record = record_of(file)
    assert (record.newest, record.newest_at) == ("", "")
    assert "did not pass every check: The trigger trial_kept is missing" in record.failure
    assert str(kept) in record.failure


def test_a_backup_holds_the_rows_of_one_moment(config: Config, make: Make) -> None:
    """Its counts are set against those read in the same transaction, while others write."""
    bulky(make, 6)
    stop = Barrier(2)
    saved = []

    def write() -> None:
        while stop.n_waiting == 0:
            saved.append(make.brew(filters=[make.filter()]).id)
        stop.wait()

    thread = Thread(target=write)
    thread.start()
    try:
        for _ in range(5):
            before = len(saved)
            made = back_up(config)
            assert made
            assert before <= brews_in(made) - 6 <= len(saved) + 1
            assert [each.findings for each in check_file(made) if each.findings] == []
    finally:
        stop.wait()
        thread.join()


def test_a_copy_that_lacks_a_row_gets_no_name(
    config: Config, make: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    make.brew()
    from app.backups import copying

    sound = copying.copy_online

    def forgetful(source: Path, partial: Path, stopped: object) -> dict[str, int]:
        counts = sound(source, partial, lambda: False)
        change(partial, "DELETE FROM brew")
        return counts

    monkeypatch.setattr(copying, "copy_online", forgetful)
    with pytest.raises(ValueError, match="brew has 1 rows in the journal and 0 in the copy"):
        back_up(config)
    assert named(config) == []


@pytest.mark.servers
def test_an_old_journal_is_copied_whole_before_it_is_brought_up_to_date(tmp_path: Path) -> None:
    """Checks of the newest tables are left out where the tables are older."""
    load(PAST / "0001.sql", tmp_path / "journal.db")
    config = Config(url=f"sqlite:///{tmp_path / 'journal.db'}", home=tmp_path, secret_key="")
    kept = bring_up_to_date(config)
    assert kept
    assert kept.name.startswith("before-")
    assert [each.findings for each in check_file(kept) if each.findings] == []
    assert "once the tables are up to date" in check_file(kept)[-1].line
    assert find_damage(config) == []


def test_a_damaged_old_journal_is_not_brought_up_to_date(tmp_path: Path) -> None:
    load(PAST / "0001.sql", tmp_path / "journal.db")
    config = Config(url=f"sqlite:///{tmp_path / 'journal.db'}", home=tmp_path, secret_key="")
    change(tmp_path / "journal.db", "DELETE FROM bean")
    before = (tmp_path / "journal.db").read_bytes()
    with pytest.raises(ValueError, match="was not backed up"):
        bring_up_to_date(config)
    assert (tmp_path / "journal.db").read_bytes() == before


ENDLESS = """
import sys
from pathlib import Path
from app.backups.copying import back_up
from app.config import Config
home = Path(sys.argv[1])
config = Config(url=f"sqlite:///{home / 'journal.db'}", home=home, secret_key="")
while True:
    print(back_up(config), flush=True)
"""


@pytest.mark.servers
def test_killed_backups_leave_no_half_file_with_a_name(
    config: Config, file: Path, make: Make
) -> None:
    bulky(make)
    make._journal.dispose()
    moments = random.Random(8473)
    told: list[str] = []
    for _ in range(KILLS):
        with subprocess.Popen(
            [sys.executable, "-c", ENDLESS, str(config.home)],
            cwd=ROOT, stdout=subprocess.PIPE, text=True,
        ) as maker:  # fmt: skip
            assert maker.stdout
            told.append(maker.stdout.readline().strip())
            time.sleep(moments.uniform(0, 0.5))
            maker.kill()
            told += maker.stdout.read().split()
        for backup in named(config):
            assert [each.findings for each in check_file(backup) if each.findings] == []
            assert brews_in(backup) == 12
    there = {str(path) for path in named(config)}
    assert {line for line in told if line} <= there, "each one that was named is there"
    assert find_damage(config) == []
    assert brews_in(file) == 12


def test_what_a_killed_backup_left_goes_a_day_later(config: Config, make: Make) -> None:
    make.brew()
    folder = config.home / "backups"
    folder.mkdir()
    name = "daily-journal-abc123-20260101-000000-000000.db.partial"
    old, young = folder / name, folder / name.replace("20260101", "20260102")
    foreign = folder / "holiday.db.partial"
    for path in (old, young, foreign):
        path.write_bytes(b"half")
    for path in (old, foreign):
        os.utime(path, (time.time() - 2 * 86400,) * 2)
    care_for(config, NOON)
    assert [path.exists() for path in (old, young, foreign)] == [False, True, True]


def test_a_folder_that_cannot_be_written_is_named_as_the_reason(
    file: Path, make: Make, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """C19: the journal was said to be unreadable, when it was the target."""
    make.brew()
    blocked = tmp_path / "blocked"
    blocked.write_text("a file, no folder")
    assert main(["--journal", str(file), "backup", str(blocked / "x" / "a.db")]) == 1
    told = capsys.readouterr().err
    assert str(blocked) in told
    assert "could not be read" not in told


LIMITED = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (1_000_000, 1_000_000))
from app.cli import main
sys.exit(main(["--journal", sys.argv[1], "backup"]))
"""


@pytest.mark.servers
def test_a_backup_that_does_not_fit_is_said_and_leaves_nothing(
    config: Config, file: Path, make: Make
) -> None:
    bulky(make)
    make._journal.dispose()
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(file)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1, done.stderr
    assert "is full" in done.stderr
    assert "Traceback" not in done.stderr
    assert list((config.home / "backups").glob("*.db*")) == [
        config.home / "backups" / "journal.db.json"
    ]
    assert find_damage(config) == []


def test_two_journals_in_one_folder_leave_each_others_backups_alone(
    config: Config, make: Make
) -> None:
    make.brew()
    other = Config(url=f"sqlite:///{config.home / 'office.db'}", home=config.home, secret_key="")
    assert other.sqlite_path
    made = back_up(config)
    assert made
    other.sqlite_path.write_bytes(made.read_bytes())
    for config_ in (config, other):
        care_for(config_, NOON)
    daily = [path.name for path in named(config) if path.name.startswith("daily-")]
    assert [name.split("-")[1] for name in daily] == ["journal", "office"]
