"""Two cups, two brewers, two hands: when to begin B so that both are ready together.

Exact: each pair of steps that take a hand forbids one open interval of starts. The best start is
the one nearest to where both end at once, of those that no interval forbids.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.brewing.along.timeline import Timeline

TURN_S = 5  # from one brewer to the other, assumed


@dataclass(frozen=True, slots=True)
class Together:
    """B begins `b_after_a_s` seconds after A (before it where negative); they end `apart_s` apart.

    `b_waits_s` is how long B is ready before A (negative where A is ready first).
    """

    b_after_a_s: int
    b_waits_s: int

    @property
    def apart_s(self) -> int:
        return abs(self.b_waits_s)


def together(a: Timeline, b: Timeline, turn_s: int = TURN_S) -> Together:
    """The start of B at which the two end as close together as hands allow.

    Between a step of one cup and one of the other at least `turn_s` seconds pass. Of two starts
    that are equally good the one with A first is taken.
    """
    ideal = a.ends_s - b.ends_s
    around = next(
        (one for one in _joined(_forbidden(a, b, turn_s)) if one[0] < ideal < one[1]),
        (ideal, ideal),
    )
    start = min(around, key=lambda at: (abs(at - ideal), at < 0))
    return Together(start, ideal - start)


def _joined(intervals: Iterable[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Open intervals, those that overlap made one; where two only touch, that second is free."""
    begun: tuple[int, int] | None = None
    for begins, ends in sorted(intervals):
        if begun and begins < begun[1]:
            begun = begun[0], max(begun[1], ends)
            continue
        if begun:
            yield begun
        begun = begins, ends
    if begun:
        yield begun


def _forbidden(a: Timeline, b: Timeline, turn_s: int) -> Iterator[tuple[int, int]]:
    """Starts of B at which a step of it would need the hands that are still at A, or at B."""
    for ours in a.by_hand:
        for theirs in b.by_hand:
            yield ours.starts_s - theirs.ends_s - turn_s, ours.ends_s - theirs.starts_s + turn_s
