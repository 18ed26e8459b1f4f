"""Brews under a question in groups that differ in one thing, with the mean liking of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Any

from app.journal.pairs.fairness import compare
from app.journal.pairs.setup import LABELS, TOLERANCES, Settings

NAMES = {label: name for name, label in LABELS.items()}


@dataclass(frozen=True, slots=True)
class Scored:
    """A brew: its settings, the value of each as written, its mean liking and who knew the cup."""

    settings: Settings
    texts: dict[str, str]
    liking: float | None
    blind: bool


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


def group(brews: Sequence[Scored], factor: str) -> Groups | None:
    """Brews by the factor asked about, or by the only thing that differs; None for fewer than 2."""
    if len(brews) < 2:
        return None
    apart = _apart(brews)
    label = factor if factor in NAMES else apart[0] if len(apart) == 1 else ""
    also = [one for one in apart if one != label]
    if not label:
        return Groups("", [], also)
    return Groups(label, [_group(label, members) for members in _sort(brews, label)], also)


def _apart(brews: Sequence[Scored]) -> list[str]:
    """What differs between the first brew and any other, in the order of LABELS."""
    found = {
        label
        for brew in brews[1:]
        for label in compare(brews[0].settings, brew.settings).named("differs")
    }
    return [label for label in LABELS.values() if label in found]


def _sort(brews: Sequence[Scored], label: str) -> list[list[Scored]]:
    """Members of each group, from the least value up, those without a value last."""
    name, sorted_brews = NAMES[label], sorted(brews, key=lambda brew: _order(brew, label))
    found: list[list[Scored]] = []
    for brew in sorted_brews:
        value = getattr(brew.settings, name)
        if found and _same(name, getattr(found[-1][0].settings, name), value):
            found[-1].append(brew)
        else:
            found.append([brew])
    return found


def _order(brew: Scored, label: str) -> tuple[int, float, str, str]:
    value: Any = getattr(brew.settings, NAMES[label])
    text = brew.texts.get(label, "")
    if is_number(NAMES[label], value):
        return 0, float(value), "", ""
    return (1, 0.0, text, str(value)) if text else (2, 0.0, "", "")


def is_number(name: str, value: Any) -> bool:
    """Whether more or less of this setting has a meaning."""
    return isinstance(value, int | float) and not (name.endswith("_id") or name == "flipped")


def _same(name: str, ours: Any, theirs: Any) -> bool:
    if is_number(name, ours) and is_number(name, theirs):
        return bool(abs(ours - theirs) <= TOLERANCES.get(name, 0.0) + 1e-9)
    return bool(ours == theirs)


def _group(label: str, members: Sequence[Scored]) -> Group:
    likings = tuple(brew.liking for brew in members if brew.liking is not None)
    first, last = (brew.texts.get(label) or "not noted" for brew in (members[0], members[-1]))
    value = first if first == last else f"{first} to {last}"
    return Group(value, len(members), likings, sum(brew.blind for brew in members))
