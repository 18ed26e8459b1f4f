"""What A and B are, in words: as the plan says it, with the brews, recipes and filters it points
at. Every card and page of a trial prints this, so that nobody has to go by the test's name."""

from typing import NamedTuple

from sqlalchemy.orm import Session

from app.blind.pages import brews_in_words
from app.journal.blind.linked import filter_names, revision_names
from app.models import BlindTest
from app.sensory.terms import LETTERS, Letter
from app.text import search_text


class CupInWords(NamedTuple):
    """The plan's own words, and what they point at (may be empty)."""

    words: str
    linked: str

    @property
    def in_full(self) -> str:
        return f"{self.words} ({self.linked})" if self.linked else self.words


Cups = dict[Letter, CupInWords]


def cups_of(session: Session, test: BlindTest) -> Cups:
    return {letter: _cup(session, test, letter) for letter in LETTERS}


def _cup(session: Session, test: BlindTest, letter: Letter) -> CupInWords:
    def part(name: str) -> int | None:
        value: int | None = getattr(test, f"{letter.lower()}_{name}")
        return value

    brew, revision, used = part("brew_id"), part("revision_id"), part("filter_id")
    linked = []
    if brew:
        linked.append(brews_in_words(session, [brew]).get(brew, ""))
    if revision:
        linked.append(revision_names(session, [revision]).get(revision, ""))
    if used:
        name = filter_names(session, [used]).get(used, "")
        linked.append(f"{name}, use {part('filter_use')}")
    words = test.a_words if letter == "A" else test.b_words
    return CupInWords(words, ", ".join(one for one in linked if one and one not in words))


def says_b_first(title: str, a_words: str, b_words: str) -> bool:
    """Whether a name speaks of B before A, by the words that only one of the two has: who pours by
    the name would then pour the cups swapped."""
    a, b = (set(search_text(words).split()) for words in (a_words, b_words))
    named = search_text(title).split()
    first = [
        next((at for at, word in enumerate(named) if word in only and len(word) > 2), None)
        for only in (a - b, b - a)
    ]
    return None not in first and first[1] < first[0]  # type: ignore[operator]
