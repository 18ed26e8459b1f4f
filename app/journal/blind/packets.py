"""Packets for A – not A: doses, filters or bottles that a helper fills and codes ahead, so that a
taster with one brewer brews one of them a morning and does not know which.

Each has a fair coin of its own, drawn when it is packed and shown to the browser that packs until
it says that all are packed. A trial then takes the oldest packet, in the order they were drawn.
"""

from collections.abc import Sequence
from datetime import datetime
from secrets import SystemRandom
from typing import NamedTuple

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from app.journal.blind import open as queries
from app.journal.blind.saving import Browser
from app.journal.rows import columns_of, rows_as
from app.models import BlindPacket, BlindTest
from app.sensory.blind.serving import Serving, draw
from app.sensory.terms import Letter

ONLY_ONE_CUP = "Packets are for A – not A only, where a trial is one coded cup."
ONLY_CODED = "Packets are for coded vessels: choose these under Change first."
ONLY_ALONE = "A fresh pair is brewed at the table, so that nothing can be packed ahead for it."
ONLY_ONE_BY_ONE = "A panel is dealt to everybody at once, so that nothing can be packed ahead."
ENDED = "This test has ended and takes no more packets."
ENOUGH = "There are {} packets that nobody has used yet: use these first."
MOST_READY = 40


class PackedCup(NamedTuple):
    """What one packet holds: for the browser that packs it, until it is covered."""

    code: str
    cup: Letter


def refused_packing(test: BlindTest) -> str | None:
    """Why nothing can be packed ahead for this test, or None if it can."""
    if test.ended or test.binned_at:
        return ENDED
    if test.method != "A-not-A":
        return ONLY_ONE_CUP
    if test.balanced:
        return ONLY_ONE_BY_ONE
    if test.brewing == "fresh pair each trial":
        return ONLY_ALONE
    return None if test.pouring == "coded" else ONLY_CODED


def ready(session: Session, test_id: int) -> Sequence[str]:
    """The codes of the packets that wait for a trial, the next one first."""
    return session.scalars(
        select(BlindPacket.code)
        .where(BlindPacket.test_id == test_id, BlindPacket.covered_at.is_not(None))
        .where(BlindPacket.trial_id.is_(None))
        .order_by(BlindPacket.id)
    ).all()


def packed_here(session: Session, test_id: int, token_hash: str) -> list[PackedCup]:
    """What to pack: the packets that this browser drew and has not covered."""
    mine = (BlindPacket.packed_by == token_hash, BlindPacket.covered_at.is_(None))
    query = select(*columns_of(PackedCup, BlindPacket)).where(BlindPacket.test_id == test_id, *mine)
    return rows_as(PackedCup, session, query.order_by(BlindPacket.id))


def pack(session: Session, test: BlindTest, by: Browser, count: int, now: datetime) -> str | None:
    """Draw so many packets for this browser to fill; returns why not, if it cannot be.

    `test` is `locked`.
    """
    if why := refused_packing(test):
        return why
    if len(ready(session, test.id)) + count > MOST_READY:
        return ENOUGH.format(len(ready(session, test.id)))
    used = [*queries.codes_used(session), *codes_of_packets(session)]
    for _ in range(count):
        served = draw(test.method, SystemRandom(), avoid=used)
        used.extend(served.codes)
        packet = BlindPacket(
            test_id=test.id, code=served.codes[0], cup=served.cups[0], packed_at=now,
            packed_by=by.token_hash, packed_from=by.address,
        )  # fmt: skip
        session.add(packet)
    session.flush()
    return None


def cover(session: Session, test_id: int, token_hash: str, now: datetime) -> None:
    """All packets of this browser are filled and coded: their keys are covered."""
    mine = (BlindPacket.packed_by == token_hash, BlindPacket.covered_at.is_(None))
    session.execute(
        update(BlindPacket).where(BlindPacket.test_id == test_id, *mine).values(covered_at=now)
    )


def next_packet(session: Session, test: BlindTest) -> BlindPacket | None:
    """The packet that the next trial takes; None where none is ready. `test` is `locked`."""
    if refused_packing(test):
        return None
    waits = (BlindPacket.covered_at.is_not(None), BlindPacket.trial_id.is_(None))
    of_test = select(BlindPacket).where(BlindPacket.test_id == test.id, *waits)
    return session.scalar(of_test.order_by(BlindPacket.id).limit(1))


def serving_of(packet: BlindPacket) -> Serving:
    """The trial that a packet makes."""
    return Serving("A-not-A", (packet.cup,), (packet.code,), int(packet.cup != "A"))


def codes_of_packets(session: Session) -> Sequence[str]:
    """Codes of the latest packets, the newest last: no cup gets one of them."""
    query = select(BlindPacket.code).order_by(BlindPacket.id.desc()).limit(queries.CODES_KEPT)
    return session.scalars(query).all()[::-1]
