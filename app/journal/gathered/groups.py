"""Brews under a question in groups that differ in what it asks about, with their mean liking."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import TypeGuard

from app.brewing.tolerances import TOLERANCES
from app.journal.pairs.fairness import compare, listed
from app.journal.pairs.pair import Side
from app.journal.pairs.setup import LABELS

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
    members: tuple[BrewLine, ...]
    likings: tuple[float, ...]
    blind: int

    @property
    def brews(self) -> int:
        return len(self.members)

    @property
    def mean(self) -> float | None:
        return fmean(self.likings) if self.likings else None


@dataclass(frozen=True, slots=True)
class Groups:
    """Groups by `labels`, and what else differs beyond its tolerance; no groups without a label.
    `mixed` are labels of which no two groups differ in this one alone."""

    labels: Sequence[str]
    groups: list[Group]
    also: list[str]
    mixed: list[str]

    @property
    def label(self) -> str:
        """dose; dose and steep."""
        return listed(self.labels)


def group(brews: Sequence[BrewLine], factors: Sequence[str]) -> Groups | None:
    """Brews by what is asked about and differs, or by the only thing that does; None for fewer than
    2."""
    if len(brews) < 2:
        return None
    apart = _apart(brews)
    asked = [label for label in LABELS.values() if label in factors]
    labels = [label for label in apart if label in asked] or asked
    if not asked and len(apart) == 1:
        labels = apart
    also = [other for other in apart if other not in labels]
    if not labels:
        return Groups((), [], also, [])
    members = _split(brews, labels)
    mixed = [label for label in labels if not _alone(label, labels, members)]
    found = [_group(labels, each) for each in members]
    return Groups(labels, found, also, mixed if len(labels) > 1 else [])


def _apart(brews: Sequence[BrewLine]) -> list[str]:
    """What differs between the first brew and any other, in the order of LABELS."""
    first, *rest = (brew.side.setup for brew in brews)
    differing = {label for setup in rest for label in compare(first, setup).named("differs")}
    return [label for label in LABELS.values() if label in differing]


def _split(brews: Sequence[BrewLine], labels: Sequence[str]) -> list[Sequence[BrewLine]]:
    """Groups by the first label, each of them by the next."""
    if not labels:
        return [brews]
    return [part for each in _sort(brews, labels[0]) for part in _split(each, labels[1:])]


def _alone(label: str, labels: Sequence[str], groups: Sequence[Sequence[BrewLine]]) -> bool:
    """Whether two of the groups differ in this label and in no other of them."""
    firsts = [members[0].side.setup for members in groups]
    for place, one in enumerate(firsts):
        for other in firsts[:place]:
            differing = [
                each for each in labels
                if not _same(name := NAMES[each], getattr(one, name), getattr(other, name))
            ]  # fmt: skip
            if differing == [label]:
                return True
    return False


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


def _group(labels: Sequence[str], members: Sequence[BrewLine]) -> Group:
    likings = tuple(brew.liking for brew in members if brew.liking is not None)
    value = "; ".join(value_of(label, members) for label in labels)
    return Group(value, tuple(members), likings, sum(brew.blind for brew in members))


def value_of(label: str, members: Sequence[BrewLine]) -> str:
    """What is noted of a setting for all of a group; "not noted" where nothing is."""
    in_order = [brew for part in _sort(members, label) for brew in part]
    texts = [brew.texts.get(label) or "not noted" for brew in in_order]
    if NAMES[label] == "first_brewer_id":
        return listed(sorted(set(texts)))
    first, last = texts[0], texts[-1]
    return first if first == last else f"{first} to {last}"
