"""Two processes behind one address know the same codes, and count wrong ones together."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from flask import Flask

from app.config import Config
from app.database import Database
from app.web import shared_codes
from app.web.codes import drawn, tries
from app.web.helper_codes import helper_codes
from tests.support.apps import OpenApp
from tests.support.clock import NOON

IN_A_WHILE = NOON + timedelta(minutes=5)
TOO_LATE = NOON + timedelta(minutes=11)


@pytest.fixture
def two(
    config: Config, journal: Database, open_app: OpenApp, tmp_path: Path
) -> tuple[Flask, Flask]:
    both = open_app(config, journal), open_app(config, journal)
    for app in both:
        app.config[shared_codes.FILE] = tmp_path / "codes"
    return both


def drawn_at(app: Flask, test_id: int, now: datetime = NOON) -> str:
    with app.app_context(), shared_codes.held():
        return helper_codes().draw(test_id, now).code


def shown_at(app: Flask, test_id: int, now: datetime = NOON) -> str | None:
    """As a waiting trial's page shows it, which draws one where there is none."""
    with app.app_context(), shared_codes.held():
        shown = helper_codes().shown(test_id, now)
        return shown.code if shown else None


def known_at(app: Flask, now: datetime = NOON) -> int:
    """How many codes are open, after a page was asked for."""
    with app.app_context():
        shared_codes.look(now)
        return len(drawn().ends)


def test_both_show_one_code(two: tuple[Flask, Flask]) -> None:
    here, there = two
    code = shown_at(here, 1)
    assert shown_at(there, 1) == code == shown_at(here, 1, IN_A_WHILE)
    assert [known_at(app) for app in two] == [1, 1]
    new = drawn_at(there, 1)
    with here.app_context(), shared_codes.held():
        assert helper_codes().test_of(new, NOON) == 1
        assert helper_codes().test_of(code or "", NOON) is None


def test_what_one_cancels_the_other_does_not_draw_again(two: tuple[Flask, Flask]) -> None:
    here, there = two
    drawn_at(here, 1)
    with there.app_context(), shared_codes.held():
        helper_codes().cancel(1)
    assert shown_at(here, 1) is None


def test_wrong_codes_are_counted_together(two: tuple[Flask, Flask]) -> None:
    for turn in range(10):
        with two[turn % 2].app_context(), shared_codes.held():
            tries().wrong += 1
    for app in two:
        with app.app_context(), shared_codes.held():
            assert tries().wrong == 10
    with two[0].app_context(), shared_codes.held():
        tries().reset()
    with two[1].app_context(), shared_codes.held():
        assert tries().wrong == 0


def test_what_ran_out_at_one_is_open_at_neither(two: tuple[Flask, Flask]) -> None:
    """Also where the machine's clock is put back after that."""
    here, there = two
    code = drawn_at(here, 1)
    assert known_at(there) == 1
    assert known_at(here, TOO_LATE) == 0
    for app in two:
        assert known_at(app) == 0
        with app.app_context(), shared_codes.held():
            assert helper_codes().test_of(code, NOON) is None


def test_a_file_cut_off_by_a_kill_opens_nothing(two: tuple[Flask, Flask]) -> None:
    here, there = two
    drawn_at(here, 1)
    file = here.config[shared_codes.FILE]
    file.write_bytes(file.read_bytes()[:20])
    assert known_at(there) == 0
    assert shown_at(there, 2) == shown_at(here, 2)


def test_only_this_account_reads_the_file(two: tuple[Flask, Flask]) -> None:
    drawn_at(two[0], 1)
    assert two[0].config[shared_codes.FILE].stat().st_mode & 0o077 == 0


def test_no_page_waits_while_another_process_lets_a_phone_in(two: tuple[Flask, Flask]) -> None:
    here, there = two
    drawn_at(here, 1)
    with here.app_context(), shared_codes.held():
        assert known_at(there) == 0  # it knows of the code with its next page
    assert known_at(there) == 1
