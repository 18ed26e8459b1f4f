"""Brews under a question in groups that differ in one thing, with the mean liking of each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import TypeGuard

from app.journal.pairs.fairness import compare, listed
from app.journal.pairs.pair import Side
from app.journal.pairs.setup import LABELS, TOLERANCES

NAMES = {label: name for name, label in LABELS.items()}


@dataclass(frozen=True, slots=True)
class BrewLine:
    """A brew, its settings as written by their labels, and its mean liking."""

    side: Side
    texts: Mapping[str, str]
    liking: float | None

    @property
    def blind(self) -> bool:
        """Whether it was scored, and only by tasters who did not know which brew it was."""
        scored = [row.blind for row in self.side.tastings if row.liking is not None]
        return bool(scored) and all(scored)


@dataclass(frozen=True, slots=True)
class Group:
    """Brews with one value of what differs; mean liking over those scored."""

    value: str
    brews: int
    likings: tuple[float, ...]
    blind: int

    @property
    def mean(self) -> float | None:
        return fmean(self.likings) if self.likings else None


@dataclass(frozen=True, slots=True)
class Groups:
    """Groups by `label`, and what else differs beyond its tolerance; no groups without a label."""

    label: str
    groups: list[Group]
    also: list[str]


def group(brews: Sequence[BrewLine], factor: str) -> Groups | None:
    """Brews by the factor asked about, or by the only thing that differs; None for fewer than 2."""
    if len(brews) < 2:
        return None
    apart = _apart(brews)
    label = factor if factor in NAMES else apart[0] if len(apart) == 1 else ""
    also = [other for other in apart if other != label]
    if not label:
        return Groups("", [], also)
    return Groups(label, [_group(label, members) for members in _sort(brews, label)], also)


def _apart(brews: Sequence[BrewLine]) -> list[str]:
    """What differs between the first brew and any other, in the order of LABELS."""
    first, *rest = (brew.side.setup for brew in brews)
    differing = {label for setup in rest for label in compare(first, setup).named("differs")}
    return [label for label in LABELS.values() if label in differing]


def _sort(brews: Sequence[BrewLine], label: str) -> list[list[BrewLine]]:
    """Members of each group, from the least value up, those without a value last."""
    name = NAMES[label]
    groups: list[list[BrewLine]] = []
    # What has several names, as brewers that are alike, stands where the first of them does.
    texts: dict[object, str] = {}
    for brew in brews:
        value, text = getattr(brew.side.setup, name), brew.texts.get(label, "")
        texts[value] = min(text, texts.get(value, text))
    for brew in sorted(brews, key=lambda brew: _order(brew, name, texts)):
        value = getattr(brew.side.setup, name)
        if groups and _same(name, getattr(groups[-1][0].side.setup, name), value):
            groups[-1].append(brew)
        else:
            groups.append([brew])
    return groups


def _order(brew: BrewLine, name: str, texts: Mapping[object, str]) -> tuple[int, float, str, str]:
    value: object = getattr(brew.side.setup, name)
    text = texts[value]
    if is_number(value, name):
        return 0, float(value), "", ""
    return (1, 0.0, text, str(value)) if text else (2, 0.0, "", "")


def is_number(value: object, name: str) -> TypeGuard[float]:
    """Whether more or less of this setting has a meaning."""
    return isinstance(value, int | float) and not (name.endswith("_id") or name == "flipped")


def _same(name: str, ours: object, theirs: object) -> bool:
    if is_number(ours, name) and is_number(theirs, name):
        return abs(ours - theirs) <= TOLERANCES.get(name, 0.0) + 1e-9
    return ours == theirs


def _group(label: str, members: Sequence[BrewLine]) -> Group:
    likings = tuple(brew.liking for brew in members if brew.liking is not None)
    texts = [brew.texts.get(label) or "not noted" for brew in members]
    first, last = texts[0], texts[-1]
    value = first if first == last else f"{first} to {last}"
    if NAMES[label] == "first_brewer_id":
        value = listed(sorted(set(texts)))
    return Group(value, len(members), likings, sum(brew.blind for brew in members))
