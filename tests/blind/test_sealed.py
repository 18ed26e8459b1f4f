"""Nothing that the taster's browser can get depends on the key before the answer.

Two journals that differ in a trial's key alone are asked the same things by the taster, every
address and every form. Each pair of replies (page, headers, cookies, redirects) must be the
same to the byte, so that no wording, number, order or length can carry the key.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import pytest
from flask import Flask
from flask.sessions import SecureCookieSessionInterface
from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from app.config import Config
from app.database import Database
from app.models import BlindPacket, Device
from app.web import helper_codes
from app.web.security import open_to_network
from tests.support.addresses import pages
from tests.support.apps import OpenApp, OpenJournal
from tests.support.blind import ANSWERED, CLAIMED, CODES, SERVED, all_trials, rows
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.household import furnish
from tests.support.phone import MACHINE

KEYS = {
    "triangle": [("ABB", False), ("BAB", False), ("AAB", True)],
    "duo-trio": [("AAB", False), ("BAB", False), ("ABA", True)],
    "tetrad": [("AABB", False), ("ABBA", False), ("BABA", True)],
    "three-cup": [("ABA", False), ("AAB", False), ("BAA", True)],
    "paired": [("AB", False), ("BA", False), ("AB", True)],
    "preference": [("AB", False), ("BA", False)],
    "A-not-A": [("A", False), ("B", False)],
    "same-different": [("AA", False), ("AB", False), ("BB", False), ("BA", False)],
}
ON_A_TRAY = {"A-not-A": [("AB", False), ("BA", False)]}  # other keys than poured by somebody else
NOT_SOLO = ("tetrad", "same-different")
UNASKED = ("preference", "A-not-A", "same-different")  # how sure one is
STAGES: dict[str, dict[str, Any]] = {
    "drawn": {},
    "claimed by another": CLAIMED,
    "served": CLAIMED | SERVED,
    "void": CLAIMED | {"voided_at": NOON, "void_reason": "spilled"},
}
RANDOM = re.compile(r'(name="(?:csrf_token|entry_key)"[^>]*value=)"[^"]*"|content="Ij[^"]*"')
UNSAFE: list[tuple[str, dict[str, str]]] = [
    ("answer", {}),
    ("answer", {"place": "9", "sure": "yes"}),
    ("reveal", {}),
    ("lift", {"mark": "1"}),
    ("served", {}),
    ("void", {}),
]


class Household:
    """The app on one journal, and the taster's browser, which never claimed anything."""

    def __init__(
        self,
        app: Flask,
        journal: Database,
        key: tuple[str, bool],
        plan: dict[str, Any],
        given: dict[str, Any],
    ) -> None:
        self.app, self.journal = app, journal
        make = Make(self.journal)
        coded = plan["pouring"] == "coded" and "served_at" not in given
        self.whole = plan["method"] == "triangle" and not coded
        if self.whole:
            furnish(make)
        cups, control = key
        given = {"cups": cups, "is_control": control} | given
        directed = plan["method"] in ("paired", "three-cup")
        named = {"attribute": "body", "more": "B"} if directed else {}
        _, (self.trial, *_) = rows(make, [given], **plan | named)
        self.client: FlaskClient = self.app.test_client()

    def addresses(self) -> list[str]:
        """Every page there is for triangles; for other methods, and a tray, those that know it."""
        known = {"first": "/", "list": "/blind/", "bin": "/bin"}
        if self.whole:
            with Session(self.journal.reader) as session:
                known = pages(self.app, session)
        own = [f"/blind/{self.trial.test_id}", f"/blind/trials/{self.trial.id}"]
        parts = [f"/blind/trials/{self.trial.id}/pour", f"/blind/{self.trial.test_id}/edit"]
        parts += [f"{one}/state" for one in (own[1], f"/blind/{self.trial.test_id}/pour")]
        missing = [f"/blind/trials/{self.trial.id}/{part}" for part in ("claim", "key", "card")]
        return [*sorted(known.values()), *own, *parts, *missing, f"/blind/new?like={own[0][7:]}"]

    def tells(self, method: str, path: str, typed: dict[str, str] | None = None) -> str:
        """Everything the reply holds: status, headers, cookies and body, random parts aside."""
        reply = self.client.open(path, method=method, data=typed)
        headers = sorted(
            (name, value)
            for name, value in reply.headers.items()
            if name not in ("Set-Cookie", "Date")
        )
        folder = str(self.app.config["JOURNAL"].home)  # of this journal alone, and drawn at random
        body = RANDOM.sub(r"\1", reply.get_data(as_text=True)).replace(folder, "the folder")
        length = [pair for pair in headers if pair[0] != "Content-Length"]
        return json.dumps([reply.status_code, length, self._kept(), body])

    def _kept(self) -> dict[str, str]:
        """What the browser's cookie jar holds, the session's content read, tokens left out."""
        serializer = SecureCookieSessionInterface().get_signing_serializer(self.app)
        assert serializer is not None
        kept = {}
        for cookie in self.client._cookies.values():
            value = cookie.value
            if cookie.key == self.app.config["SESSION_COOKIE_NAME"]:
                session = dict(serializer.loads(value))
                session.pop("csrf_token", None)
                value = repr(sorted(session.items()))
            kept[cookie.key] = value
        return kept


Settle = Callable[[tuple[str, bool], dict[str, Any], dict[str, Any]], Household]


@pytest.fixture
def settle(
    open_app: OpenApp, open_journal: OpenJournal, sqlite_template: Path, tmp_path: Path
) -> Settle:
    """Another household with each call, on a journal of its own."""

    def settled(key: tuple[str, bool], plan: dict[str, Any], given: dict[str, Any]) -> Household:
        home = Path(mkdtemp(dir=tmp_path))
        shutil.copyfile(sqlite_template, home / "journal.db")
        config = Config(url=f"sqlite:///{home / 'journal.db'}", home=home, secret_key="s")  # noqa: S106
        journal = open_journal(config)
        return Household(open_app(config, journal), journal, key, plan, given)

    return settled


@pytest.fixture
def households(settle: Settle, request: pytest.FixtureRequest) -> list[Household]:
    """One journal for each key of the case's method."""
    method, plan, given = request.param
    solo = plan["pouring"] == "solo"
    keys = ON_A_TRAY.get(method, KEYS[method]) if solo else KEYS[method]
    return [settle(key, plan | {"method": method}, given) for key in keys if not (solo and key[1])]


def _cases() -> Iterator[Any]:
    for method in KEYS:
        for name, stage in STAGES.items():
            for pouring in ("helper", "coded"):
                if name == "served" or method in ("triangle", "A-not-A"):
                    yield _case(f"{pouring}, {name}", method, {"pouring": pouring}, stage)
        if method not in NOT_SOLO:
            solo, answer = {"pouring": "solo"}, ANSWERED | _sure(method)
            yield _case("solo, turned", method, solo, SERVED | {"codes": ""})
            yield _case("solo, answered", method, solo, SERVED | answer | {"codes": ""})
    for pouring in ("helper", "solo"):
        reminded = {"pouring": pouring, "reminder": True}
        codes = {"codes": ""} if pouring == "solo" else CLAIMED
        yield _case(f"{pouring}, reminded", "A-not-A", reminded, SERVED | codes)
    several = {"pouring": "helper", "several_tasters": True}
    yield _case("several, served", "triangle", several, CLAIMED | SERVED)
    panel = several | {"balanced": True, "rule": "fixed number", "fixed_trials": 6}
    yield _case("panel, answered", "triangle", panel, CLAIMED | SERVED | ANSWERED)


def _case(name: str, method: str, plan: dict[str, Any], given: dict[str, Any]) -> Any:
    return pytest.param((method, plan, given), id=f"{method}, {name}")


def _sure(method: str) -> dict[str, Any]:
    return {"sure": None} if method in UNASKED else {}


@pytest.mark.parametrize("households", list(_cases()), indirect=True)
def test_no_reply_to_the_taster_depends_on_the_key(households: list[Household]) -> None:
    first, *others = households
    addresses = first.addresses()
    assert len(addresses) > (35 if first.whole else 8)
    for path in addresses:
        told = first.tells("GET", path)
        assert len(first.trial.cups) == 1 or first.trial.cups not in told, path
        for other in others:
            assert other.tells("GET", path) == told, path
    page = f"/blind/trials/{first.trial.id}"
    for step, typed in _forms(first):
        told = first.tells("POST", f"{page}/{step}", typed)
        after = first.tells("GET", page)
        for other in others:
            assert other.tells("POST", f"{page}/{step}", typed) == told, step
            assert other.tells("GET", page) == after, step


def _forms(household: Household) -> list[tuple[str, dict[str, str]]]:
    """What the taster may send without being owed the key for it."""
    answered = household.trial.answered_at is not None
    lifts = household.trial.pouring == "solo" and answered
    return [
        (step, typed)
        for step, typed in UNSAFE
        if not (step == "lift" and lifts) and not (step == "answer" and answered)
    ]


def test_no_reply_to_the_taster_depends_on_a_packet(settle: Settle) -> None:
    """Journals with one packet of A or of B, covered or not, as the taster draws a trial of it."""
    plan = {"method": "A-not-A", "pouring": "coded"}
    for covered in (None, NOON):
        told = []
        for cup in ("A", "B"):
            household = settle(
                ("A", False), plan, CLAIMED | {"voided_at": NOON, "void_reason": "x"}
            )
            packed = {"packed_at": NOON, "packed_by": "a" * 64, "packed_from": ""}
            packet = BlindPacket(
                test_id=household.trial.test_id, code="658", cup=cup, covered_at=covered, **packed
            )
            Make(household.journal).save(packet)
            pages = [household.tells("GET", path) for path in household.addresses()]
            test = f"/blind/{household.trial.test_id}"
            pages.append(household.tells("GET", f"{test}/packets"))
            if covered:
                pages.append(household.tells("POST", f"{test}/next"))
                drawn = f"/blind/trials/{all_trials(household.journal)[-1].id}"
                assert all_trials(household.journal)[-1].cups == cup
                pages += [household.tells("GET", f"{drawn}{part}") for part in ("", "/pour")]
                pages.append(household.tells("GET", test))
            told.append(pages)
        assert told[0] == told[1]


def test_the_comparison_would_notice_a_key(settle: Settle) -> None:
    """The same two journals, asked by the browser that pours: their serving cards differ."""
    told = []
    for key in KEYS["triangle"][:2]:
        household = settle(key, {"method": "triangle", "pouring": "helper"}, {})
        household.client.post(f"/blind/trials/{household.trial.id}/claim")
        page = household.client.get(f"/blind/trials/{household.trial.id}/pour").text
        assert CODES[3].split()[0] in page
        told.append(RANDOM.sub(r"\1", page))
        assert all_trials(household.journal)[-1].poured_by
    assert told[0] != told[1]


@pytest.mark.parametrize("stage", ["drawn", "claimed by another", "served"])
def test_no_reply_to_the_taster_depends_on_the_key_while_a_helper_pours(
    settle: Settle, stage: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the journal open to phones, one let in, and a code for another (the same, not drawn)."""
    monkeypatch.setattr(helper_codes, "draw_code", lambda: "K7QM2X")
    told = []
    for key in KEYS["triangle"]:
        household = settle(key, {"method": "triangle", "pouring": "helper"}, STAGES[stage])
        open_to_network(household.app, [MACHINE])
        trial = f"/blind/trials/{household.trial.id}"
        pages = [household.tells("GET", trial)]
        assert (stage != "drawn") or "K7Q-M2X" in pages[0]
        Make(household.journal).save(
            Device(
                name="Helper", token_hash="f" * 64, paired_at=NOON, last_seen_at=NOON,
                helper_of_test_id=household.trial.test_id,
            )
        )  # fmt: skip
        pages += [household.tells("POST", f"{trial}/helper")]
        pages += [household.tells("GET", path) for path in household.addresses()]
        pages += [household.tells("POST", f"{trial}/helper/out"), household.tells("GET", trial)]
        told.append(pages)
    assert told[0] == told[1] == told[2]
