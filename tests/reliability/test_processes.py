"""Several processes on one PostgreSQL database behind one address: it is all one which answers."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from app.cli import main
from app.config import Config
from app.database import Database
from app.devices.network import lan_addresses
from app.serving.processes import ONE_FILE
from app.web.api.bearer import MOST_A_MINUTE
from tests.migrations.rows import read_rows
from tests.support import page
from tests.support.factories import Make
from tests.support.page import Values
from tests.support.phone import CODE
from tests.support.processes import Answer, Browser, Group, processes
from tests.support.scripts import make_token
from tests.support.server import port_of_our_own

HERE = "127.0.0.1"
pytestmark = pytest.mark.postgres


@contextmanager
def browser(group: Group, host: str = HERE) -> Iterator[Browser]:
    with closing(Browser(host, group.port)) as one:
        one.reach(group.workers(2))
        yield one


def brew_form(at: Browser, worker: int, note: str) -> Values:
    offered = page.form(at.ask(worker, "/brews/new").text, holding="entry_key")
    return offered | {"note": [note]}


@pytest.fixture
def begun(postgres_url: str) -> str:
    """A journal with a first brew, so that the form of the next one can be sent as it is shown."""
    database = Database(postgres_url)
    Make(database).brew(note="First")
    database.dispose()
    return postgres_url


def notes(url: str) -> list[str]:
    return [brew["note"] for brew in read_rows(url)["brew"]]


def test_brews_count_once_whichever_process_saves_them(begun: str, tmp_path: Path) -> None:
    port, database = port_of_our_own(), Database(begun)
    token = make_token(database)
    database.dispose()
    with processes(begun, tmp_path, port) as group, browser(group) as at:
        first, second = group.workers(2)
        # One gives the form and the other saves it; either shows it at once, kept values too.
        for turn, (gives, saves) in enumerate([(first, second), (second, first)]):
            before = [at.ask(worker, "/brews/").text for worker in (first, second)]
            assert at.ask(saves, "/brews/new", brew_form(at, gives, f"Cup {turn}")).status == 303
            assert "Brew saved" in at.ask(saves, "/brews/").text
            after = [page.text(at.ask(worker, "/brews/").text) for worker in (first, second)]
            assert after[0] == after[1] != page.text(before[0])
            assert page.text(at.ask(first, "/").text) == page.text(at.ask(second, "/").text)
        # The same form at both in the same moment.
        with ThreadPoolExecutor(2) as both:
            for turn in range(5):
                form = brew_form(at, first, f"Twice {turn}")
                sent = [both.submit(at.ask, to, "/brews/new", form) for to in (first, second)]
                assert [answer.result().status for answer in sent] == [303, 303]
        # Two forms that say different things of one brew: the second to come is asked.
        mine, yours = (
            page.form(at.ask(w, "/brews/1/edit").text, holding="seen") for w in (first, second)
        )
        assert at.ask(first, "/brews/1/edit", mine | {"note": ["Mine"]}).status == 303
        clash = at.ask(second, "/brews/1/edit", yours | {"note": ["Yours"]})
        assert clash.status == 409
        # Of the requests of a script each serves its share, so that both serve no more than one.
        served = 0
        while at.ask(first, "/api/v1/no-such-thing", token=token).status == 404:
            served += 1
            assert served <= MOST_A_MINUTE / 2
        assert served == MOST_A_MINUTE / 2
        # One is killed: the other goes on, and a new one comes.
        os.kill(first, signal.SIGKILL)
        assert at.ask(second, "/brews/new", brew_form(at, second, "After")).status == 303
        assert second in group.workers(2)
        assert first not in group.workers(2)
        with browser(group) as again:
            shown = {page.text(again.ask(worker, "/brews/").text) for worker in group.workers(2)}
        assert len(shown) == 1
        last = group.workers(2)
    assert notes(begun) == ["Mine", "Cup 0", "Cup 1", *(f"Twice {n}" for n in range(5)), "After"]
    assert group.parent.returncode == 0
    assert not any(Path(f"/proc/{worker}").exists() for worker in last)


def test_what_one_process_knows_of_phones_the_other_does(postgres_url: str, tmp_path: Path) -> None:
    try:
        address = lan_addresses()[0]
    except ValueError as none:
        pytest.skip(f"only loopback here: {none}")
    port = port_of_our_own(HERE, address)
    with (
        processes(postgres_url, tmp_path, port, "--lan", address) as group,
        browser(group) as owner,
        browser(group, address) as phone,
    ):
        first, second = group.workers(2)
        assert phone.ask(first, "/brews/").status == 403
        # A code of one process is used, once, at the other.
        code = new_code(owner, first)
        assert pair(phone, second, code).status == 303
        assert [phone.ask(worker, "/brews/").status for worker in (first, second)] == [200, 200]
        with browser(group, address) as stranger:
            assert pair(stranger, first, code).status == 422
        # Wrong codes are counted together: ten of them make the open code void.
        code = new_code(owner, second)
        with browser(group, address) as stranger:
            for turn in range(10):
                assert pair(stranger, (first, second)[turn % 2], "222-222").status == 422
            assert pair(stranger, first, code).status == 422
        # Unpaired at one, it is refused by the other at its next request.
        device = re.search(r"/devices/(\d+)/unpair", owner.ask(first, "/devices/").text)
        assert device
        form = page.form(owner.ask(first, "/devices/").text, holding="csrf_token")
        assert owner.ask(first, f"/devices/{device[1]}/unpair", form).status == 303
        assert [phone.ask(worker, "/brews/").status for worker in (second, first)] == [403, 403]
        # Who lets phones in is decided as it is started.
        assert (
            "Another program serves this journal"
            in owner.ask(second, "/devices/network/close", form).text
            or "close" not in owner.ask(first, "/devices/").text
        )


def new_code(owner: Browser, worker: int) -> str:
    offered = page.form(owner.ask(worker, "/devices/").text, holding="csrf_token")
    shown = owner.ask(worker, "/devices/codes", offered)
    found = CODE.search(page.text(shown.text))
    assert found, shown.status
    return found.group()


def pair(phone: Browser, worker: int, code: str) -> Answer:
    offered = page.filled(phone.ask(worker, "/pair").text, holding="code", name="Phone", code=code)
    return phone.ask(worker, "/pair", offered)


def test_a_file_is_served_by_one_process(
    sqlite_config: Config, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["--journal", str(sqlite_config.sqlite_path), "serve", "--processes", "2"]
    assert main(words) == 1
    assert capsys.readouterr().err == f"oddcup: {ONE_FILE}\n"
