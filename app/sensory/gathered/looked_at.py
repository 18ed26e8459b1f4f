"""How much was looked at under a question, what that is bounded to, and the figures behind it."""

from collections.abc import Sequence
from math import isinf

from app.sensory.blind.record import figure
from app.sensory.gathered.blind import Blind, counted
from app.sensory.gathered.family import Account
from app.sensory.gathered.several import ALPHA, e_bh
from app.sensory.terms import CLAIMS

BOUND = (
    "Counted together, chance alone brings them to “shown” in at most 1 case in 20, and to “close "
    "enough” likewise, however many tests are added."
)


def sentence(tests: Sequence[Blind], contrasts: int) -> str:
    """What was looked at; empty for nothing."""
    parts = []
    if tests:
        apart = {
            "not ended": sum(not test.over for test in tests),
            "stopped": sum(test.state == "stopped" for test in tests),
            "in the bin": sum(test.gone == "in the bin" for test in tests),
            "taken away": sum(test.gone == "taken away" for test in tests),
            "put here after the first answer": sum(bool(test.left_out) for test in tests),
        }
        some = ", ".join(f"{count} {what}" for what, count in apart.items() if count)
        one = "1 blind test" if len(tests) == 1 else f"{len(tests)} blind tests"
        parts.append(f"{one} ({some})" if some else one)
    if contrasts:
        parts.append(f"{contrasts} {'thing' if contrasts == 1 else 'things'} compared sighted")
    said = f"Looked at: {' and '.join(parts)}." if parts else ""
    return f"{said} {BOUND}" if tests else said


def sums(
    tests: Sequence[Blind], shown: Account, close: Account, together: Sequence[float]
) -> tuple[str, ...]:
    """The figures behind the level, for who wants to check them."""
    if not tests:
        return ()
    said = [*_account("a difference", shown), *_account("close enough", close)]
    difference, similar = (figure(value) for value in together)
    said.append(
        f"For a hint, the evidence of all that was looked at, multiplied: {difference} for a "
        f"difference, {similar} for close enough; the line is at 3."
    )
    return (*said, *_each(tests))


def _account(what: str, of: Account) -> list[str]:
    """How the 1 in 20 is spent in one direction."""
    said = []
    if of.spent:
        said.append(
            f"For {what}, the test answered first may claim by its own rule, at "
            f"{_hundred(of.spent)} of the 5 in 100; left for later ones: "
            f"{_hundred(ALPHA - of.spent)} in 100."
        )
    later = " and ".join(
        f"{figure(of.together[claim])} for {claim}" for claim in CLAIMS if of.together[claim] != 1
    )
    if later:
        which = "the later tests" if of.spent else "the tests"
        line = "nothing is left for them" if isinf(of.line) else f"the line is at {of.line:.0f}"
        said.append(f"For {what}, {which} multiplied: {later}; {line}.")
    return said


def _each(tests: Sequence[Blind]) -> list[str]:
    """Which of several tests stand as claims of their own."""
    shown = [test for test in counted(tests) if test.state == "shown"]
    if len(tests) < 2 or not shown:
        return []
    stand = e_bh([test.share("shown").worth for test in shown], len(tests))
    names = [test.title or "a test" for test, stands in zip(shown, stand, strict=True) if stands]
    which = ", ".join(names) or "none"
    return [
        f"Each difference shown claimed by itself, with {len(tests)} looked at (e-BH, at most 1 in "
        f"20 of those that stand false): {which}."
    ]


def _hundred(share: float) -> str:
    return f"{100 * share:.2g}"
