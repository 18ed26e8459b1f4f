"""Which names may be one, by how they are spelled: a suggestion. Pure."""

import re
from collections.abc import Sequence
from itertools import combinations

from app.journal.names.listing import Named
from app.text import search_text

ALIKE = 84.0  # of 100
SHORTEST = 3  # letters of a name that another one may begin with
MOST_COMPARED = 400
MOST_SUGGESTED = 6
NUMBER = re.compile(r"\d+")


def suggest(names: Sequence[Named]) -> list[tuple[Named, Named]]:
    """Pairs that are spelled alike, the most alike first; the one that is in more stands second,
    since the other would go into it."""
    folded = [(one, search_text(one.name, one.more)) for one in names[:MOST_COMPARED]]
    found: list[tuple[float, Named, Named]] = []
    for (a, of_a), (b, of_b) in combinations(folded, 2):
        if _numbers(of_a) == _numbers(of_b) and (near := likeness(a, b)) >= ALIKE:
            less, more = sorted((a, b), key=_weight)
            found.append((near, less, more))
    found.sort(key=lambda one: (-one[0], one[1].name, one[2].name))
    return [(less, more) for _, less, more in found[:MOST_SUGGESTED]]


def likeness(a: Named, b: Named) -> float:
    """Of 100: how alike two names of a kind are spelled, case and accents aside."""
    from rapidfuzz import fuzz  # only two pages need it, and each start would wait for it

    one, other = (" ".join(search_text(name.name).split()) for name in (a, b))
    short, long = sorted((one, other), key=len)
    if len(short) >= SHORTEST and long.startswith(short):
        return 90.0
    return max(fuzz.token_sort_ratio(one, other), fuzz.ratio(_bare(one), _bare(other)))


def _bare(text: str) -> str:
    return re.sub(r"\W+", "", text)


def _weight(name: Named) -> tuple[int, int]:
    return sum(count for count, _ in name.counts), -name.id


def _numbers(text: str) -> list[str]:
    """What tells a second lot from a first."""
    return NUMBER.findall(text)
