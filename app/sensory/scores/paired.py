"""Scores of A and B in pairs: how large the difference is, and how certain.

Exact sign-flip test: Fisher 1935, The Design of Experiments, section 21. Posterior: normal data
with the conjugate prior (Gelman et al., Bayesian Data Analysis, section 3.3).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd, sqrt
from statistics import fmean, stdev

from app.sensory.lazy import np, special

LEAST_PAIRS = 3
LEAST_PAIRS_FOR_A_TEST = 6
# Steps to a point: means of up to six whole scores differ by sixtieths; anything else is rounded,
# more coarsely where there are many.
STEPS = (60, 1000)
MANY = 40
NEGLIGIBLE = 1e-6
TYPICAL_DIFFERENCE = 1.5  # between two scores of one recipe on nine points (common practice)


@dataclass(frozen=True)
class Belief:
    """The posterior of the mean difference: mean, 95 % range, probability that it is above 0."""

    mean: float
    low: float
    high: float
    above_zero: float


@dataclass(frozen=True)
class PairedTest:
    """Exact two-sided sign-flip p-value; t, and the range of the mean that goes with it.

    t and range are None where all differences are equal.
    """

    p: float
    t: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Paired:
    """What n differences A minus B say; `test` is None for fewer than 6."""

    n: int
    mean: float
    belief: Belief
    test: PairedTest | None
    sentence: str


def paired(
    differences: Sequence[float], *, what: str = "liking", alpha: float = 0.05
) -> Paired | None:
    """Evidence from `differences`, each the score of A minus that of B in one sitting.

    `what` names the score in the sentence; the range of the test leaves out `alpha`. None for fewer
    than 3 differences.
    """
    n = len(differences)
    if n < LEAST_PAIRS:
        return None
    belief = believe(differences)
    test = _test(differences, alpha) if n >= LEAST_PAIRS_FOR_A_TEST else None
    sentence = _sentence(n, fmean(differences), belief, test, what)
    return Paired(n, fmean(differences), belief, test, sentence)


def believe(differences: Sequence[float], scale: float = TYPICAL_DIFFERENCE) -> Belief:
    """Posterior of the mean difference, from a prior worth one more pair without a difference.

    The prior has mean 0 with the weight of one pair, and variance `scale` squared with two degrees
    of freedom, so that three equal differences do not count as certainty.
    """
    n, mean = len(differences), fmean(differences)
    squares = sum((d - mean) ** 2 for d in differences)
    centre = n * mean / (n + 1)
    b = scale**2 + squares / 2 + n * mean**2 / (2 * (n + 1))
    a = 1 + n / 2
    spread = sqrt(b / (a * (n + 1)))
    half = float(special.stdtrit(2 * a, 0.975)) * spread
    return Belief(
        centre, centre - half, centre + half, float(special.stdtr(2 * a, centre / spread))
    )


def _test(differences: Sequence[float], alpha: float) -> PairedTest:
    n, mean, sd = len(differences), fmean(differences), stdev(differences)
    p = min(1.0, 2 * sign_flip_share(differences))
    if sd == 0:
        return PairedTest(p, None, None, None)
    error = sd / sqrt(n)
    half = float(special.stdtrit(n - 1, 1 - alpha / 2)) * error
    return PairedTest(p, mean / error, mean - half, mean + half)


def sign_flip_share(differences: Sequence[float]) -> float:
    """Share of all 2^n sign patterns with a sum of at least the absolute value of the sum seen.

    It is exact for sixtieths, and for differences rounded to a thousandth (more than 40 of them: to
    a sixtieth). Their sums lie on a lattice, on which each difference halves the weights and adds a
    copy of them, shifted by twice its size.

    >>> sign_flip_share([1.0, 2.0, 1.5])
    0.125
    """
    sixtieths = all(abs(STEPS[0] * d - round(STEPS[0] * d)) < NEGLIGIBLE for d in differences)
    to_a_point = STEPS[0] if sixtieths or len(differences) > MANY else STEPS[1]
    steps = [round(abs(d) * to_a_point) for d in differences]
    seen = abs(sum(round(d * to_a_point) for d in differences))
    unit = gcd(*steps) or 1
    sizes = [step // unit for step in steps]
    weight = np.zeros(sum(sizes) + 1)  # index k: the sum is 2k - total, in units
    weight[0] = 1.0
    for size in sizes:
        shifted = np.concatenate((np.zeros(size), weight[: len(weight) - size]))
        weight = (weight + shifted) / 2
    first = (sum(sizes) + seen // unit) // 2
    return float(weight[first:].sum())


def _sentence(n: int, mean: float, belief: Belief, test: PairedTest | None, what: str) -> str:
    if mean == 0:
        apart = f"Over {n} pairs A and B scored the same on average in {what}"
    else:
        more = "more" if mean > 0 else "less"
        apart = f"Over {n} pairs A scored {abs(mean):.2g} {more} than B on average in {what}"
    if test is None:
        chances = min(99, max(1, round(100 * belief.above_zero)))
        return (
            f"{apart}. Too few pairs for a test; a cautious bet gives A {chances} chances in 100 "
            "of truly scoring higher."
        )
    p = "p < 0.001" if test.p < 0.001 else f"p = {test.p:.3f}"
    if test.p <= 0.05:
        verdict = f"more than chance usually gives ({p})"
    else:
        verdict = f"which chance can give ({p}); that does not make them the same"
    return f"{apart}, {verdict}. The p holds if the number of pairs was fixed beforehand."
