"""Which cup stands where: drawn afresh for every trial, so that no earlier one gives it away.

All randomness comes from the source passed in: the operating system's (secrets.SystemRandom).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from typing import Protocol, TypeVar

from app.sensory.blind.methods import said
from app.sensory.terms import Letter, Method

Item = TypeVar("Item")
CODES_TO_AVOID = 300
LEAST_ASSESSORS = 6


class Source(Protocol):
    """A random number generator: random.Random and secrets.SystemRandom both fit."""

    def randrange(self, stop: int, /) -> int:
        """A whole number from 0 to stop - 1, each as likely."""


@dataclass(frozen=True)
class Serving:
    """One trial as poured: cups from left to right, their codes, and the place that is right.

    The first cup of a duo-trio is the open reference and the first of a tetrad the one to be
    matched. `key` counts places from 0, or is 0 or 1 where the answer is one of two words (the
    method's `said`); a preference has none. In a control every cup comes from A, and B stands for
    a second A.
    """

    method: Method
    cups: tuple[Letter, ...]
    codes: tuple[str, ...]
    key: int | None
    control: bool = False


def draw(
    method: Method,
    source: Source,
    *,
    more: Letter = "B",
    controls: int = 0,
    of: int = 1,
    avoid: Sequence[str] = (),
    tray: bool = False,
) -> Serving:
    """One trial, independent of every other.

    `more` is the cup expected to have more of the attribute (paired and three-cup). It is one of
    the `of` trials still to be drawn, of which `controls` are A against A. `avoid` holds codes
    used before, newest last. On a `tray` both cups of an A – not A stand, and its turn draws the
    one that is tasted.
    """
    every = orders(method, more, tray=tray)
    cups = every[source.randrange(len(every))]
    control = controls > 0 and source.randrange(of) < controls
    codes = draw_codes(len(cups), source, avoid)
    return Serving(method, cups, codes, key_of(method, cups, more), control)


def balanced(
    method: Method, assessors: int, source: Source, *, feedback: bool, more: Letter = "B"
) -> tuple[Serving, ...]:
    """One trial for each of many assessors, every order equally often, shuffled.

    Refused below six assessors, and where anyone learns a result before the end: earlier keys of a
    balanced block give away the next one.
    """
    if feedback:
        raise ValueError("balanced orders need a test without results before the end")
    if assessors < LEAST_ASSESSORS:
        raise ValueError(f"balanced orders need at least {LEAST_ASSESSORS} assessors")
    every = orders(method, more)
    whole, left = divmod(assessors, len(every))
    poured = shuffled([*every * whole, *shuffled(every, source)[:left]], source)
    used: list[str] = []
    servings = []
    for cups in poured:
        codes = draw_codes(len(cups), source, used)
        used.extend(codes)
        servings.append(Serving(method, cups, codes, key_of(method, cups, more)))
    return tuple(servings)


@lru_cache(maxsize=16)
def orders(
    method: Method, more: Letter = "B", *, tray: bool = False
) -> tuple[tuple[Letter, ...], ...]:
    """Every order a method can be poured in, all equally likely.

    Half of them are a cup of A in A – not A, and two cups of one kind in same–different: the key
    of each such trial is a fair coin, so that under no difference an answer matches it in half of
    the trials whatever the habit of answering.
    """
    less: Letter = "A" if more == "B" else "B"
    pours: dict[Method, tuple[tuple[Letter, ...], ...]] = {
        "triangle": (("A", "A", "B"), ("A", "B", "B")),
        "tetrad": (("A", "A", "B", "B"),),
        "three-cup": ((less, less, more),),
        "duo-trio": (("A", "A", "B"), ("B", "A", "B")),
        "paired": (("A", "B"),),
        "preference": (("A", "B"),),
        "A-not-A": (("A", "B"),) if tray else (("A",), ("B",)),
        "same-different": (("A", "A"), ("A", "B"), ("B", "B")),
    }
    if method == "duo-trio":  # the reference stays first
        return tuple((r, *rest) for r, *pair in pours[method] for rest in permutations(pair))
    return tuple(sorted({order for pour in pours[method] for order in permutations(pour)}))


def key_of(method: Method, cups: tuple[Letter, ...], more: Letter = "B") -> int | None:
    """The right answer, as a place from 0 or which of the two words; None for a preference, and
    where the turn of a tray decides."""
    match method:
        case "triangle":
            return next(i for i, cup in enumerate(cups) if cups.count(cup) == 1)
        case "tetrad" | "duo-trio":
            return next(i for i, cup in enumerate(cups) if i > 0 and cup == cups[0])
        case "three-cup" | "paired":
            return cups.index(more)
        case "A-not-A":
            return int(cups[0] != "A") if len(cups) == 1 else None
        case "same-different":
            return int(cups[0] != cups[1])
        case "preference":
            return None


def places(method: Method) -> tuple[int, ...]:
    """The places a taster may answer with; 0 and 1 stand for the two words of a method."""
    if said(method):
        return 0, 1
    first = 1 if method in ("tetrad", "duo-trio") else 0
    return tuple(range(first, len(orders(method)[0])))


def brewing_order(source: Source) -> tuple[Letter, Letter]:
    """Which of the two is brewed first today."""
    return ("A", "B") if source.randrange(2) == 0 else ("B", "A")


def draw_codes(count: int, source: Source, avoid: Sequence[str] = ()) -> tuple[str, ...]:
    """`count` three-digit codes that share no first digit and are not among those used of late.

    Only the last 300 codes of `avoid` are avoided, so that codes never run out.
    """
    recent = set(avoid[-CODES_TO_AVOID:])
    codes: list[str] = []
    for _ in range(count):
        free = _codes_without(frozenset(code[0] for code in codes))
        if recent:
            free = tuple(code for code in free if code not in recent)
        codes.append(free[source.randrange(len(free))])
    return tuple(codes)


@lru_cache(maxsize=1)
def plain_codes() -> tuple[str, ...]:
    """Codes without a pattern: no zero in front, no digit twice, no even steps (123, 864)."""
    digits = [tuple(map(int, str(code))) for code in range(100, 1000)]
    plain = [d for d in digits if len(set(d)) == 3 and d[1] - d[0] != d[2] - d[1]]
    return tuple("".join(map(str, d)) for d in plain)


@lru_cache(maxsize=256)
def _codes_without(first_digits: frozenset[str]) -> tuple[str, ...]:
    return tuple(code for code in plain_codes() if code[0] not in first_digits)


def shuffled(items: Iterable[Item], source: Source) -> list[Item]:
    """The items in an order drawn from the source."""
    left, drawn = list(items), []
    while left:
        drawn.append(left.pop(source.randrange(len(left))))
    return drawn
