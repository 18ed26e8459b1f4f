"""What a preference says, and whose it is, in words that a guest understands; and its sums."""

from dataclasses import dataclass
from math import comb

from app.sensory.blind.evalue import SHOWN_AT
from app.sensory.blind.methods import SCOPES
from app.sensory.blind.preference import Own, Preference
from app.sensory.blind.preference_rule import Fixed
from app.sensory.blind.record import PANELS, Panel, rough
from app.sensory.terms import Claim, State

MOST_NAMED = 6
NEITHER = "Neither is shown to be preferred, nor that they are liked the same."
PARTED = "Not all lean the same way: {} for {}."


@dataclass(frozen=True)
class Said:
    """The sentence, what it does not say, cautions about whose it is, and the sums."""

    sentence: str
    not_said: str
    cautions: tuple[str, ...]
    sums: tuple[str, ...]


def said(read: Preference, fixed: Fixed | None, state: State, claim: Claim, panel: Panel) -> Said:
    """A preference under its rule, in words. Of several people it is said what each one did."""
    if read.a + read.b == 0:
        return Said("No preference given yet: nothing is known.", NEITHER, (), ())
    sentence = f"{lead(read, panel)} {_enough(read, state, panel)}"
    if panel == "several trials each":
        sentence += f" Each alone: {_alone(read)}."
    not_said = f"{NEITHER} {PANELS[panel]}"
    if state == "shown":
        not_said = f"It says nothing about how much better, or why. {SCOPES[claim]} {PANELS[panel]}"
    parted = _parted(read) if panel == "several trials each" and state == "shown" else ()
    return Said(sentence, not_said, parted, _sums(read, fixed))


def lead(read: Preference, panel: Panel) -> str:
    """What was preferred how often, and what a coin gives."""
    coin = f"a coin gives each about {(read.a + read.b) / 2:.0f}"
    if panel == "one trial each":
        tied = f", {read.ties} neither" if read.ties else ""
        tasters = "1 taster" if read.a == 1 else f"{read.a} tasters"
        return f"{tasters} preferred A, {read.b} B{tied}; {coin}."
    tied = f", and neither {_times(read.ties)}" if read.ties else ""
    who = (read.each[0].taster or "You") if panel == "one taster" else "These tasters"
    return f"{who} preferred A {_times(read.a)}, B {_times(read.b)}{tied}; {coin}."


def _enough(read: Preference, state: State, panel: Panel) -> str:
    cup = read.leading
    if state == "shown":
        if panel == "one taster":
            name = read.each[0].taster
            prefers = f"{name} prefers" if name else "you prefer"
            return f"That is enough to say that {prefers} {cup}."
        if panel == "one trial each":
            return (
                f"That is enough to say that more people like these prefer {cup}, not that all do."
            )
        return f"That is enough to say that their answers, taken together, favour {cup}."
    if state == "undecided":
        return "That is not enough to say that either is preferred."
    if state == "stopped":
        return "It was stopped before its rule was met, so there is no verdict."
    return "That is not enough yet to say that either is preferred: the test goes on."


def _alone(read: Preference) -> str:
    """The own counts of each taster, or of those who answered most."""
    most = sorted(read.each, key=lambda own: -(own.a + own.b + own.ties))
    texts = [f"{own.taster} A {own.a}, B {own.b}{_tied(own)}" for own in most[:MOST_NAMED]]
    left = len(most) - MOST_NAMED
    return "; ".join(texts) + (f"; and {left} more" if left > 0 else "")


def _tied(own: Own) -> str:
    return f", neither {own.ties}" if own.ties else ""


def _parted(read: Preference) -> tuple[str, ...]:
    """Who leans to the cup that does not lead, where somebody does."""
    a = [own.taster for own in read.each if own.a > own.b]
    b = [own.taster for own in read.each if own.b > own.a]
    others, cup = (b, "B") if read.leading == "A" else (a, "A")
    return (PARTED.format(" and ".join(others[:MOST_NAMED]), cup),) if others and (a and b) else ()


def _sums(read: Preference, fixed: Fixed | None) -> tuple[str, ...]:
    if fixed is None:
        return (
            f"Evidence for a preference, whichever cup: {rough(read.evidence)}. The line is at "
            f"{SHOWN_AT:.0f}, which tossing a coin would ever reach in at most 1 test in 20.",
        )
    needed, planned = fixed.needed, fixed.answers
    tail = sum(comb(planned, count) for count in range(needed, planned + 1))
    rare = "at most 5 panels" if fixed.panel else f"{200 * tail / 2**planned:.2g} tests"
    return (
        f"{needed} or more of {planned} for one cup show a preference; a coin gives that in "
        f"{rare} of 100.",
    )


def _times(count: int) -> str:
    return {0: "never", 1: "once", 2: "twice"}.get(count, f"{count} times")
