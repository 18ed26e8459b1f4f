"""What friends and readers asked the household, in their own words; some waits in the inbox."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.models import Ask, Question
from seed_demo.blind_tests import at

CLASS, LETTERS, MARKET = "the library evening", "letters", "the stall on the square"


@dataclass(frozen=True, slots=True)
class Heard:
    """Somebody asked this; `of` is a word of the question it was put under, "" for the inbox."""

    text: str
    days_ago: int
    source: str
    of: str = ""


HEARD = (
    Heard("Do I have to heat the cup beforehand?", 61, LETTERS, "warmed mug"),
    Heard("warm mugs, is that more than a habit", 44, CLASS, "warmed mug"),
    Heard("Why do you pour hot water in the mug and throw it away?", 31, MARKET, "warmed mug"),
    Heard("Is it better from a warm cup?", 12, LETTERS, "warmed mug"),
    Heard("Boiling or just off the boil?", 19, CLASS, "have to boil"),
    Heard("what temperture do you take", 16, LETTERS, "have to boil"),
    Heard("Does cooler water make it less bitter?", 11, CLASS, "have to boil"),
    Heard("I never stir. Should I?", 70, LETTERS, "stir"),
    Heard("stirring, yes or no?", 40, CLASS, "stir"),
    Heard("Does a metal filter make it muddy?", 130, MARKET, "metal"),
    Heard("Is an old hand mill good enough?", 150, LETTERS, "Hand mill"),
    Heard("Are big bags stale before they are empty?", 8, CLASS, "big bag"),
    Heard("Two papers or one?", 7, CLASS),
    Heard("does a second paper make it cleaner", 6, LETTERS),
    Heard("I stack two filters, can you taste that?", 4, LETTERS),
    Heard("one filter or two filters?", 3, MARKET),
    Heard("How often can a paper be used again?", 7, CLASS),
    Heard("is a used paper worse than a fresh one", 5, LETTERS),
    Heard("can I rinse the paper and reuse it", 2, LETTERS),
    Heard("Stir it or leave it?", 3, MARKET),
    Heard("May I bring my own beans to the next evening?", 2, LETTERS),
)


def asks_of(questions: Sequence[Question], end_on: date) -> list[Ask]:
    """Each question was asked by the household itself, and then by others."""
    own = [
        Ask(
            text=one.text, asked_on=one.asked_at.date(), noted_at=one.asked_at, question_id=one.id
        )
        for one in questions
    ]  # fmt: skip
    return own + [_ask(heard, questions, end_on) for heard in HEARD]


def _ask(heard: Heard, questions: Sequence[Question], end_on: date) -> Ask:
    day = end_on - timedelta(days=heard.days_ago)
    under = [one.id for one in questions if heard.of and heard.of in one.text]
    return Ask(
        text=heard.text,
        asked_on=day,
        source=heard.source,
        noted_at=at(day, 20, 50),
        question_id=under[0] if heard.of else None,
    )
