"""Evidence that may be looked at after every trial: e-values and the interval that goes with them.

Against guessing, the rate of right answers is bet to lie anywhere above it with equal weight;
the stake grows by the ratio of likelihoods. Under guessing it reaches 20 at some time or other
in at most 1 test in 20 (Ville's inequality; Howard et al. 2021, Ann. Statist. 49:1055; Grünwald
et al. 2024, J. R. Stat. Soc. B 86:1091).
"""

from functools import lru_cache
from math import exp, log

from app.sensory.lazy import ArrayLike, Floats, np, optimize, special

SHOWN_AT = 20.0
CLOSE_AT = 10.0
LARGEST = 1e9
KEPT = 4096  # results: lists of tests come back to the same counts


def log_evidence(correct: ArrayLike, n: ArrayLike, guess: float) -> Floats:
    """ln of the evidence for more right answers than guessing gets; counts may be arrays."""
    return _log_bet(correct, n, guess, above=True)


def log_evidence_close(correct: ArrayLike, n: ArrayLike, p1: float) -> Floats:
    """ln of the evidence that fewer are right than p1: the mirror, betting on all rates below."""
    return _log_bet(correct, n, p1, above=False)


def log_evidence_either(correct: ArrayLike, n: ArrayLike, rate: float) -> Floats:
    """ln of the evidence against `rate`, both ways: an even bet on all rates from 0 to 1.

    It is the mean of the bets above and below, each by its width.
    """
    s, m = np.asarray(correct, dtype=float), np.asarray(n, dtype=float)
    bet = special.betaln(1 + s, 1 + m - s)
    return np.asarray(bet - s * log(rate) - (m - s) * np.log1p(-rate))


def log_evidence_close_both(correct: ArrayLike, n: ArrayLike, least: float, most: float) -> Floats:
    """ln of the weaker of the two mirrors: against `most` right or more, and `least` or fewer."""
    below = log_evidence_close(correct, n, most)
    return np.asarray(np.minimum(below, log_evidence(correct, n, least)))


def _log_bet(correct: ArrayLike, n: ArrayLike, rate: float, *, above: bool) -> Floats:
    """ln of the likelihood of an even bet on all rates above (or below) `rate`, over that of it."""
    s, m = np.asarray(correct, dtype=float), np.asarray(n, dtype=float)
    share, width = (special.betaincc, np.log1p(-rate)) if above else (special.betainc, log(rate))
    with np.errstate(divide="ignore"):  # so far away that no weight is left on this side
        weight = np.log(share(1 + s, 1 + m - s, rate))
    bet = special.betaln(1 + s, 1 + m - s) + weight - width
    return np.asarray(bet - s * log(rate) - (m - s) * np.log1p(-rate))


def evidence(correct: int, n: int, guess: float) -> float:
    """The e-value against guessing, at most 1e9; 1 before the first trial."""
    return _plain(float(log_evidence(correct, n, guess)))


def evidence_close(correct: int, n: int, p1: float) -> float:
    """The e-value against p1 or more right answers, at most 1e9."""
    return _plain(float(log_evidence_close(correct, n, p1)))


def evidence_both(correct: int, n: int, guess: float) -> float:
    """The e-value against guessing, both ways, at most 1e9."""
    return _plain(float(log_evidence_either(correct, n, guess)))


def evidence_close_both(correct: int, n: int, least: float, most: float) -> float:
    """The weaker of the e-values against `most` right or more and `least` or fewer."""
    return _plain(float(log_evidence_close_both(correct, n, least, most)))


def _plain(log_e: float) -> float:
    return exp(min(log_e, log(LARGEST)))


@lru_cache(KEPT)
def interval(correct: int, n: int, alpha: float = 0.05) -> tuple[float, float]:
    """Rates of right answers that 1 - alpha cannot rule out, however often one looks.

    {p : (n + 1) * P(correct of n | p) > alpha}, from an even bet on all rates.
    """
    if n == 0:
        return 0.0, 1.0
    scale = float(-special.betaln(1 + correct, 1 + n - correct)) - log(alpha)

    def over(p: float) -> float:
        return float(special.xlogy(correct, p) + special.xlog1py(n - correct, -p)) + scale

    share, edge = correct / n, 1e-15
    low = 0.0 if correct == 0 else float(optimize.brentq(over, edge**2, share, xtol=1e-12))
    high = 1.0 if correct == n else float(optimize.brentq(over, share, 1 - edge, xtol=1e-12))
    return low, high


@lru_cache(KEPT)
def trials_to_go(
    correct: int, n: int, guess: float, most: int = 500, *, both_ways: bool = False
) -> int | None:
    """How many more trials reach the line at the rate so far: a guide for patience, no forecast.

    0 when it is reached, None before the first trial or when `most` would not be enough.
    """
    if n == 0:
        return None
    more = np.arange(most + 1)
    bet = log_evidence_either if both_ways else log_evidence
    reached = bet(correct + more * correct / n, n + more, guess) >= log(SHOWN_AT)
    return int(np.argmax(reached)) if reached.any() else None
