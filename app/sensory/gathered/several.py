"""Several claims at once: which of them stand under a bound over all that was looked at.

e-BH: Wang and Ramdas 2022, J. R. Stat. Soc. B 84:822; it holds however the claims depend on each
other. Holm 1979, Scand. J. Stat. 6:65, for p-values, likewise.
"""

from collections.abc import Sequence

ALPHA = 0.05


def e_bh(evidence: Sequence[float], looked_at: int, alpha: float = ALPHA) -> list[bool]:
    """Which claims stand, so that at most `alpha` of those that do are false on average.

    `evidence` are e-values of claims, `looked_at` how many could have been claimed, the ones not
    named here included. The k largest stand where the k-th is at least looked_at / (k * alpha).
    """
    if looked_at < len(evidence):
        raise ValueError("more claims than were looked at")
    ranked = sorted(evidence, reverse=True)
    stand = [k for k, e in enumerate(ranked, 1) if e * k * alpha >= looked_at]
    return [bool(stand) and e >= ranked[stand[-1] - 1] for e in evidence]


def holm(p_values: Sequence[float], looked_at: int | None = None) -> list[float]:
    """p-values adjusted for all that was looked at: one below .05 stands with every smaller one.

    The chance that any true null at all is claimed is then at most .05.
    """
    count = len(p_values) if looked_at is None else looked_at
    if count < len(p_values):
        raise ValueError("more claims than were looked at")
    adjusted, highest = [0.0] * len(p_values), 0.0
    for rank, at in enumerate(sorted(range(len(p_values)), key=p_values.__getitem__)):
        highest = max(highest, min(1.0, (count - rank) * p_values[at]))
        adjusted[at] = highest
    return adjusted
