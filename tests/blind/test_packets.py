"""Packed ahead: a helper codes packets for many mornings, and each trial takes one."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select, text
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from app.database import Database
from app.models import BlindPacket
from tests.support.blind import PLAN, blind_test, next_trial, planned, trial
from tests.support.page import text as words

PACKABLE: dict[str, Any] = {
    "method": "A-not-A",
    "claim": "these ways of brewing",
    "brewing": "every cup its own",
    "pouring": "coded",
}


@pytest.fixture
def packer(app: Flask) -> FlaskClient:
    """The browser of the person who packs."""
    return app.test_client()


def packets(journal: Database) -> list[BlindPacket]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(BlindPacket).order_by(BlindPacket.id)))


def packed(packer: FlaskClient, test_id: int, count: int = 3, *, covered: bool = True) -> None:
    assert packer.post(f"/blind/{test_id}/packets", data={"count": count}).status_code == 303
    if covered:
        packer.post(f"/blind/{test_id}/packets/cover")


def said(client: FlaskClient, address: str) -> str:
    return words(client.get(address).text)


def test_only_the_browser_that_packs_sees_what_goes_where_and_only_until_covered(
    client: FlaskClient, packer: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **PACKABLE)
    packed(packer, test_id, covered=False)
    codes = [packet.code for packet in packets(journal)]
    assert len(set(codes)) == 3
    listed = said(packer, f"/blind/{test_id}/packets")
    for one in packets(journal):
        holds = PLAN["a_words" if one.cup == "A" else "b_words"]
        assert f"{one.code} packet: {holds} Cup {one.cup}" in listed
    elsewhere = said(client, f"/blind/{test_id}/packets")
    assert not any(code in elsewhere for code in codes)
    assert codes[0] not in said(client, f"/blind/{test_id}")  # not ready yet
    packer.post(f"/blind/{test_id}/packets/cover")
    assert codes[0] not in said(packer, f"/blind/{test_id}/packets")
    assert f"The next trial takes {codes[0]}." in said(client, f"/blind/{test_id}")


def test_each_trial_takes_the_next_packet_and_is_served_at_once(
    client: FlaskClient, packer: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **PACKABLE)
    packed(packer, test_id)
    for packet in packets(journal):
        trial_id = next_trial(client, test_id)
        row = trial(journal, trial_id)
        assert (row.cups, row.codes) == (packet.cup, packet.code)
        assert row.served_at is not None
        page = said(client, f"/blind/trials/{trial_id}")
        assert f"what is coded {packet.code}, brewed now" in page
        client.post(f"/blind/trials/{trial_id}/answer", data={"place": "1"})
        right = "Right answer" if packet.cup == "A" else "Not this time"
        assert f"{right}: It is A" in said(client, f"/blind/trials/{trial_id}")
    assert all(packet.trial_id for packet in packets(journal))
    row = trial(journal, next_trial(client, test_id))  # none left: the usual way
    assert row.served_at is None
    assert row.codes not in {packet.code for packet in packets(journal)}


def test_a_warm_up_takes_no_packet(
    client: FlaskClient, packer: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **PACKABLE)
    packed(packer, test_id)
    assert trial(journal, next_trial(client, test_id, warm_up="1")).served_at is None
    assert not any(packet.trial_id for packet in packets(journal))


def test_who_packs_and_tastes_is_told_so_beside_the_verdict(
    client: FlaskClient, packer: FlaskClient, journal: Database
) -> None:
    """One browser for both: the answer is kept, and the test says what it is worth."""
    test_id = planned(client, **PACKABLE)
    packed(client, test_id, 1)
    trial_id = next_trial(client, test_id)
    client.post(f"/blind/trials/{trial_id}/answer", data={"place": "1"})
    assert "could have read the key" in said(client, f"/blind/{test_id}")


def test_every_packet_is_a_coin_of_its_own(
    client: FlaskClient, packer: FlaskClient, journal: Database
) -> None:
    for _ in range(5):
        packed(packer, planned(client, **PACKABLE), 20)
    counts = Counter(packet.cup for packet in packets(journal))
    assert sum(counts.values()) == 100
    assert 20 < counts["A"] < 80  # beyond that once in a billion times


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({"pouring": "helper"}, "Packets are for coded vessels"),
        ({"method": "same-different"}, "where a trial is one coded cup"),
        ({"brewing": "fresh pair each trial"}, "A fresh pair is brewed at the table"),
    ],
)
def test_a_test_that_takes_no_packets_says_why(
    client: FlaskClient, packer: FlaskClient, journal: Database, typed: dict[str, str], why: str
) -> None:
    test_id = planned(client, **PACKABLE | typed)
    assert why in said(client, f"/blind/{test_id}/packets")
    packed(packer, test_id)
    assert packets(journal) == []
    assert "Pack ahead" not in said(client, f"/blind/{test_id}")


@pytest.mark.parametrize("count", ["", "0", "21", "two", "1.5"])
def test_a_number_of_packets_that_cannot_be_is_refused(
    client: FlaskClient, packer: FlaskClient, journal: Database, count: str
) -> None:
    test_id = planned(client, **PACKABLE)
    answer = packer.post(f"/blind/{test_id}/packets", data={"count": count})
    assert answer.status_code == 422
    assert packets(journal) == []


def test_packets_are_not_piled_up_without_end(
    client: FlaskClient, packer: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **PACKABLE)
    packed(packer, test_id, 20)
    packed(packer, test_id, 20)
    packed(packer, test_id, 1)
    assert len(packets(journal)) == 40


def test_what_a_packet_holds_stays(
    client: FlaskClient, packer: FlaskClient, journal: Database
) -> None:
    """Direct SQL, as a program of any kind could send it; on both databases."""
    test_id = planned(client, **PACKABLE)
    packed(packer, test_id)
    next_trial(client, test_id)
    for sql in (
        "UPDATE blind_packet SET cup = CASE cup WHEN 'A' THEN 'B' ELSE 'A' END",
        "UPDATE blind_packet SET code = '999'",
        "UPDATE blind_packet SET covered_at = NULL WHERE trial_id IS NULL",
        "UPDATE blind_packet SET trial_id = NULL WHERE trial_id IS NOT NULL",
        "DELETE FROM blind_packet",
    ):
        with (
            pytest.raises(IntegrityError, match="What a packet holds"),
            journal.writer.begin() as connection,
        ):
            connection.execute(text(sql))
    assert blind_test(journal, test_id).ended is None
