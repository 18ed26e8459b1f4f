"""What the page of a plan shows, worked out from what was chosen on it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session
from werkzeug.datastructures import MultiDict
from wtforms import Field

from app.brewing.sitting.palate import MOST_TRIALS
from app.brewing.sitting.times import KETTLE_G
from app.journal.sittings.brewable import OF_THE_BAG, from_bag, tidied
from app.journal.sittings.cups import Asked, cup_values
from app.journal.sittings.needs import Readiness, readiness
from app.journal.sittings.planned import read_cups
from app.journal.sittings.proposal import Proposal, propose
from app.models import Question
from app.sensory.terms import LETTERS
from app.sittings.cups import CupsInWords, in_words
from app.sittings.plan_cup import Cup, fields_of
from app.sittings.plan_forms import Chosen, KitchenForm
from app.sittings.plan_lists import bags_listed, lists_for, materials
from app.sittings.plan_words import NOT_SAID
from app.web import clock
from app.web.fields import number_or_none
from app.web.formats import formats

MOST_CHOSEN = 6


@dataclass
class PlanPage:
    """The questions chosen, what is asked of the sitting, and whether all is ready for it.

    `refused` says why there is no plan; of `same` it is not said yet what is different.
    """

    chosen: Sequence[Chosen]
    without: Sequence[Proposal]
    kitchen: KitchenForm
    asked: Sequence[Asked]
    ready: Readiness | None
    words: dict[int, CupsInWords]
    same: Sequence[Chosen]
    refused: str = ""

    @property
    def form_errors(self) -> list[str]:
        return [self.refused] if self.refused else []

    @property
    def errors(self) -> bool:
        own = any(one.errors for one in self.chosen) or bool(self.kitchen.errors)
        return bool(self.refused) or own or any(field.errors for field in self)

    def __iter__(self) -> Iterator[Field]:
        for one in self.chosen:
            yield from one
        yield from self.kitchen

    @property
    def unsaid(self) -> list[str]:
        return [NOT_SAID.format(one.of.text) for one in self.same]

    def refuse_same(self) -> None:
        """Say beside the field what is missing, now that somebody wants to save it."""
        for one in self.same:
            one.refuse_same()

    @property
    def can_be_saved(self) -> bool:
        return bool(self.ready and self.ready.plan.lines and not self.same and not self.errors)


def questions_of(session: Session, sent: MultiDict[str, str]) -> list[Question]:
    """The open questions that were chosen, in that order, and no more than a plan may hold."""
    ids = [number for text in sent.getlist("q") if (number := number_or_none(text))]
    ids = list(dict.fromkeys(ids))
    open_ones = (Question.state == "open", Question.binned_at.is_(None))
    rows = session.scalars(select(Question).where(Question.id.in_(ids[:200]), *open_ones))
    by_id = {row.id: row for row in rows}
    return [by_id[one] for one in ids if one in by_id][:MOST_CHOSEN]


def of_the_first_day(sent: MultiDict[str, str]) -> MultiDict[str, str]:
    """What was sent, with as many trials as one palate bears; a question that only had others is
    left for another day."""
    kept, left = MultiDict(sent), MOST_TRIALS
    for question_id in list(dict.fromkeys(sent.getlist("q"))):
        name, pair = f"q{question_id}-trials", f"q{question_id}-pair"
        wanted = number_or_none(sent.get(name)) or 0
        kept[name] = str(min(wanted, left))
        left -= min(wanted, left)
        if wanted and kept[name] == "0" and pair not in sent:
            kept.setlist("q", [one for one in kept.getlist("q") if one != question_id])
    return kept


def page_of(session: Session, questions: Sequence[Question], sent: MultiDict[str, str]) -> PlanPage:
    """The page as it was sent, or as it is proposed."""
    proposals = [propose(session, one, formats(), clock.now()) for one in questions]
    packs = materials(session)
    chosen = _chosen(session, [one for one in proposals if one.cups], sent)
    given = sent if "kettle_g" in sent else None
    kitchen = KitchenForm(given, data={"kettle_g": KETTLE_G})
    kitchen.bag_id.pick_from(bags_listed(session), none="those of each cup")
    sound = [one for one in chosen if one.validate()]
    bag_id = kitchen.bag_id.data if kitchen.validate() else None
    asked = [_asked(session, one, packs, bag_id) for one in sound]
    page = PlanPage(
        chosen=chosen,
        without=[one for one in proposals if not one.cups],
        kitchen=kitchen,
        asked=asked,
        ready=None,
        words=_in_words(session, asked),
        same=[one for one in sound if not one.differs(packs)],
    )
    try:
        page.ready = readiness(session, asked, kitchen.kettle_g.data or KETTLE_G)
    except ValueError as too_much:
        page.refused = formats().say(too_much)
    return page


def _chosen(
    session: Session, proposals: Sequence[Proposal], sent: MultiDict[str, str]
) -> list[Chosen]:
    cups = {
        of.question_id: {
            letter: Cup(like, cup_values(session, like)) for letter, like in of.cups.items()
        }
        for of in proposals
    }
    every = [cup for two in cups.values() for cup in two.values()]
    names = [name for of in proposals for name in fields_of(of.factors)]
    pack_ids = [one.pack_id for cup in every for one in cup.like.filters]
    lists = lists_for(session, names, [cup.made for cup in every], pack_ids)
    # No more trials are proposed than one palate bears.
    blind = {of.question_id for of in [of for of in proposals if of.tests][:MOST_TRIALS]}
    return [
        Chosen(of, cups[of.question_id], lists, sent, of.question_id in blind) for of in proposals
    ]


def _asked(session: Session, one: Chosen, packs: dict[int, str], bag_id: int | None) -> Asked:
    """What is asked for, with the beans of one bag for all cups unless the question is about it."""
    trials = one.how.trials.data or 0
    cups = {letter: one.cup(letter, packs) for letter in LETTERS}
    if bag_id and not OF_THE_BAG & set(one.of.factors):
        cups = {letter: from_bag(cup, bag_id) for letter, cup in cups.items()}
    return Asked(
        question_id=one.of.question_id,
        cups={letter: tidied(session, cup) for letter, cup in cups.items()},
        pair=bool(one.how.pair.data),
        test_id=one.how.test_id.data if trials else None,
        trials=trials,
    )


def _in_words(session: Session, asked: Sequence[Asked]) -> dict[int, CupsInWords]:
    """The cups of each question in words, by question."""
    sides, _ = read_cups(session, {one.question_id: one.cups for one in asked}, ())
    return {
        one.question_id: in_words(
            {letter: sides[one.question_id, letter] for letter in LETTERS}, formats()
        )
        for one in asked
    }
