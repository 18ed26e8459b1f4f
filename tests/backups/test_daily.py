"""A backup a day of its own accord, in the chosen folder or beside the journal."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from threading import Thread

import pytest

from app.backups.copying import back_up
from app.backups.daily import DailyBackups, care_for
from app.backups.folders import MARK, choose, on_the_same_disk
from app.backups.record import note, record_of
from app.backups.standing import standing
from app.cli import main
from app.config import Config
from tests.support.backups import bulky, change
from tests.support.caller import Caller
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.server import port_of_our_own, started

DAY = timedelta(days=1)
ROOT = Path(__file__).parents[2]


def daily(folder: Path) -> list[str]:
    """The days that have a daily backup."""
    days = (re.fullmatch(r"daily-.*-(\d{8})-\d{6}-\d{6}\.db", p.name) for p in folder.iterdir())
    return sorted(day[1] for day in days if day)


def eventually(holds: Callable[[], bool], within_s: float = 30) -> bool:
    until = time.monotonic() + within_s
    while not holds() and time.monotonic() < until:
        time.sleep(0.05)
    return holds()


def test_one_is_made_a_day_and_old_ones_are_thinned(config: Config, make: Make) -> None:
    make.brew()
    for number in range(20):
        for hour in (0, 3):
            care_for(config, NOON + number * DAY + timedelta(hours=hour))
    there = daily(config.home / "backups")
    assert len(there) == len(set(there))
    assert there[-7:] == [f"{NOON + number * DAY:%Y%m%d}" for number in range(13, 20)]
    assert len(there) < 12


def test_a_moved_clock_neither_stops_backups_nor_thins_the_real_ones(
    config: Config, file: Path, make: Make
) -> None:
    make.brew()
    folder = config.home / "backups"
    for number in range(5):
        care_for(config, NOON + number * DAY)
    care_for(config, NOON + 1000 * DAY)
    care_for(config, NOON - 20_000 * DAY)  # 1971
    for number in (5, 6):
        care_for(config, NOON + number * DAY)
    real = [f"{NOON + number * DAY:%Y%m%d}" for number in range(7)]
    assert set(real) <= set(daily(folder))
    now = NOON + 6 * DAY
    shown = standing(config, now)
    assert shown
    assert shown.newest_at == now.replace(microsecond=0), "not the one of the wrong clock"
    assert not shown.in_trouble


def test_by_hand_and_set_aside_stay_while_daily_ones_are_thinned(
    config: Config, make: Make
) -> None:
    make.brew()
    made = [back_up(config, now=NOON - 900 * DAY + number * DAY) for number in range(9)]
    aside = [
        back_up(config, "before-restore", now=NOON - 900 * DAY + number * DAY)
        for number in range(9)
    ]
    care_for(config, NOON)
    assert all(path and path.exists() for path in made)
    assert [bool(path and path.exists()) for path in aside] == [False] * 6 + [True] * 3


@pytest.mark.servers
def test_threads_and_processes_make_one_between_them(
    config: Config, file: Path, make: Make
) -> None:
    bulky(make, 4)
    make._journal.dispose()
    code = (
        "import sys; from pathlib import Path; from datetime import datetime, UTC\n"
        "from app.backups.daily import care_for; from app.config import Config\n"
        "home = Path(sys.argv[1])\n"
        "config = Config(url=f\"sqlite:///{home / 'journal.db'}\", home=home, secret_key='')\n"
        f"care_for(config, datetime.fromisoformat('{NOON.isoformat()}'))\n"
    )
    others = [
        subprocess.Popen([sys.executable, "-c", code, str(config.home)], cwd=ROOT) for _ in range(2)
    ]
    threads = [Thread(target=care_for, args=(config, NOON)) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [other.wait(60) for other in others] == [0, 0]
    assert len(daily(config.home / "backups")) == 1
    assert record_of(file).failure == ""


def test_the_first_page_of_a_new_day_starts_one_and_waits_for_none(
    config: Config, make: Make
) -> None:
    make.brew()
    now = [NOON]
    care = DailyBackups(config, lambda: now[0], wait_s=0.0)
    folder = config.home / "backups"
    for number in range(3):
        now[0] = NOON + number * DAY
        began = time.monotonic()
        for _ in range(50):
            care.look()
        assert time.monotonic() - began < 0.5
        assert eventually(lambda n=number: folder.exists() and len(daily(folder)) == n + 1)  # type: ignore[misc]
        assert eventually(lambda: not care._thread or not care._thread.is_alive())
    care.stop()


def test_closing_does_not_wait_for_a_copy(config: Config, make: Make) -> None:
    bulky(make, 20)
    care = DailyBackups(config, lambda: NOON, wait_s=0.0)
    care.look()
    began = time.monotonic()
    care.stop()
    assert time.monotonic() - began < 5
    assert not list((config.home / "backups").glob("*.partial")) or not care._thread


@pytest.mark.servers
def test_a_server_makes_one_of_its_own_accord(config: Config, file: Path, make: Make) -> None:
    make.brew()
    make._journal.dispose()
    port = port_of_our_own()
    with started(config, port):
        assert eventually(lambda: bool(record_of(file).newest))
        assert Path(record_of(file).newest).name.startswith("daily-")
        shown = Caller(f"http://127.0.0.1:{port}").get("/settings/backups/")
        assert "The newest backup that passed its checks is of" in shown


def test_the_chosen_folder_is_used_and_while_it_is_away_the_usual_one(
    config: Config, file: Path, make: Make
) -> None:
    make.brew()
    usual, stick = config.home / "backups", config.home / "stick"
    choose(file, str(stick))
    care_for(config, NOON)
    assert daily(stick) == [f"{NOON:%Y%m%d}"]
    stick.rename(config.home / "unplugged")
    care_for(config, NOON + DAY)
    assert daily(usual) == [f"{NOON + DAY:%Y%m%d}"]
    shown = standing(config, NOON + DAY)
    assert shown
    assert f"{stick} is not there" in shown.away
    assert shown.in_trouble
    stick.mkdir()  # the mount point that an unplugged disk leaves behind
    care_for(config, NOON + 2 * DAY)
    assert list(stick.iterdir()) == []
    assert MARK in record_of(file).away
    stick.rmdir()
    (config.home / "unplugged").rename(stick)
    care_for(config, NOON + 2 * DAY + timedelta(hours=1))
    assert daily(stick)[-1] == f"{NOON + 2 * DAY:%Y%m%d}", "on the day the disk is back"
    assert record_of(file).away == ""


def test_the_choice_outlives_a_restore(config: Config, file: Path, make: Make) -> None:
    make.brew()
    backup = back_up(config)
    choose(file, str(config.home / "stick"))
    make._journal.dispose()
    assert main(["--journal", str(file), "restore", str(backup)]) == 0
    assert record_of(file).folder == str(config.home / "stick")


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("stick", "whole path"),
        ("~nobody-of-that-name/x", "whole path"),
        ("/no/such/folder/at/all", "There is no folder"),
        ("FILE", "That is a file"),
        ("HOME/" + "x" * 300, "cannot be put there"),
    ],
)
def test_a_folder_that_cannot_be_used_is_refused_in_words(
    typed: str, why: str, config: Config, file: Path
) -> None:
    typed = typed.replace("FILE", str(file)).replace("HOME", str(config.home))
    with pytest.raises(ValueError, match=why):
        choose(file, typed)
    assert record_of(file).folder == ""


def test_a_disk_that_is_nearly_full_is_refused(
    config: Config, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usage = shutil.disk_usage(config.home)._replace(free=1000)
    monkeypatch.setattr("shutil.disk_usage", lambda _: usage)
    with pytest.raises(ValueError, match="nearly full"):
        choose(file, str(config.home / "stick"))


def test_another_disk_is_told_from_the_journals_own(config: Config, file: Path) -> None:
    assert on_the_same_disk(config.home / "backups" / "not" / "there", file)
    memory = Path("/dev/shm")  # noqa: S108
    if memory.is_dir() and memory.stat().st_dev != file.stat().st_dev:
        assert not on_the_same_disk(memory, file)


def test_the_folder_is_chosen_by_the_command_too(
    config: Config, file: Path, make: Make, capsys: pytest.CaptureFixture[str]
) -> None:
    make.brew()
    words = ["--journal", str(file), "backups"]
    assert main([*words, "--folder", str(config.home / "stick")]) == 0
    assert f"Backups go to {config.home / 'stick'}" in capsys.readouterr().out
    assert main(["--journal", str(file), "backup"]) == 0
    made = capsys.readouterr().out.strip()
    assert Path(made).parent == config.home / "stick"
    assert main([*words, "--usual-folder"]) == 0
    assert f"Backups go to {config.home / 'backups'}" in capsys.readouterr().out
    assert main([*words, "--folder", "nowhere"]) == 1
    assert "whole path" in capsys.readouterr().err


def test_old_news_is_told_after_a_week(config: Config, file: Path) -> None:
    assert standing(config, NOON) is not None
    note(file, since=NOON.isoformat())
    quiet, late = (standing(config, NOON + days * DAY) for days in (7, 7.01))
    assert quiet
    assert late
    assert (quiet.in_trouble, late.in_trouble) == (False, True)
    note(file, newest="x", newest_at=(NOON + 5 * DAY).isoformat())
    quiet, late = (standing(config, NOON + days * DAY) for days in (12, 12.01))
    assert quiet
    assert late
    assert (quiet.overdue, late.overdue) == (False, True)


def test_a_backup_that_was_deleted_counts_no_more(config: Config, file: Path, make: Make) -> None:
    make.brew()
    care_for(config, NOON)
    assert record_of(file).newest
    shutil.rmtree(config.home / "backups")
    make._journal.dispose()
    change(file, "DELETE FROM bean")
    care_for(config, NOON + DAY)
    record = record_of(file)
    assert record.failure
    assert (record.newest, record.newest_at) == ("", "")
