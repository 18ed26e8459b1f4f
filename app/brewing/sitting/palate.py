"""What a sitting does to whoever tastes: trials for one palate, and caffeine. No medical advice."""

from collections.abc import Iterable, Sequence
from math import ceil

from app.brewing import caffeine
from app.brewing.ranged import Ranged
from app.brewing.sentences import Amount, Sentence
from app.brewing.sitting.plan import Caffeine, Line
from app.brewing.sitting.times import TASTED_G
from app.brewing.sitting.wanted import CupWanted, Wanted

# One or two trials a sitting is common practice, from memory: no published limit was found.
MOST_TRIALS = 2
SPIT = "Spit out what you taste, or share it, and do not drink up what is left over."
A_DAY = "for most healthy adults"
EXPECTING = "while pregnant or nursing"


def days_for(trials: int) -> int:
    """Over how many days trials are spread for one palate; a sitting without any takes one."""
    return max(1, ceil(trials / MOST_TRIALS))


def caffeine_of(lines: Sequence[Line], wanted: Iterable[Wanted]) -> Caffeine:
    """Of the cups that are served, and of all that is brewed."""
    by_id = {one.question_id: one for one in wanted}
    brewed = caffeine.together([_either(brew.cups) for line in lines for brew in line.brews])
    served = [
        part
        for line in lines
        if line.kind in ("taste", "trial")
        for part in _served(line, by_id[line.question_id])
    ]
    tasted = caffeine.together(served)
    return Caffeine(tasted_mg=tasted, brewed_mg=brewed, cautions=_cautions(tasted, brewed))


def _served(line: Line, of: Wanted) -> list[Ranged]:
    a, b = (_portion(cup) for cup in (of.a, of.b))
    trials = of.trials
    if line.kind == "taste" or trials is None:
        return [a, b]
    either = Ranged((a.value + b.value) / 2, min(a.low, b.low), max(a.high, b.high))
    return [
        *[a] * trials.served_a, *[b] * trials.served_b, *[either] * trials.served_by_lot
    ]  # fmt: skip


def _portion(cup: CupWanted) -> Ranged:
    return cup.caffeine_mg.times(min(1.0, TASTED_G / cup.beverage_g))


def _either(cups: Sequence[CupWanted]) -> Ranged:
    mg = [cup.caffeine_mg for cup in cups]
    return Ranged(
        sum(one.value for one in mg) / len(mg),
        min(one.low for one in mg),
        max(one.high for one in mg),
    )


def _cautions(tasted: Ranged, brewed: Ranged) -> tuple[str, ...]:
    """Against the limits of EFSA 2015, at a time and a day."""
    said: list[str] = []
    for what, mg in (("what is served", tasted), ("all that is brewed", brewed)):
        for limit, when in (
            (caffeine.DAY_LIMIT_MG, f"a day {A_DAY}"),
            (caffeine.SINGLE_LIMIT_MG, f"at a time {A_DAY}, and a day {EXPECTING}"),
        ):
            if mg.high > limit:
                verb = "is above" if mg.low > limit else "may be above"
                words = f"Swallowing {what} {verb} the {{}} {when} of EFSA 2015."
                said.append(Sentence(words, Amount(limit, "mg")))
                break
    return (*said, SPIT, caffeine.NOT_ADVICE)
