"""Which of two cups is preferred: exact majorities."""

from math import comb


def least_majority(n: int, alpha: float = 0.05) -> int | None:
    """Smallest count out of n, of either cup, with a two-sided exact p of at most alpha.

    None where even n of n falls short. Null: each cup preferred half of the time.
    """
    tail = 0
    least = None
    for count in range(n, n // 2, -1):
        tail += comb(n, count)
        if 2 * tail > alpha * 2**n:
            break
        least = count
    return least
