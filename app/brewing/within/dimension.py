"""The two sorts of limits: numbers with a least and a greatest, and kinds of things."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from app.brewing.sentences import Sentence
from app.brewing.within.facts import BrewFacts

Brews = Sequence[BrewFacts]


def everywhere(brew: BrewFacts) -> bool:
    """Every brew has it, noted or not."""
    return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbers:
    """A limit from the least to the greatest value. Values no further apart than `close` are one.

    `name` is what was not noted, `asked` what a question about it calls it, `rule` says how it is
    written; what is `aside` is written only where a question asks about it. `read` gives the value
    of a brew, `say` writes what was tested (the least, the greatest, whether these are all and
    apart), `sides` what lies beyond both (the same, with figures or without).
    """

    name: str
    asked: str = ""
    rule: str
    has: Callable[[BrewFacts], bool] = everywhere
    aside: bool = False
    read: Callable[[BrewFacts], float | None]
    say: Callable[[float, float, bool], Sentence | None]
    sides: Callable[[float, float, bool], Sentence | None]
    close: float = 0.0

    def known(self, brews: Brews) -> dict[int, float]:
        """The values noted, by brew."""
        noted = ((brew.id, self.read(brew)) for brew in brews if self.has(brew))
        return {brew_id: value for brew_id, value in noted if value is not None}

    def said(self, brews: Brews) -> Sentence | None:
        values = sorted(set(self.known(brews).values()))
        if not values:
            return None
        apart = len(values) == 2 and values[1] - values[0] > self.close
        return self.say(values[0], values[-1], apart)

    def differs(self, brews: Brews) -> bool:
        values = self.known(brews).values()
        return bool(values) and max(values) - min(values) > self.close

    def beyond(self, brews: Brews, with_figures: bool) -> Sentence | None:
        """What lies beyond the least and the greatest."""
        values = self.known(brews).values()
        return self.sides(min(values), max(values), with_figures) if values else None

    def goes_beyond(self, around: Brews, brews: Brews) -> bool:
        """Whether other brews of the journal lie outside of what was tested."""
        tested, others = self.known(brews).values(), self.known(around).values()
        if not tested or not others:
            return False
        low, high = min(tested) - self.close, max(tested) + self.close
        return min(others) < low or max(others) > high

    def ends(self, brews: Brews) -> tuple[int, ...]:
        """The brews with the least and the greatest value."""
        values = sorted((value, brew_id) for brew_id, value in self.known(brews).items())
        return tuple(dict.fromkeys((values[0][1], values[-1][1]))) if values else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Kinds:
    """A limit to some kinds of things; the first fields are those of `Numbers`.

    `read` names the kinds of a brew, `say` writes what these brews had. `others` writes kinds that
    were not tested, of those that there are (`all`; empty where there is no end of them).
    """

    name: str
    asked: str = ""
    rule: str
    has: Callable[[BrewFacts], bool] = everywhere
    aside: bool = False
    read: Callable[[BrewFacts], tuple[str, ...]]
    say: Callable[[Brews], Sentence | None]
    others: Callable[[frozenset[str]], Sentence | None]
    all: frozenset[str] = frozenset()

    def known(self, brews: Brews) -> dict[int, tuple[str, ...]]:
        """The kinds noted, by brew."""
        noted = ((brew.id, self.read(brew)) for brew in brews if self.has(brew))
        return {brew_id: kinds for brew_id, kinds in noted if any(kinds)}

    def kinds(self, brews: Brews) -> frozenset[str]:
        return frozenset(kind for kinds in self.known(brews).values() for kind in kinds)

    def said(self, brews: Brews) -> Sentence | None:
        noted = self.known(brews)
        return self.say([brew for brew in brews if brew.id in noted]) if noted else None

    def differs(self, brews: Brews) -> bool:
        return len({frozenset(kinds) for kinds in self.known(brews).values()}) > 1

    def beyond(self, brews: Brews, with_figures: bool) -> Sentence | None:
        """The kinds that were not tested."""
        tested, missing = self.kinds(brews), self.all - self.kinds(brews)
        return self.others(missing) if tested and (missing or not self.all) else None

    def goes_beyond(self, around: Brews, brews: Brews) -> bool:
        """Whether other brews of the journal had kinds that were not tested."""
        tested, others = self.kinds(brews), self.kinds(around)
        return bool(tested) and not (others & self.all if self.all else others) <= tested

    def ends(self, brews: Brews) -> tuple[int, ...]:
        """A brew of each kind, the first of it."""
        first: dict[str, int] = {}
        for brew_id, kinds in sorted(self.known(brews).items()):
            for kind in kinds:
                first.setdefault(kind, brew_id)
        return tuple(sorted(set(first.values())))


Dimension = Numbers | Kinds
