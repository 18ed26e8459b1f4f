"""From what questions ask of a sitting to the cups and trials that its plan is made from."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.plans.compare import BeanFacts, expect
from app.brewing.sitting.times import KETTLE_G, RINSE_G
from app.brewing.sitting.wanted import AtHand, CupWanted, FilterWanted, TrialsWanted, Wanted
from app.journal.estimates import known_of, learned
from app.journal.lessons import Learned, MeasuredRow, cup_of
from app.journal.recipes import revision
from app.journal.sittings.cups import Asked, CupLike, cup_values
from app.journal.timelines import timeline_of
from app.models import Bag, Bean, BlindTest, Brewer, Filter
from app.models.brews import BrewValues
from app.sensory.blind.serving import orders

HELD_G_PER_G = 2.0  # in the grounds, where no estimate says how much comes out; from memory


def wanted_of(session: Session, asked: Sequence[Asked]) -> list[Wanted]:
    """What the questions ask for, those without two cups left out. Raises LookupError where a brew
    that a cup is like, or its bag or brewer, does not exist."""
    reader = _Reader(session, learned(session), {})
    return [reader.wanted(one) for one in asked if len(one.cups) == 2]


def at_hand(session: Session, kettle_g: float = KETTLE_G) -> AtHand:
    """The brewers that are not in the bin, those that are alike together."""
    brewers: dict[int, int] = {}
    for first_id in session.scalars(select(Brewer.first_id).where(Brewer.binned_at.is_(None))):
        brewers[first_id] = brewers.get(first_id, 0) + 1
    return AtHand(brewers=brewers, kettle_g=kettle_g)


def trials_of(test: BlindTest | None, count: int) -> TrialsWanted | None:
    """Trials of a test; as long as it is not planned, of A – not A with a cup of each on the tray,
    each brewed for its trial."""
    if not count:
        return None
    if test is None:
        return TrialsWanted(count=count, served_a=1, served_b=1, brews_a=1, brews_b=1)
    every = orders(test.method, test.more or "B", tray=test.pouring == "solo")
    a, b = (min(order.count(letter) for order in every) for letter in ("A", "B"))
    by_lot = len(every[0]) - a - b
    a += bool(test.reminder)
    brewed = {"one pair": (0, 0, 0), "fresh pair each trial": (1, 1, 0)}
    brews = brewed.get(test.brewing, (a, b, by_lot))
    return TrialsWanted(
        count=count, served_a=a, served_b=b, served_by_lot=by_lot,
        brews_a=brews[0], brews_b=brews[1], brews_by_lot=brews[2],
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads cups; what was read of a pack is kept."""

    session: Session
    known: Learned
    rinsed_hot: dict[int, bool]

    def wanted(self, one: Asked) -> Wanted:
        test = self.session.get(BlindTest, one.test_id) if one.test_id else None
        return Wanted(
            question_id=one.question_id,
            a=self._cup(one.cups["A"]),
            b=self._cup(one.cups["B"]),
            pair=one.pair,
            trials=trials_of(test, one.trials),
        )

    def _cup(self, like: CupLike) -> CupWanted:
        made = cup_values(self.session, like)
        brewer = self.session.get(Brewer, made.brewer_id or 0)
        bag = self.session.get(Bag, made.bag_id or 0)
        if brewer is None or bag is None:
            raise LookupError(made.brewer_id, made.bag_id)
        row = _measured(made, brewer)
        bean = self.session.get_one(Bean, bag.bean_id)
        facts = BeanFacts(bean.robusta_pct, bean.decaf)
        found = expect(cup_of(row), facts, *known_of(row, self.known))
        of = revision(self.session, made.revision_id) if made.revision_id else None
        out, poured = found.estimate.beverage_g, made.water_g + made.bypass_g + made.ice_g
        strength, dissolved = found.estimate.strength_pct, found.estimate.extraction_pct
        return CupWanted(
            bag_id=bag.id,
            first_brewer_id=brewer.first_id,
            line=timeline_of(made, brewer.kind, of),
            dose_g=made.dose_g,
            water_g=made.water_g,
            bypass_g=made.bypass_g,
            ice_g=made.ice_g,
            rinse_g=sum(RINSE_G for one in like.filters if self._is_rinsed_hot(one)),
            beverage_g=max(1.0, out.value if out else poured - HELD_G_PER_G * made.dose_g),
            caffeine_mg=found.caffeine_mg,
            strength_pct=strength.value if strength else None,
            extraction_pct=dissolved.value if dissolved else None,
            filters=like.filters,
        )

    def _is_rinsed_hot(self, wanted: FilterWanted) -> bool:
        """As the newest filter of its pack is."""
        if wanted.pack_id not in self.rinsed_hot:
            of_pack = select(Filter.rinse).where(Filter.pack_id == wanted.pack_id)
            newest = of_pack.where(Filter.binned_at.is_(None)).order_by(Filter.number.desc())
            self.rinsed_hot[wanted.pack_id] = self.session.scalar(newest.limit(1)) == "hot"
        return self.rinsed_hot[wanted.pack_id]


def _measured(made: BrewValues, brewer: Brewer) -> MeasuredRow:
    row = asdict(made) | {"kind": brewer.kind, "first_brewer_id": brewer.first_id}
    return MeasuredRow(**{name: row[name] for name in MeasuredRow._fields})
