"""A centre that one slip does not move, and ranges that know how few values are behind them."""

from collections.abc import Sequence
from math import sqrt
from statistics import median

_CUT = 4.685  # Tukey's biweight: in SDs, from where on a value counts nothing
_MAD_TO_SD = 1.4826
NORMAL_95 = 1.959964
LEAST_TO_JUDGE = 4  # of fewer values nobody can tell which one is the slip
PRIOR_WORTH = 7.0  # brews that the published spread is taken to be worth


def weights(values: Sequence[float], floor: float) -> list[float]:
    """How much each value counts, 0 to 1, by its distance from the median of all.

    Tukey's biweight (Beaton & Tukey 1974, Technometrics 16:147), its scale the median absolute
    deviation, at least ``floor``. Of less than four values each counts in full.

    >>> weights([0.0, 0.01, -0.01, 0.0, 0.9], floor=0.05)[-1]
    0.0
    """
    if len(values) < LEAST_TO_JUDGE:
        return [1.0] * len(values)
    middle = median(values)
    scale = _CUT * max(floor, _MAD_TO_SD * median(abs(value - middle) for value in values))
    return [max(0.0, 1.0 - ((value - middle) / scale) ** 2) ** 2 for value in values]


def t_95(freedom: float) -> float:
    """Two-sided 95 % quantile of Student's t, within .001 from 4 degrees of freedom on.

    Abramowitz and Stegun 1964, Handbook of Mathematical Functions, 26.7.5.

    >>> round(t_95(10.0), 3)
    2.228
    """
    x = NORMAL_95
    one = (x**3 + x) / 4
    two = (5 * x**5 + 16 * x**3 + 3 * x) / 96
    three = (3 * x**7 + 19 * x**5 + 17 * x**3 - 15 * x) / 384
    four = (79 * x**9 + 776 * x**7 + 1482 * x**5 - 1920 * x**3 - 945 * x) / 92160
    return x + one / freedom + two / freedom**2 + three / freedom**3 + four / freedom**4


def conflict(squares: float, n: float) -> float:
    """How much wider a range has to be where values contradict what was thought before them.

    ``squares`` is the sum of ``n`` squared misses, each in SDs foretold; 1 where they agree.
    """
    return sqrt(max(1.0, (PRIOR_WORTH + squares) / (PRIOR_WORTH + n)))
