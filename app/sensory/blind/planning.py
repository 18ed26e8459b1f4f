"""Before a blind test starts: how long it takes, and how often it would succeed."""

from dataclasses import dataclass
from operator import add, sub

from app.sensory.blind.discrimination import correct_at, correct_share, trials_needed
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.lines import Lines, Way
from app.sensory.blind.methods import METHOD_FACTS, MOST_TRIALS_A_SITTING
from app.sensory.blind.power import MOST, Needed, to_call_close, to_find
from app.sensory.blind.sequential import Rule
from app.sensory.lazy import np
from app.sensory.terms import Discrimination, Method

HORIZON = 200
FIXED_NOW = "The number is fixed now: adding trials later would make the result worthless."


@dataclass(frozen=True)
class Outcomes:
    """Chances after 1, 2, ... trials of having ended each way; mean lengths.

    `shown` is a difference either way, `other_way` the part of it that is the other way round.
    `mean_trials` counts a test that is still open at the last trial with that length;
    `found_after` is the mean over the tests that show a difference.
    """

    shown: tuple[float, ...]
    other_way: tuple[float, ...]
    close: tuple[float, ...]
    undecided: tuple[float, ...]
    mean_trials: float

    @property
    def ended(self) -> tuple[float, ...]:
        """Ended without a difference shown."""
        return tuple(map(add, self.close, self.undecided))

    @property
    def found_after(self) -> float:
        """Trials at which a difference is shown, on average where it is; 0 if it never is."""
        steps = map(sub, self.shown, (0.0, *self.shown))
        total = sum(n * step for n, step in enumerate(steps, 1))
        return total / self.shown[-1] if self.shown[-1] else 0.0


@dataclass(frozen=True)
class Outlook:
    """What a rule leads to when p_d of trials are perceived: chances within `most` trials."""

    p_d: float
    shown: float
    close: float
    mean_trials: float
    found_after: float
    most: int


def outcomes(lines: Lines, p_c: float) -> Outcomes:
    """Outcomes of a test looked at after every trial when p_c of answers are right.

    Exact: passes the chance of each open count on from trial to trial.
    """
    open_at = np.zeros(lines.most + 2)
    open_at[0], length = 1.0, 0.0
    sums: dict[Way, list[float]] = {
        way: [0.0] for way in ("shown", "other way", "close enough", "undecided")
    }
    for n in range(1, lines.most + 1):
        length += float(open_at[:n].sum())
        open_at[1 : n + 1] = open_at[1 : n + 1] * (1 - p_c) + open_at[:n] * p_c
        open_at[0] *= 1 - p_c
        now = dict.fromkeys(sums, 0.0)
        for band in lines.bands:
            counts = slice(max(band.low[n - 1], 0), max(band.high[n - 1], -1) + 1)
            now[band.end] += float(open_at[counts].sum())
            open_at[counts] = 0.0
        for way, more in now.items():
            sums[way].append(sums[way][-1] + more)
    other = tuple(sums["other way"][1:])
    return Outcomes(
        shown=tuple(map(add, sums["shown"][1:], other)),
        other_way=other,
        close=tuple(sums["close enough"][1:]),
        undecided=tuple(sums["undecided"][1:]),
        mean_trials=length,
    )


def outlook(rule: Rule, p_d: float, most: int = HORIZON) -> Outlook:
    """How often and how soon the rule shows, or ends close enough, when p_d is the truth."""
    lines = rule.lines(most)
    ways = outcomes(lines, correct_share(p_d, rule.guess))
    return Outlook(
        p_d, ways.shown[-1], ways.close[-1], ways.mean_trials, ways.found_after, lines.most
    )


def promise(rule: Rule, p_d: float, most: int = HORIZON) -> str:
    """The plan in plain words, for a difference of the size that would matter."""
    real, nothing = outlook(rule, p_d, most), outlook(rule, 0.0, most)
    text = (
        f"A difference perceived in {100 * p_d:.0f} % of trials is found {_in_100(real.shown)} "
        f"within {real.most} trials, on average at trial {real.found_after:.0f} where it is found; "
        f"guessing passes for a difference {_in_100(nothing.shown)}."
    )
    if rule.p_d is not None:
        text += f" Without a difference it ends close enough {_in_100(nothing.close)}."
    return f"{text} {_counts(rule)}" if isinstance(rule, FixedNumber) else text


def _counts(rule: FixedNumber) -> str:
    """Which counts end a fixed number how."""
    other, close = rule.needed_other_way, rule.close
    low = f", or {other} or fewer," if other >= 0 else ""
    text = f"Of {rule.trials} trials {rule.needed} or more right{low} show a difference"
    if close is None:
        return f"{text}; no count of so few is close enough."
    few = f"{close[0]} to {close[1]}" if close[0] else f"{close[1]} or fewer"
    between = "" if close[1] == rule.needed - 1 else "; what lies between is undecided"
    return f"{text}, {few} are close enough{between}."


def trials_for(rule: Rule, p_d: float) -> str:
    """How many trials a fixed number takes, for either end."""
    found = to_find(rule.guess, p_d, both_ways=rule.both_ways)
    close = to_call_close(rule.guess, p_d, both_ways=rule.both_ways)
    if found is None or close is None:
        return f"For a difference this small a fixed number takes more than {MOST} trials."
    return (
        f"A fixed number of trials finds a difference of that size 80 times in 100 "
        f"{_from(found)}, and without one ends close enough 80 times in 100 {_from(close)}."
    )


def _from(needed: Needed) -> str:
    first, stable = needed
    if first == stable:
        return f"from {stable} on"
    return f"from {stable} on ({first} reach it too, but not all numbers in between)"


def _in_100(chance: float) -> str:
    if chance > 0.995:
        return "more than 99 times in 100"
    return f"{100 * chance:.0f} times in 100" if chance >= 0.015 else "at most once in 100"


def cups_needed(
    method: Discrimination, d_prime: float, alpha: float = 0.05, beta: float = 0.20
) -> int | None:
    """Cups to pour for a fixed number of trials that finds the distance d' with power 1 - beta."""
    facts = METHOD_FACTS[method]
    p_c, level = correct_at(method, d_prime), alpha / 2 if facts.both_ways else alpha
    trials = trials_needed(float(facts.guess), p_c, level, beta, most=5000)
    return None if trials is None else trials * facts.cups


def suggestion(method: Discrimination, d_prime: float = 1.0) -> str | None:
    """The method with fewer cups if an attribute can be named; None where there is none."""
    if METHOD_FACTS[method].directed:
        return None
    now, then = cups_needed(method, d_prime), cups_needed("paired", d_prime)
    if now is None or then is None or then >= now:
        return None
    return (
        "Can you name what differs, and which cup should have more of it? Then ask only that: "
        f"two cups a trial, and for a small difference (d′ = {d_prime:.2g}) about {then} cups in "
        f"all where this takes {now}."
    )


def cautions(
    method: Method,
    rule: Rule | None = None,
    *,
    solo: bool = False,
    reminder: bool = False,
    trials_a_sitting: int = 1,
) -> tuple[str, ...]:
    """What to keep in mind with this plan."""
    texts = []
    if method == "A-not-A" and not reminder:
        texts.append(
            "Without a reminder the taster has to know A from many cups before: what is compared "
            "is one cup with the memory of it, and a memory may miss what two cups would show."
        )
    if solo and method in ("triangle", "duo-trio"):
        texts.append(
            "Who pours knows how many cups are of which kind. Guessing stays what it was, but the "
            "task gets easier: trust the share of right answers first, and d′ only as a range."
        )
    if trials_a_sitting > MOST_TRIALS_A_SITTING:
        texts.append("Taste tires: one or two trials a sitting are enough.")
    if isinstance(rule, FixedNumber):
        texts.append(FIXED_NOW)
    return tuple(texts)
