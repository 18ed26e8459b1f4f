"""What a person may type for a time, and what of it is asked for again."""

from __future__ import annotations

import re

import pytest

from app.durations import EITHER, HOW_TO, seconds_of

READ = {
    150: ("150", "2:30", "2.30", "2,30", "150 s", "150s", "150 sec", "150 seconds", "2 min 30",
          "2min30s", "2 min 30 s", "2 m 30", "2m30", "2'30", "2'30\"", "2’30", "2′30″", "2 30",
          "2.5", "2,5", "2.5 min", "2½", "2½ min", "2.30 min", "2:30 min", " 2:30 ",
          "2 min 30 sec.", "2 Min 30", "0:02:30", "149.6 s"),
    120: ("120", "2:00", "2.00", "2 min", "2m", "2 minutes", "2.0", "2'"),
    30: ("30", "0:30", ":30", ".30", "0.5", ".5", "30\"", "30 s"),
    125: ("2:05", "2:5", "2.05"),
    95: ("95", "1:35", "1.35", "95 s"),
    750: ("12:30", "12.30", "12.5 min", "12 min 30"),
    3900: ("1:05:00", "1.05.00", "1 h 5 min", "65 min", "65:00"),
    43200: ("12 h", "12 hours", "12:00:00"),
    0: ("0", "0:00"),
}  # fmt: skip
REFUSED = {
    HOW_TO: ("1:75", "2.75", "2:60", "soon", "2-3", "-30", "2:", "1e3", "2.345", "2 min 75", "min",
             "2;30", "٣", "2:30:99", "."),
    EITHER: ("12.5", "150.5", "95,5"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "seconds"), [(t, s) for s, all_ in READ.items() for t in all_])
def test_a_time_is_read_as_it_is_typed(text: str, seconds: int) -> None:
    assert seconds_of(text) == seconds


@pytest.mark.parametrize(("text", "why"), [(t, why) for why, all_ in REFUSED.items() for t in all_])
def test_what_may_mean_two_things_or_nothing_is_asked_for_again(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(why)}$"):
        seconds_of(text)
