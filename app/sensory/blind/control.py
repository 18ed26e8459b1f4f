"""Trials of A against A: how often a taster is right where there is nothing to find.

With two brews of one recipe they show how much the brews alone give away. Comparison of the two
rates: Fisher's exact test, one-sided (Fisher 1935), for numbers of trials fixed beforehand.
"""

from math import comb
from typing import NamedTuple


class Control(NamedTuple):
    """`p` is the chance that the real trials do so much better than the controls by luck."""

    p: float
    sentence: str


def against_controls(correct: int, n: int, control_correct: int, controls: int) -> Control:
    """Set `correct` of n real trials beside `control_correct` of `controls` A-against-A trials."""
    if not (0 <= correct <= n and 0 <= control_correct <= controls):
        raise ValueError("right answers must lie between 0 and the number of trials")
    p = fisher_p(correct, n, control_correct, controls)
    if n == 0 or controls == 0:
        return Control(p, "Real trials and controls are both needed before they can be compared.")
    counts = f"{correct} of {n} right, {control_correct} of {controls} where A met A"
    chance = "p < 0.001" if p < 0.001 else f"p = {p:.3f}"
    comparison = f"more than A against A explains ({chance})"
    if p > 0.05:
        comparison = f"which A against A may explain ({chance}); that does not make them the same"
    fixed = "The p holds if both numbers of trials were fixed beforehand."
    return Control(p, f"{counts}: {comparison}. {fixed}")


def fisher_p(correct: int, n: int, control_correct: int, controls: int) -> float:
    """One-sided exact p: all ways to share out the right answers that favour the real trials."""
    right = correct + control_correct
    most = min(n, right)
    ways = sum(comb(n, k) * comb(controls, right - k) for k in range(correct, most + 1))
    return ways / comb(n + controls, right)
