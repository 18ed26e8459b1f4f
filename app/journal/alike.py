"""Brewers that are alike: several objects, one cause.

Each stays a row of its own, since a filter sits in one of them and a brew was made in one of them.
What is compared, learned or grouped by brewer goes by `Brewer.first_id`.
"""

import re
from collections.abc import Callable, Iterable, Sequence
from typing import Protocol, TypeVar

from sqlalchemy import BindParameter, Select, select
from sqlalchemy.orm import Session, aliased

from app.models import Brewer
from app.models.base import NAME_CHARS

T = TypeVar("T")


class Named(Protocol):
    """A brewer, or a row of one."""

    @property
    def id(self) -> int: ...
    @property
    def first_id(self) -> int: ...
    @property
    def name(self) -> str: ...


def together(rows: Iterable[T], brewer_of: Callable[[T], Named]) -> list[T]:
    """By name of their brewers, those that are alike beside each other, from left to right."""
    brewers = [(brewer_of(row), row) for row in rows]
    heads: dict[int, str] = {}
    for brewer, _ in brewers:
        name = brewer.name.casefold()
        heads[brewer.first_id] = min(name, heads.get(brewer.first_id, name))
    brewers.sort(key=lambda of: (heads[of[0].first_id], of[0].first_id, *_place(of[0])))
    return [row for _, row in brewers]


def _place(brewer: Named) -> tuple[int, str, int]:
    return _side(brewer.name), brewer.name.casefold(), brewer.id


def alike_ids(brewer_id: int | BindParameter[int]) -> Select[int]:
    """The numbers of a brewer and of all that are alike to it, for a condition `in_`."""
    this = aliased(Brewer)
    first = select(this.first_id).where(this.id == brewer_id).scalar_subquery()
    return select(Brewer.id).where(Brewer.first_id == first)


def alike_to(session: Session, brewer: Brewer) -> list[Brewer]:
    """The others that are alike, the first of all first, those in the bin too."""
    others = select(Brewer).where(Brewer.first_id == brewer.first_id, Brewer.id != brewer.id)
    return list(session.scalars(others.order_by(Brewer.id)))


def left_to_right(session: Session, brewer_id: int) -> list[int]:
    """A brewer and those alike to it that are not in the bin, as they stand beside each other: what
    is called left, what is called neither, what is called right; among these the older one first.
    """
    query = select(Brewer.id, Brewer.name).where(Brewer.id.in_(alike_ids(brewer_id)))
    rows = session.execute(query.where(Brewer.binned_at.is_(None)).order_by(Brewer.id)).all()
    return [row.id for row in sorted(rows, key=lambda row: _side(row.name))]


def _side(name: str) -> int:
    words = re.findall(r"\w+", name.casefold())
    return ("right" in words) - ("left" in words)


def touched(session: Session, brewer: Brewer, other_id: int | None) -> list[Brewer]:
    """Whoever may become alike, or no longer, to another when `set_alike` is called with these.

    Whoever else marks brewers waits until this transaction ends, so that no chain comes about.
    """
    locked = select(Brewer).order_by(Brewer.id).with_for_update(key_share=True)
    rows = session.scalars(locked, execution_options={"populate_existing": True}).all()
    firsts = {row.first_id for row in rows if row.id in (brewer.id, other_id)}
    return [row for row in rows if row.first_id in firsts and row.id != brewer.id]


def set_alike(session: Session, brewer: Brewer, other_id: int | None) -> None:
    """Make a brewer alike to another and to all that are alike to that one; None: to no other.

    Raises ValueError with a sentence where they are of two kinds, or there is no such other.
    """
    rows = touched(session, brewer, other_id)
    joined = _as_one_with(other_id, rows) if other_id else []
    for other in joined:
        if other.kind != brewer.kind:
            raise ValueError(two_kinds(other.name, other.kind))
    _count_as_one([row for row in rows if row not in joined])
    _count_as_one([brewer, *joined])
    session.flush()


def _as_one_with(brewer_id: int, rows: Sequence[Brewer]) -> list[Brewer]:
    first_id = next((row.first_id for row in rows if row.id == brewer_id), None)
    if first_id is None:
        raise ValueError("Choose another brewer.")
    return [row for row in rows if row.first_id == first_id]


def two_kinds(name: str, kind: str) -> str:
    """Why two brewers cannot be alike."""
    return f"Alike brewers are of one kind, and {name} is of the kind {kind}."


def _count_as_one(rows: Sequence[Brewer]) -> None:
    ordered = sorted(rows, key=lambda row: row.id)
    for row in ordered:
        row.alike_to_id = None if row is ordered[0] else ordered[0].id


def one_more(session: Session, brewer: Brewer) -> Brewer:
    """A new brewer of the same kind and size with a name of its own, not marked as alike yet."""
    names = set(session.scalars(select(Brewer.name)))
    another = Brewer(
        name=another_name(brewer.name, names),
        kind=brewer.kind,
        capacity_g=brewer.capacity_g,
        capacity_dose_g=brewer.capacity_dose_g,
    )
    session.add(another)
    session.flush()
    return another


def another_name(name: str, taken: set[str]) -> str:
    """What stands beside the left one is the right one; after that they are counted."""
    for left, right in (("left", "right"), ("Left", "Right")):
        other = re.sub(rf"\b{left}\b", right, name)
        if other not in taken | {name}:
            return other
    ends = [", right", *(f", no. {number}" for number in range(3, len(taken) + 4))]
    named = (name[: NAME_CHARS - len(end)] + end for end in ends)
    return next(other for other in named if other not in taken)
