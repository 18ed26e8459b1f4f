"""Pairing codes and the secrets of devices: drawn, hashed, and wrong tries counted."""

import hmac
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from hashlib import sha256
from secrets import choice, token_urlsafe
from threading import Lock
from time import monotonic

from flask import current_app, url_for

from app.config import Config

# Without 0, 1, I, L and O, which are mistaken for one another.
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
CODE_CHARS = 6
CODE_LIFE = timedelta(minutes=10)
MOST_WRONG = 10
LONGEST_SECRET = 100


@dataclass
class Tries:
    """Wrong codes since the last code was made; the tenth makes the open codes void.

    Ten guesses at 31 ** 6 codes: one chance in 88 million. Pairing holds all codes
    (shared_codes.py), so that guesses sent at the same time are all counted.
    """

    wrong: int = 0
    voided_at: datetime | None = None
    lock: Lock = field(default_factory=Lock)

    def reset(self) -> None:
        self.wrong, self.voided_at = 0, None


@dataclass
class Drawn:
    """The codes that were drawn since Oddcup was opened and have not run out, by their hashes.

    A code that has run out is forgotten here, at the latest ten minutes after it was drawn by a
    clock that cannot be set. So it does not work again if the machine's clock is put back, nor
    after Oddcup was closed.
    """

    ends: dict[str, tuple[datetime, float]] = field(default_factory=dict)

    def add(self, code_hash: str, expires_at: datetime) -> None:
        self.ends[code_hash] = (expires_at, monotonic() + CODE_LIFE.total_seconds())

    def open_at(self, now: datetime) -> set[str]:
        """Those that are open; what has run out by now is forgotten."""
        for code_hash, (expires_at, end) in list(self.ends.items()):
            if now >= expires_at or monotonic() >= end:
                self.ends.pop(code_hash, None)
        return set(self.ends)


def drawn() -> Drawn:
    known: Drawn = current_app.extensions.setdefault("oddcup_pairing_codes", Drawn())
    return known


def tries() -> Tries:
    counted: Tries = current_app.extensions.setdefault("oddcup_pairing_tries", Tries())
    return counted


def draw_code() -> str:
    return "".join(choice(LETTERS) for _ in range(CODE_CHARS))


def read_code(typed: str) -> str:
    """A code as it was drawn, however it was typed: K7Q-M2X, k7q m2x."""
    return "".join(char for char in typed.upper() if char.isalnum())


def write_code(code: str) -> str:
    return f"{code[:3]}-{code[3:]}"


def hash_code(code: str) -> str:
    """Keyed, since the plain hash of a short code could be reversed by trying all codes."""
    key = str(current_app.config["SECRET_KEY"]).encode()
    return hmac.new(key, b"pairing code " + code.encode(), sha256).hexdigest()


def pairing_addresses() -> list[str]:
    """The page that takes codes, as other devices on the network reach it; none if it is shut."""
    config: Config = current_app.config["JOURNAL"]
    hosts = current_app.config["LAN_ADDRESSES"]
    return [f"http://{host}:{config.port}{url_for('devices.pair')}" for host in hosts]


def draw_secret() -> str:
    """What a device is known by: 256 random bits."""
    return token_urlsafe(32)


def hash_secret(secret: str) -> str:
    return sha256(secret[:LONGEST_SECRET].encode()).hexdigest()
