"""Rounds: brews that are made for one tasting or several of the same cups."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product, zip_longest

from app.brewing.sitting.plan import Brew
from app.brewing.sitting.times import COOL_S, SET_UP_S, WASH_UP_S, span_s
from app.brewing.sitting.wanted import AtHand, CupWanted, Letter, TrialsWanted, Wanted

AT_ONE_TIME = 2  # two hands
# Mean bitterness (0 to 100) was 32, 38, 44 at 1.00, 1.25, 1.50 % of strength, and 35, 40, 40 at 16,
# 20, 24 % of extraction: Frost, Ristenpart, Guinard 2020, J. Food Sci., doi
# 10.1111/1750-3841.15326. That the two add up, and go on beyond, is our own assumption.
MIDDLE = 38.0
A_PCT_OF_STRENGTH = 24.0
A_PCT_OF_EXTRACTION = 1.25


@dataclass(frozen=True, slots=True)
class Round:
    """`batches` are made one after another, each of one brew or two at a time; then the cups are
    tasted side by side if `pair`, then in the `trials` (numbers of today) of a blind test."""

    question_id: int
    batches: tuple[tuple[Brew, ...], ...]
    pair: bool
    trials: tuple[int, ...] = ()
    cups_a_trial: int = 0

    @property
    def brews(self) -> tuple[Brew, ...]:
        return tuple(brew for batch in self.batches for brew in batch)

    @property
    def faintest(self) -> int:
        return min(_bitterness(cup) for brew in self.brews for cup in brew.cups)

    @property
    def strongest(self) -> int:
        return max(_bitterness(cup) for brew in self.brews for cup in brew.cups)

    def of_letter(self, letter: Letter) -> int:
        """The bitterness to expect of its cup A or B."""
        return next(_bitterness(brew.cups[0]) for brew in self.brews if brew.letter == letter)

    @property
    def cool_s(self) -> int:
        """What is iced is tasted at once."""
        hot = any(not cup.ice_g for brew in self.brews for cup in brew.cups)
        return COOL_S if hot else 0

    @property
    def tastings(self) -> int:
        return self.pair + len(self.trials)


def _bitterness(cup: CupWanted) -> int:
    """In hundredths; the middle where nothing is known of a cup."""
    points = MIDDLE
    if cup.strength_pct is not None:
        points += A_PCT_OF_STRENGTH * (cup.strength_pct - 1.25)
    if cup.extraction_pct is not None:
        points -= A_PCT_OF_EXTRACTION * max(0.0, 20.0 - cup.extraction_pct)
    return round(100 * points)


def rounds_of(wanted: Sequence[Wanted], at_hand: AtHand) -> list[Round]:
    """What the questions ask for, as rounds, those of one question in their order.

    Trials of two cups are poured from the same brews as the side by side. A trial of ways of
    brewing has brews of its own: who tasted them side by side would know them by their luck.
    """
    return [one for of in wanted for one in _rounds(of, at_hand)]


def _rounds(of: Wanted, at_hand: AtHand) -> Iterator[Round]:
    trials = of.trials
    numbers = tuple(range(1, trials.count + 1)) if trials else ()
    poured = numbers if trials and trials.from_one_pair else ()
    if of.pair or poured:
        both = (Brew(letter="A", cups=(of.a,)), Brew(letter="B", cups=(of.b,)))
        cups = trials.cups if trials and poured else 0
        yield Round(of.question_id, _batches(both, at_hand), of.pair, poured, cups)
    if trials and not poured:
        batches = _batches(_brews(of, trials), at_hand)
        for number in numbers:
            yield Round(of.question_id, batches, False, (number,), trials.cups)


def _brews(of: Wanted, trials: TrialsWanted) -> list[Brew]:
    """A and B in turn, so that the two are made along, then what a lot decides."""
    a = [Brew(letter="A", cups=(of.a,))] * trials.brews_a
    b = [Brew(letter="B", cups=(of.b,))] * trials.brews_b
    in_turn = [brew for two in zip_longest(a, b) for brew in two if brew]
    return [*in_turn, *[Brew(letter=None, cups=(of.a, of.b))] * trials.brews_by_lot]


def _batches(brews: Sequence[Brew], at_hand: AtHand) -> tuple[tuple[Brew, ...], ...]:
    batches: list[tuple[Brew, ...]] = []
    for brew in brews:
        more = (*batches[-1], brew) if batches else ()
        if more and _go_along(more, at_hand):
            batches[-1] = more
        else:
            batches.append((brew,))
    return tuple(batches)


def _go_along(brews: Sequence[Brew], at_hand: AtHand) -> bool:
    """Whether there is a brewer for each, whatever a lot decides."""
    if len(brews) > AT_ONE_TIME:
        return False
    return all(
        count <= at_hand.brewers.get(brewer_id, 1)
        for cups in product(*(brew.cups for brew in brews))
        for brewer_id, count in Counter(cup.first_brewer_id for cup in cups).items()
    )


def brewing_s(batch: Sequence[Brew]) -> int:
    """From the first water to the end of the last brew; the longest that a lot may make it."""
    return max(
        span_s(*(cup.line for cup in cups)) for cups in product(*(brew.cups for brew in batch))
    )


def batch_s(one: Round) -> list[int]:
    """How long each batch takes; from the second on with washing up and setting up before it."""
    sizes = [len(batch) for batch in one.batches]
    between = [a * WASH_UP_S + b * SET_UP_S for a, b in pairwise(sizes)]
    return [
        before + brewing_s(batch) for before, batch in zip([0, *between], one.batches, strict=True)
    ]
