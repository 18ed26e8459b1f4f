"""The household's questions, and the evidence gathered under each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from random import Random

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.pairs.setup import LABELS
from app.models import (
    Bag,
    Base,
    BlindTest,
    Brew,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionSideBySide,
    SideBySide,
)
from seed_demo.asks import asks_of
from seed_demo.blind_tests import KETTLE, MILLS, MUG, STIR, Held, add_blind_tests, at
from seed_demo.calendar import PAIRS, Pair
from seed_demo.kitchen import Brewed
from seed_demo.stock import Stock

LATEST, BIG_BAG_G = 12, 1000.0
SAT_DAYS_AGO = 3
BOILED, METAL = "Is boiling the water worth it?", "Is metal worth the mud in the cup?"
BOILED_ANSWER = (
    "Not for the taste, as far as one pair of cups can say: Nell gave both the same, Ivo gave the "
    "one from plain tap water a point more, and both knew which was which. We go on boiling it "
    "the evening before, because the chalk then stays in the old pan and not in the kettle."
)
METAL_ANSWER = (
    "Not for us, and by very little: Ivo gave the cup through paper a point more, Nell gave both "
    "the same, and both saw which was which. It is there for when the papers have run out."
)
MILLS_ANSWER = (
    "Ivo told the two cups of one morning apart, with his eyes closed. That is one pair of cups, "
    "not the two mills: another morning's might have been alike. Which is better was not tasted "
    "blind. So the hand mill stays for the mugs, and the electric one for the cone and the pot."
)
MUG_ANSWER = (
    "Nell likes it better from a warmed mug. Whether that is the taste or only the warmth we did "
    "not ask, and Ivo has not tried. Half a cup of hot water is worth it for her, we think."
)


@dataclass(frozen=True, slots=True)
class Asked:
    """A question: pairs by a word of their note, and what else was gathered under it."""

    text: str
    days_ago: int
    factors: Sequence[str] = ()
    pairs: Sequence[str] = ()
    test: BlindTest | None = None
    brews: Sequence[Brew] = ()
    answer: str = ""
    answered_at: datetime | None = None


def add_questions(
    session: Session, stock: Stock, brewed: Sequence[Brewed], end_on: date, seed: int
) -> list[Question]:
    """Questions with their evidence, by a random generator of their own: other rows stay."""
    rng = Random(f"questions {seed} {end_on.isoformat()}")
    ground = _pair_of("electric", brewed)
    sips = [ground[1].brew.brewed_at + timedelta(minutes=15 + 5 * n) for n in range(7)]
    held = [Held(MILLS, sips, ground)]
    held += [Held(plan, plan.mornings(end_on, rng)) for plan in (MUG, STIR, KETTLE)]
    mills, mug, stir, kettle = add_blind_tests(session, held, stock.tasters, rng)
    asked = [
        Asked(
            BOILED, 297, [LABELS["water_id"]], ["rather than tap"],
            answer=BOILED_ANSWER, answered_at=sat_at(end_on, 20, 30),
        ),
        Asked(
            "Hand mill or electric: can we taste it?", 171, [LABELS["grinder_id"]], ["electric"],
            mills, answer=MILLS_ANSWER, answered_at=sips[-1] + timedelta(hours=10),
        ),
        Asked(
            METAL, 168, [LABELS["stack"]], ["Metal against paper"],
            answer=METAL_ANSWER, answered_at=sat_at(end_on, 20, 45),
        ),
        Asked("Does the stir matter?", 82, [LABELS["stirs"]], ["left alone"], stir),
        Asked(
            "Is a warmed mug better?", 48, test=mug, answer=MUG_ANSWER,
            answered_at=at(end_on - timedelta(days=25), 20, 40),
        ),
        Asked(
            "Does the water have to boil?", 20, [LABELS["water_temp_c"]],
            ["keeps water warm", "off the boil"], kettle,
        ),
        Asked(
            "Is a big bag still good at its end?", 9, [LABELS["age_days"]],
            brews=_big_bag_cups(brewed),
        ),
    ]  # fmt: skip
    questions = [_question(one, end_on) for one in asked]
    session.add_all(questions)
    session.flush()
    session.add_all(asks_of(questions, end_on))
    saved = {one.note: one.id for one in session.scalars(select(SideBySide))}
    for one, question in zip(asked, questions, strict=True):
        session.add_all(_evidence(one, question.id, saved))
    return questions


def sat_at(end_on: date, hour: int, minute: int) -> datetime:
    """That time of the day of the sitting."""
    return at(end_on - timedelta(days=SAT_DAYS_AGO), hour, minute)


def _question(asked: Asked, end_on: date) -> Question:
    return Question(
        text=asked.text,
        factors=list(asked.factors),
        asked_at=at(end_on - timedelta(days=asked.days_ago), 20, 40),
        state="answered" if asked.answer else "open",
        answer=asked.answer,
        answered_at=asked.answered_at,
    )


def _evidence(asked: Asked, question_id: int, saved: dict[str, int]) -> list[Base]:
    pairs = [saved[_pair(word).note] for word in asked.pairs]
    tests = [asked.test] if asked.test else []
    return [
        *(QuestionSideBySide(question_id=question_id, side_by_side_id=pair) for pair in pairs),
        *(
            QuestionBlindTest(question_id=question_id, test_id=one.id, tied_at=one.made_at)
            for one in tests
        ),
        *(QuestionBrew(question_id=question_id, brew_id=brew.id) for brew in asked.brews),
    ]


def _pair_of(word: str, brewed: Sequence[Brewed]) -> tuple[Brewed, Brewed]:
    """The brews of the pair whose note contains this word."""
    place = PAIRS.index(_pair(word))
    a, b = (one for one in brewed if one.plan.pair == place)
    return a, b


def _big_bag_cups(brewed: Sequence[Brewed]) -> list[Brew]:
    """The latest tasted morning cups of the big bag, empty by now, that gave most of them."""
    of_big_bags = [
        one.brew
        for one in brewed
        if one.plan.recipe == "morning"
        and one.plan.paper == "usual"
        and one.plan.tasters
        and one.plan.pair is None
        and (one.opened.bag.net_g or 0.0) >= BIG_BAG_G
        and one.opened.bag.finished_on
    ]
    by_bag: dict[Bag, list[Brew]] = {}
    for brew in of_big_bags:
        by_bag.setdefault(brew.bag, []).append(brew)
    return max(by_bag.values(), key=len)[-LATEST:]


def _pair(word: str) -> Pair:
    """The pair whose note contains this word."""
    return next(pair for pair in PAIRS if word in pair.note)
