"""Which asks may be one question: a suggestion. Pure."""

from collections.abc import Sequence
from heapq import heapify, heappop, heappush

from app.journal.asks.wording import topics_of
from app.text import search_text

ALIKE = 0.68  # mean over all pairs of a group; see tests/similar
WORD_FOR_WORD = 90.0  # of 100: the same words, whatever their order


def likeness(a: str, b: str) -> float:
    """From 0 to 1: the cosine of what both are about; texts about nothing we know are alike only
    word for word."""
    from rapidfuzz import fuzz, utils  # as in names/alike.py

    of_a, of_b = topics_of(a), topics_of(b)
    if of_a and of_b:
        return sum(weight * of_b[topic] for topic, weight in of_a.items() if topic in of_b)
    one, other = (utils.default_process(search_text(text)) for text in (a, b))
    ratio = fuzz.token_sort_ratio(one, other) if one and other else 0.0
    return ratio / 100 if ratio >= WORD_FOR_WORD else 0.0


def suggest(texts: Sequence[str]) -> list[list[int]]:
    """Places of texts that are alike on average, in groups, the largest first; in each the one
    that is closest to all others stands first. Those alone are left out.

    The two groups most alike are joined again and again while they are alike enough (average
    linkage: one text between two others does not tie them together).
    """
    groups = [_in_order(texts, places) for places in _joined(texts) if len(places) > 1]
    return sorted(groups, key=lambda places: (-len(places), places[0]))


def _joined(texts: Sequence[str]) -> list[list[int]]:
    groups = {place: [place] for place in range(len(texts))}
    sums = {
        (a, b): near for b in groups for a in range(b) if (near := likeness(texts[a], texts[b])) > 0
    }
    queue = [(-near, a, b, 1) for (a, b), near in sums.items() if near >= ALIKE]
    heapify(queue)
    while queue:
        _, a, b, size = heappop(queue)
        if a not in groups or b not in groups or size != len(groups[a]) * len(groups[b]):
            continue  # one of them has grown since
        groups[a] += groups.pop(b)
        for other in groups:
            if other == a:
                continue
            pair, gone = (min(a, other), max(a, other)), (min(b, other), max(b, other))
            total = sums.get(pair, 0.0) + sums.pop(gone, 0.0)
            if total:
                sums[pair] = total
                size = len(groups[a]) * len(groups[other])
                if total >= ALIKE * size:
                    heappush(queue, (-total / size, *pair, size))
    return list(groups.values())


def _in_order(texts: Sequence[str], places: list[int]) -> list[int]:
    near = {one: sum(likeness(texts[one], texts[other]) for other in places) for one in places}
    return sorted(places, key=lambda one: (-round(near[one], 6), len(texts[one]), one))


def shared_topics(texts: Sequence[str]) -> list[str]:
    """What more than half of the texts are about."""
    counts: dict[str, int] = {}
    for text in texts:
        for topic in topics_of(text):
            counts[topic] = counts.get(topic, 0) + 1
    return [topic for topic, count in counts.items() if 2 * count > len(texts)]
