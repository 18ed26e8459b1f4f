"""From what the chosen questions ask for to the plan of a sitting."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from app.brewing.sentences import Amount, Sentence
from app.brewing.sitting.amounts import amounts_of
from app.brewing.sitting.lines import lines_of
from app.brewing.sitting.order import MOST_ROUNDS, between, in_order
from app.brewing.sitting.palate import MOST_TRIALS, caffeine_of, days_for
from app.brewing.sitting.plan import SittingPlan
from app.brewing.sitting.rounds import Round, brewing_s, rounds_of
from app.brewing.sitting.times import TASTED_G
from app.brewing.sitting.wanted import AtHand, Wanted

TOO_MUCH = (
    "These are {} rounds of brewing and tasting. More than {} do not go into one sitting: choose "
    "fewer questions or fewer trials."
)
TIRES = (
    "{} trials are more than one palate bears: one or two a sitting are common practice (from "
    "memory; no published limit was found). Spread them over {} days, or share them among tasters."
)
CARRIED = (
    "No order keeps every stronger cup behind the fainter ones; a longer rest stands where one "
    "comes before."
)
UNKNOWN = "A cup without an estimate of its strength is put in order as if it were of middling one."
ONE_BY_ONE = (
    "One brewer for both: the first brew stands about {} longer. Cover it, and toss a coin for "
    "which is made first."
)
TOO_LITTLE = "A cup of {} does not fill the tastings it is planned for ({}): brew it larger."


def plan_sitting(wanted: Sequence[Wanted], at_hand: AtHand) -> SittingPlan:
    """The plan; empty for nothing wanted. Raises ValueError, with a sentence to show, for more than
    one sitting may hold."""
    rounds = rounds_of(wanted, at_hand)
    if len(rounds) > MOST_ROUNDS:
        raise ValueError(TOO_MUCH.format(len(rounds), MOST_ROUNDS))
    rounds = in_order(rounds)
    lines = lines_of(rounds)
    trials = sum(one.trials.count for one in wanted if one.trials)
    return SittingPlan(
        lines=lines,
        amounts=amounts_of(lines, at_hand.kettle_g),
        caffeine=caffeine_of(lines, wanted),
        pairs=sum(one.pair for one in wanted),
        trials=trials,
        days=days_for(trials),
        notes=tuple(_notes(wanted, rounds, trials)),
    )


def _notes(wanted: Sequence[Wanted], rounds: Sequence[Round], trials: int) -> Iterator[Sentence]:
    if trials > MOST_TRIALS:
        yield Sentence(TIRES, str(trials), str(days_for(trials)))
    pairs = list(pairwise(rounds))
    if any(between(one, then).carried for one, then in pairs):
        yield Sentence(CARRIED)
    if any(cup.strength_pct is None for one in wanted for cup in (one.a, one.b)):
        yield Sentence(UNKNOWN)
    waits_s = [
        brewing_s(one.batches[-1]) for one in rounds if len(one.batches) > 1 and len(one.brews) == 2
    ]
    if waits_s:
        yield Sentence(ONE_BY_ONE, Amount(round(max(waits_s) / 60), "min"))
    for one in wanted:
        yield from _too_little(one)


def _too_little(one: Wanted) -> Iterator[Sentence]:
    for cup, grams in ((one.a, _poured_g(one, "A")), (one.b, _poured_g(one, "B"))):
        if grams > cup.beverage_g:
            yield Sentence(TOO_LITTLE, Amount(cup.beverage_g, "g", 0), Amount(grams, "g", 0))


def _poured_g(one: Wanted, letter: str) -> float:
    """Grams that are poured out of one brew of a cup, at most."""
    trials, pours = one.trials, int(one.pair)
    if trials and trials.from_one_pair:
        each = trials.served_a if letter == "A" else trials.served_b
        pours += trials.count * (each + trials.served_by_lot)
    return TASTED_G * pours
