"""What was not tested: the few neighbours of what was tested that tell most.

First what lies beyond the values that the question asks about; then what the household does
besides, as its latest brews show, that of which published models say that it matters before the
rest; then what else they say matters. Our own rule.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from app.brewing.sentences import Sentence
from app.brewing.within.dimension import Brews, Dimension
from app.brewing.within.order import EVERY, PUBLISHED, SAID_BY_COUNT
from app.brewing.within.words import MOST_FIGURES, figures

MOST = 5
WHY = (
    "It lies beyond what the question asks about.",
    "The latest brews of this journal lie there, and none of those that count.",
    "Published models, or common practice, say that it changes the cup.",
)


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Something that was not tested, and why it is named."""

    dimension: Dimension
    text: Sentence
    why: str


def untested(brews: Brews, around: Brews, asked: Sequence[Dimension]) -> list[Neighbour]:
    """At most five, the most telling first, with at most two figures among them."""
    found: list[Neighbour] = []
    left = MOST_FIGURES
    for dimension, why in _in_turn(brews, around, asked):
        text = dimension.beyond(brews, with_figures=True)
        if text is not None and figures(text) > left:
            text = dimension.beyond(brews, with_figures=False)
        if text is None:
            continue
        left -= figures(text)
        found.append(Neighbour(dimension, text, why))
        if len(found) == MOST:
            break
    return found


def _in_turn(
    brews: Brews, around: Brews, asked: Sequence[Dimension]
) -> list[tuple[Dimension, str]]:
    """Each once, with the first reason there is to name it."""
    of_asked, besides, published = WHY
    rest = [one for one in EVERY if one not in (*PUBLISHED, *SAID_BY_COUNT) and not one.aside]
    others = (*PUBLISHED, *rest)
    in_turn = [(one, of_asked) for one in asked]
    in_turn += [(one, besides) for one in others if one.goes_beyond(around, brews)]
    in_turn += [(one, published) for one in PUBLISHED]
    first: dict[str, tuple[Dimension, str]] = {}
    for one, why in in_turn:
        first.setdefault(one.name, (one, why))
    return list(first.values())
