"""What has to be ready before a sitting, and whether it is, as far as the journal knows."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.sentences import Amount, Sentence
from app.brewing.sitting.plan import AmountsNeeded, BagAmount, FilterAmount, SittingPlan
from app.brewing.sitting.planning import plan_sitting
from app.brewing.sitting.times import KETTLE_G
from app.brewing.sitting.wanted import AtHand, Wanted
from app.formats import ordinal
from app.journal.bags import weighed_bags
from app.journal.on_hand import hand_of_packs
from app.journal.packs import packs_with_left
from app.journal.sittings.cups import Asked
from app.journal.sittings.filters import Nearest, nearest
from app.journal.sittings.wanted import at_hand, wanted_of
from app.models import Bag, BlindTest, Brewer, FilterPack
from app.sensory.gathered.words import counted

GRAM = "g"
NOT_WEIGHED = "how much is left is not known: weigh it"
ENDED = "it has ended: plan another"
TO_PLAN = "still to be planned"


@dataclass(frozen=True, slots=True)
class Need:
    """One thing to have ready. `key` stays the same for it; `ready` is None where only a look at
    the shelf can tell; `why` says what the journal knows of it."""

    key: str
    text: Sentence
    ready: bool | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Readiness:
    """The plan of what was asked, and what has to be ready for it."""

    plan: SittingPlan
    needs: tuple[Need, ...]

    @property
    def missing(self) -> list[Need]:
        return [need for need in self.needs if need.ready is False]


def readiness(session: Session, asked: Sequence[Asked], kettle_g: float = KETTLE_G) -> Readiness:
    """The plan and its needs. Raises ValueError with a sentence where it is too much for a sitting,
    LookupError where a brew that a cup is like does not exist."""
    wanted, hand = wanted_of(session, asked), at_hand(session, kettle_g)
    plan = plan_sitting(wanted, hand)
    takes = plan.amounts
    needs = [
        *_tests(session, asked),
        *(_bag(session, amount) for amount in takes.bags),
        *_filters(session, takes.filters),
        *_brewers(session, wanted, hand),
        *_ice(takes),
        *(_water(takes, kettle_g) if takes.brews else ()),
    ]
    return Readiness(plan, tuple(needs))


def _tests(session: Session, asked: Sequence[Asked]) -> Iterator[Need]:
    for one in asked:
        if one.trials and one.test_id is None:
            yield Need(f"test of {one.question_id}", Sentence("A blind test"), False, TO_PLAN)
        elif one.trials:
            test = session.get(BlindTest, one.test_id)
            over = test is None or test.ended is not None or test.binned_at is not None
            title = test.title if test else ""
            text = Sentence("The blind test “{}”", title)
            yield Need(f"test:{one.test_id}", text, not over, ENDED if over else "")


def _bag(session: Session, amount: BagAmount) -> Need:
    (bag,) = weighed_bags(session, [amount.bag_id])
    name = ", ".join(filter(None, (bag.bean_name, bag.roaster)))
    most = Amount(amount.most_g, GRAM)
    if amount.most_g - amount.least_g > 0.05:
        least = Amount(amount.least_g, GRAM, bare=True)
        text = Sentence("{} to {} of {}", least, most, name)
    else:
        text = Sentence("{} of {}", most, name)
    row = session.get_one(Bag, amount.bag_id)
    if row.finished_on is not None or row.binned_at is not None:
        gone = "in the bin" if row.binned_at is not None else "finished"
        return Need(f"bag:{bag.id}", text, False, f"this bag is {gone}: choose another")
    if bag.left_g is None:
        return Need(f"bag:{bag.id}", text, None, NOT_WEIGHED)
    enough = bag.left_g >= amount.most_g - 1e-6
    left = Amount(max(0.0, bag.left_g), GRAM, 0)
    why = Sentence("{} left" if enough else "only {} left", left)
    return Need(f"bag:{bag.id}", text, enough, why)


def _filters(session: Session, amounts: Sequence[FilterAmount]) -> Iterator[Need]:
    pack_ids = {one.wanted.pack_id for one in amounts}
    if not pack_ids:
        return
    packs = {
        pack.id: pack
        for pack in session.scalars(select(FilterPack).where(FilterPack.id.in_(pack_ids)))
    }
    # One of metal or cloth goes from brew to brew.
    needed = [
        one
        if packs[one.wanted.pack_id].material == "paper" or one.wanted.use
        else replace(one, count=one.at_a_time)
        for one in amounts
    ]
    left = {row.id: row.left for row in packs_with_left(session)}
    found = nearest(needed, hand_of_packs(session, pack_ids), left)
    for one in needed:
        wanted = one.wanted
        text = _filter(packs[wanted.pack_id].name, wanted.use, one.count)
        ready, why = _why(found[wanted])
        yield Need(f"filter:{wanted.pack_id}:{wanted.use or 0}", text, ready, why)


def _filter(name: str, use: int | None, count: int) -> Sentence:
    times = f"{count} × " if count > 1 else ""
    if use is None:
        return Sentence("{}{}", times, name)
    return Sentence("{}{}, {}", times, name, "fresh" if use == 1 else f"{ordinal(use)} use")


def _why(nearest: Sequence[Nearest]) -> tuple[bool, str]:
    """Whether all are at their use, and what the nearest still need."""
    if any(one.brews is None for one in nearest):
        return False, "none is left that can get there: take a new pack, or another use"
    named = [one for one in nearest if not one.is_fresh]
    waits = Counter(one for one in nearest if one.brews)
    if waits:
        return False, "; ".join(_still(one, count) for one, count in waits.items())
    return True, ", ".join(one.name for one in named)


def _still(one: Nearest, count: int) -> str:
    brews = counted(one.brews or 0, "more brew")
    if count > 1:
        return f"{count} fresh ones need {brews} each"
    return f"{one.name} is nearest and needs {brews}"


def _brewers(session: Session, wanted: Sequence[Wanted], hand: AtHand) -> Iterator[Need]:
    for first_id in dict.fromkeys(cup.first_brewer_id for one in wanted for cup in (one.a, one.b)):
        name = session.get_one(Brewer, first_id).name
        count = hand.brewers.get(first_id, 0)
        why = "in the bin" if not count else f"{count} alike" if count > 1 else "one of it"
        yield Need(f"brewer:{first_id}", Sentence("{}", name), count > 0, why)


def _ice(takes: AmountsNeeded) -> Iterator[Need]:
    if takes.ice_g:
        yield Need("ice", Sentence("{} of ice", Amount(takes.ice_g, GRAM, 0)))


def _water(takes: AmountsNeeded, kettle_g: float) -> Iterator[Need]:
    fulls = counted(takes.kettle_fulls, "kettle")
    hot, full = Amount(takes.kettle_g, "ml", 0), Amount(kettle_g, "ml", 0)
    yield Need("kettle", Sentence("{} of water to heat: {} of {}", hot, fulls, full))
    mouth = Amount(takes.mouth_g, "ml", 0)
    yield Need("mouth", Sentence("{} of water and plain crackers for the mouth", mouth))
    alike = " that look alike" if takes.cups > 1 else ""
    cups = f"{counted(takes.cups, 'small cup')}{alike}"
    codes = f", {counted(takes.codes, 'code')} for them in all" if takes.codes else ""
    yield Need("cups", Sentence("{}{}", cups, codes), None, "with a spoon or a cup to spit into")
