"""Trials of A against A: how often a taster is right where there is nothing to find.

With two brews of one recipe they show how much the brews alone give away. Comparison of the two
rates: Fisher's exact test, one-sided (Fisher 1935), for numbers of trials fixed beforehand.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import comb, sqrt

from app.sensory import ROUNDING
from app.sensory.blind.discrimination import correct_at, correct_share
from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.lazy import Floats, np, special
from app.sensory.terms import Discrimination, State

LEVEL = 0.05


CANNOT_SHOW = (
    "Two of the cups shared a brew, so that another stands out even where the recipe is the same, "
    "and no fixed number of trials of A against A says how often: this plan can show nothing."
)
ENOUGH = (
    "That is more than brews of one recipe bring about, and enough to say that these two ways of "
    "brewing can be told apart."
)
NOT_ENOUGH = "Brews of one recipe may bring that about: nothing is shown, and they may yet differ."
NOT_FIXED = "The number of A-against-A trials was not fixed beforehand, so the p is only rough."


@dataclass(frozen=True, slots=True)
class Compared:
    """Right answers beside those where every cup was A, each with its number of trials.

    `planned` trials of each kind were fixed beforehand. An older plan may have fixed neither
    (None), and have drawn those of A against A by odds (0). `decides` is whether the verdict rests
    on this; where guessing is the yardstick it only stands beside it.
    """

    correct: int
    n: int
    control_correct: int
    controls: int
    planned: tuple[int | None, int | None]
    decides: bool = True

    @property
    def p(self) -> float:
        """The chance that the real trials do so much better than the controls by luck."""
        return fisher_p(self.correct, self.n, self.control_correct, self.controls)

    @property
    def complete(self) -> bool:
        """Whether all that were planned are in, or as many as an older plan can say."""
        planned, controls = self.planned
        return self.n == planned and self.controls > 0 and self.controls >= (controls or 0)

    @property
    def state(self) -> State:
        if not self.complete:
            return "open"
        return "shown" if self.p <= LEVEL else "undecided"

    @property
    def sentence(self) -> str:
        """First what was counted, then what it is enough for."""
        counted = f"{self.correct} of {self.n} right with A against B"
        if not self.decides:
            return f"{counted}, {self.control_correct} of {self.controls} where every cup was A."
        if None in self.planned:
            return f"{counted}. {CANNOT_SHOW}"
        counted += f", {self.control_correct} of {self.controls} where every cup was A."
        if not self.complete:
            return f"{counted} {self._still_open}"
        return f"{counted} {ENOUGH if self.state == 'shown' else NOT_ENOUGH}"

    @property
    def _still_open(self) -> str:
        planned, controls = self.planned
        more = f" and {controls} of A against A" if controls else ""
        return f"It is read once all {planned}{more} are answered."

    @property
    def sums(self) -> str:
        """The p behind the sentence; empty before there is one, and where an early end came before
        the numbers it holds for."""
        if not (self.complete if self.planned[1] else self.n and self.controls):
            return ""
        chance = "below 0.001" if self.p < 0.001 else f"{self.p:.2g}"
        said = f"Fisher’s exact test, one-sided: p {chance}."
        return said if self.planned[1] else f"{said} {NOT_FIXED}"


def fisher_p(correct: int, n: int, control_correct: int, controls: int) -> float:
    """One-sided exact p: all ways to share out the right answers that favour the real trials."""
    right = correct + control_correct
    most = min(n, right)
    ways = sum(comb(n, k) * comb(controls, right - k) for k in range(correct, most + 1))
    return ways / comb(n + controls, right)


def controls_needed(n: int, most: int) -> int | None:
    """The least number of controls with which n real trials could show anything, or None.

    All real trials right and all controls wrong is the best that can come out.
    """
    numbers = range(1, most + 1)
    return next((count for count in numbers if fisher_p(n, n, 0, count) <= LEVEL), None)


def right_by_luck(method: Discrimination) -> float:
    """Share of right answers without a difference where brews of one recipe vary as much as one
    person's tasting does, and all cups but one share a brew: .46 in a triangle."""
    at, weight = np.polynomial.hermite_e.hermegauss(40)
    between = sqrt(2) * at  # two brews, each its own deviation
    if method == "three-cup":  # the cup named may also lie below the others
        halves = special.ndtr(between / sqrt(2))
        right = halves - 2 * special.owens_t(between / sqrt(2), 1 / sqrt(3))
    else:
        right = np.array([correct_at(method, abs(float(distance))) for distance in between])
    return float(weight @ right / weight.sum())


def control_promise(method: Discrimination, n: int, controls: int, p_d: float) -> str:
    """What such a plan would find, in plain words, for a difference of the size that matters."""
    found = []
    for by_luck in (float(METHOD_FACTS[method].guess), right_by_luck(method)):
        chance = control_power(n, controls, correct_share(p_d, by_luck), by_luck)
        found.append((100 * by_luck, 100 * chance))
    (guess, best), (luck, worse) = found
    return (
        f"With {n} trials and {controls} of A against A, a difference perceived in "
        f"{100 * p_d:.0f} % of trials is found {best:.0f} times in 100 where brews of one recipe "
        f"give nothing away ({guess:.0f} % right with A against A), and {worse:.0f} times in 100 "
        f"where they vary as much as your tasting does ({luck:.0f} % right). Without a difference "
        "it is found at most 5 times in 100."
    )


def control_power(n: int, controls: int, real: float, control: float) -> float:
    """Chance that n real trials come out above the controls at .05, exact.

    `real` and `control` are the shares of right answers of the two. Both equal: the chance of a
    false alarm, which stays under .05 whatever the share.
    """
    low = _binomial(controls, control)
    high = _binomial(n, real)
    return float(high @ _shows(n, controls) @ low)


def _binomial(n: int, share: float) -> Floats:
    """Chances of 0 to n right answers."""
    k = np.arange(n + 1)
    log_ways = -special.betaln(1 + k, 1 + n - k) - np.log(n + 1)
    return np.asarray(np.exp(log_ways + special.xlogy(k, share) + special.xlog1py(n - k, -share)))


@lru_cache(maxsize=16)
def _shows(n: int, controls: int) -> Floats:
    """1 where so many right of n (rows) show a difference from those of the controls (columns)."""
    shown = np.zeros((n + 1, controls + 1))
    for right in range(n + controls + 1):
        tail, whole = 0, comb(n + controls, right)
        for real in range(min(n, right), max(0, right - controls) - 1, -1):
            tail += comb(n, real) * comb(controls, right - real)
            if tail / whole > LEVEL + ROUNDING:
                break
            shown[real, right - real] = 1
    return shown
