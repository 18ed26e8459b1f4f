"""Cups of other days as they can be brewed today, and what is changed in one."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from sqlalchemy.orm import Session

from app.journal.alike import left_to_right
from app.journal.bags import open_bags
from app.journal.sittings.cups import CupLike, Value
from app.models import Bag, Brew
from app.sensory.terms import LETTERS, Letter

Cups = Mapping[Letter, CupLike]

OF_THE_BAG = {"bag", "days of rest"}


def brewable(session: Session, cups: Cups, factors: Sequence[str]) -> Cups:
    """With beans that are still there and two of the brewers that are alike, unless the question is
    about these."""
    bags = {letter: _bag_of(session, cup) for letter, cup in cups.items()}
    if not OF_THE_BAG & set(factors):
        bags = {letter: _open_bag(session, bag) for letter, bag in bags.items()}
    changed = {
        letter: _changed(session, cup, "bag_id", bags[letter]) for letter, cup in cups.items()
    }
    brewers = {letter: _value(session, cup, "brewer_id") for letter, cup in changed.items()}
    one = brewers["A"]
    if isinstance(one, int) and one == brewers["B"] and len(two := left_to_right(session, one)) > 1:
        changed = {
            letter: _changed(session, changed[letter], "brewer_id", brewer_id)
            for letter, brewer_id in zip(LETTERS, two, strict=False)
        }
    return changed


def _bag_of(session: Session, cup: CupLike) -> int:
    bag_id = _value(session, cup, "bag_id")
    return bag_id if isinstance(bag_id, int) else 0


def _open_bag(session: Session, bag_id: int) -> int:
    """The bag itself, or where it is finished the one that was brewed from last."""
    bag = session.get(Bag, bag_id)
    if bag is None or (bag.finished_on is None and bag.binned_at is None):
        return bag_id
    return next((row.id for row in open_bags(session, most=1)), bag_id)


def _value(session: Session, cup: CupLike, name: str) -> Value:
    if name in cup.changes:
        return cup.changes[name]
    value: Value = getattr(session.get_one(Brew, cup.like_id), name)
    return value


def _changed(session: Session, cup: CupLike, name: str, value: Value) -> CupLike:
    return tidied(session, replace(cup, changes={**cup.changes, name: value}))


def from_bag(cup: CupLike, bag_id: int) -> CupLike:
    return replace(cup, changes={**cup.changes, "bag_id": bag_id})


def tidied(session: Session, cup: CupLike) -> CupLike:
    """Only what is not as in its brew counts as changed."""
    brew = session.get_one(Brew, cup.like_id)
    apart = {name: value for name, value in cup.changes.items() if getattr(brew, name) != value}
    return replace(cup, changes=apart)
