"""The codes that let in who pours in a blind test: one for each test, shown by its waiting trial.

A page shows its code again and again, so it is kept readable, and ends with Oddcup. Whoever draws,
uses or cancels one holds all codes (shared_codes.py).
"""

from dataclasses import dataclass, field
from datetime import datetime
from hmac import compare_digest
from typing import NamedTuple

from flask import current_app

from app.web.codes import CODE_LIFE, MOST_WRONG, draw_code, drawn, hash_code, tries


class HelperCode(NamedTuple):
    """A code as it was drawn, and when it runs out."""

    code: str
    runs_out: datetime


@dataclass
class HelperCodes:
    """The codes by their test; of a test whose code was cancelled none is drawn unasked."""

    codes: dict[int, HelperCode] = field(default_factory=dict)
    cancelled: set[int] = field(default_factory=set)

    def shown(self, test_id: int, now: datetime) -> HelperCode | None:
        """The open code of a test, drawn now if there is none. None where it was cancelled, or
        after ten wrong codes: then a new one has to be asked for."""
        known = self.open_at(now).get(test_id)
        if known or test_id in self.cancelled or tries().wrong >= MOST_WRONG:
            return known
        return self.draw(test_id, now)

    def draw(self, test_id: int, now: datetime) -> HelperCode:
        """A new code for a test; the one before lets nobody in any more."""
        new = self.codes[test_id] = HelperCode(draw_code(), now + CODE_LIFE)
        drawn().add(hash_code(new.code), new.runs_out)
        self.cancelled.discard(test_id)
        return new

    def open_at(self, now: datetime) -> dict[int, HelperCode]:
        """The codes that have not run out, by their test."""
        alive = drawn().open_at(now)
        self.codes = {t: one for t, one in self.codes.items() if hash_code(one.code) in alive}
        return self.codes

    def test_of(self, code: str, now: datetime) -> int | None:
        """The test that this code helps in, if it is open."""
        same = (t for t, one in self.open_at(now).items() if compare_digest(one.code, code))
        return next(same, None)

    def cancel(self, test_id: int) -> None:
        self.codes.pop(test_id, None)
        self.cancelled.add(test_id)

    def cancel_all(self) -> int:
        """Cancel every code; returns how many there were."""
        open_ones = list(self.codes)
        for test_id in open_ones:
            self.cancel(test_id)
        return len(open_ones)


def helper_codes() -> HelperCodes:
    known: HelperCodes = current_app.extensions.setdefault("oddcup_helper_codes", HelperCodes())
    return known
