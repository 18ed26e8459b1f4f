"""From counts of right answers to what a taster can tell: exact, without normal approximations.

p_c is the share of right answers, p_d = (p_c - g)/(1 - g) the share of trials in which the
difference was truly perceived, d' the distance of the two cups in units of perceptual noise.
Psychometric functions: Ennis 1993, J. Sens. Stud. 8:353; Bi & O'Mahony 2013 (tetrad), both
from memory, written with Owen's T. A – not A and same–different (Macmillan & Creelman, Detection
Theory, from memory) are given for a taster who leans to neither answer: the most that can be
right at that distance. What leaning costs is in `detection`.
"""

from math import acosh, erf, exp, inf, log, sqrt

from app.sensory.lazy import optimize, special
from app.sensory.terms import Discrimination

LARGEST_D_PRIME = 40.0
SMALLEST_D_PRIME, MODEST_D_PRIME = 1e-3, 20.0  # beyond which exp or acosh loses its figures
ROUNDING = 1e-12

# Rules a taster may truly follow in each method. Who pours alone knows how many cups are of which
# kind and what to look for, which turns comparing distances into looking for the strongest cup.
DECISION_RULES: dict[Discrimination, tuple[Discrimination, ...]] = {
    "triangle": ("triangle", "three-cup"),
    "tetrad": ("tetrad",),
    "three-cup": ("three-cup",),
    "duo-trio": ("duo-trio", "paired"),
    "paired": ("paired",),
    "A-not-A": ("A-not-A",),
    "same-different": ("same-different",),
}


def correct_at(method: Discrimination, d_prime: float) -> float:
    """Share of right answers p_c at the distance d' (0 or more)."""
    if d_prime < 0:
        raise ValueError("d' cannot be below 0")
    d = d_prime
    match method:
        case "triangle":
            return float(1 - 4 * special.owens_t(d / sqrt(6), sqrt(3)))
        case "tetrad":
            return float(1 - 8 * special.owens_t(d / sqrt(2), 1 / sqrt(3)))
        case "three-cup":
            return float(special.ndtr(d / sqrt(2)) - 2 * special.owens_t(d / sqrt(2), 1 / sqrt(3)))
        case "duo-trio":
            return 0.5 + 0.5 * erf(d / 2) * erf(d / sqrt(12))
        case "paired":
            return float(special.ndtr(d / sqrt(2)))
        case "A-not-A":
            return float(special.ndtr(d / 2))
        case "same-different":
            return _told_apart(d)


def _told_apart(d: float) -> float:
    """p_c of same–different where "different" is said as soon as it is the likelier: a pair further
    apart than tau, with cosh(d·tau/2) = exp(d²/4)."""
    if d < SMALLEST_D_PRIME:
        return 0.5
    tau = acosh(exp(d * d / 4)) * 2 / d if d < MODEST_D_PRIME else d / 2 + 2 * log(2) / d
    same = 2 * special.ndtr(tau / sqrt(2)) - 1
    different = special.ndtr((tau - d) / sqrt(2)) - special.ndtr((-tau - d) / sqrt(2))
    return float(0.5 + (same - different) / 2)


def d_prime_at(method: Discrimination, p_c: float) -> float:
    """The distance d' at which p_c answers are right: 0 at or below guessing, infinite at 1."""
    if p_c <= correct_at(method, 0.0) + ROUNDING:
        return 0.0
    if p_c >= correct_at(method, LARGEST_D_PRIME):
        return inf
    ends = (0.0, LARGEST_D_PRIME)
    return float(optimize.brentq(lambda d: correct_at(method, d) - p_c, *ends, xtol=1e-12))


def d_prime_range(method: Discrimination, low: float, high: float) -> tuple[float, float]:
    """Least and greatest d' for p_c from low to high, over the rules a taster may follow."""
    rules = DECISION_RULES[method]
    least = min(d_prime_at(rule, low) for rule in rules)
    return least, max(d_prime_at(rule, high) for rule in rules)


def perceived_share(p_c: float, guess: float) -> float:
    """p_d from p_c; 0 where fewer are right than guessing gets."""
    return max(0.0, (p_c - guess) / (1 - guess))


def correct_share(p_d: float, guess: float) -> float:
    """p_c from p_d: the perceived trials are right, the rest are guesses."""
    return guess + p_d * (1 - guess)


def least_share(p_d: float, guess: float) -> float:
    """p_c where p_d of trials are perceived the other way round: those are wrong."""
    return guess * (1 - p_d)


def p_value(correct: int, n: int, guess: float) -> float:
    """Chance that guessing gets `correct` or more of n."""
    return 1.0 if correct <= 0 else float(special.bdtrc(correct - 1, n, guess))


def critical_count(n: int, guess: float, alpha: float) -> int | None:
    """Smallest count of n that guessing reaches with a chance of at most alpha, or None.

    `alpha` is at most .3: the search starts at the mean, where the chance is near one half.
    """
    counts = range(round(n * guess), n + 1)
    return next((count for count in counts if p_value(count, n, guess) <= alpha), None)


def similar_count(n: int, p_c: float, beta: float) -> int:
    """Greatest count of n that a share p_c stays at or below with a chance of at most beta.

    -1 where even 0 is too likely. Similarity of ISO 4120, ISO 10399 and ISO 5495.
    """
    count = -1
    while count < n and special.bdtr(count + 1, n, p_c) <= beta:
        count += 1
    return count


def power(n: int, guess: float, p_c: float, alpha: float) -> float:
    """Chance that n trials reach the critical count when p_c answers are right."""
    count = critical_count(n, guess, alpha)
    return 0.0 if count is None else p_value(count, n, p_c)


def trials_needed(
    guess: float, p_c: float, alpha: float, beta: float, most: int = 2000
) -> int | None:
    """Smallest n whose power reaches 1 - beta, or None up to `most`.

    Power climbs in teeth, so that a few larger n fall a little short again.
    """
    sizes = range(1, most + 1)
    return next((n for n in sizes if power(n, guess, p_c, alpha) >= 1 - beta), None)


def clopper_pearson(correct: int, n: int, level: float = 0.95) -> tuple[float, float]:
    """Exact two-sided range of p_c for a number of trials fixed beforehand."""
    tail = (1 - level) / 2
    low = 0.0 if correct == 0 else float(special.betaincinv(correct, n - correct + 1, tail))
    high = 1.0 if correct == n else float(special.betaincinv(correct + 1, n - correct, 1 - tail))
    return low, high


def chance_band(n: int, guess: float, level: float = 0.95) -> tuple[int, int]:
    """Counts that guessing stays within in `level` of n trials, looked at once: a chart's funnel.

    Looking after every trial leaves the funnel far more often; it is a picture, not a rule.
    """
    tail = (1 - level) / 2
    high = critical_count(n, guess, tail)
    low = next(count for count in range(n + 1) if special.bdtr(count, n, guess) > tail)
    return low, n if high is None else high - 1
