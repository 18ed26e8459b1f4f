"""Tasters, beans and roasters with what each of them is in."""

from collections import Counter
from collections.abc import Callable, Iterable
from typing import Literal, NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.models import Bag, Bean, BlindTaster, Brew, Taster, Tasting

NameKind = Literal["taster", "bean", "roaster"]
KINDS: tuple[NameKind, ...] = ("taster", "bean", "roaster")


class Named(NamedTuple):
    """A name and the row it stands for, a roaster that of its first bean; `more` tells it from
    others of the same name. `counts` are what it is in: how many, and of what."""

    kind: NameKind
    id: int
    name: str
    more: str
    counts: tuple[tuple[int, str], ...]


def listed(session: Session, kind: NameKind) -> list[Named]:
    """All of a kind by name, those in the bin left out; a number of statements that stays."""
    of: dict[NameKind, Callable[[Session], list[Named]]] = {
        "taster": _tasters, "bean": _beans, "roaster": _roasters,
    }  # fmt: skip
    return sorted(of[kind](session), key=lambda one: (one.name.casefold(), one.id))


def one_named(session: Session, kind: NameKind, row_id: int) -> Named | None:
    return next((one for one in listed(session, kind) if one.id == row_id), None)


def _tasters(session: Session) -> list[Named]:
    tastings = dict(session.execute(
        select(Tasting.taster_id, func.count()).where(Tasting.binned_at.is_(None))
        .group_by(Tasting.taster_id)
    ).all())  # fmt: skip
    seats = select(func.coalesce(Taster.same_as_id, Taster.id), func.count()).select_from(Taster)
    seats = seats.join(BlindTaster, BlindTaster.taster_id == Taster.id)
    tests = dict(session.execute(
        seats.group_by(func.coalesce(Taster.same_as_id, Taster.id))
    ).all())  # fmt: skip
    rows = session.execute(select(Taster.id, Taster.name).where(Taster.binned_at.is_(None)))
    return [
        Named("taster", row.id, row.name, "", (
            (tastings.get(row.id, 0), "tasting"), (tests.get(row.id, 0), "blind test"),
        ))
        for row in rows
    ]  # fmt: skip


def _beans(session: Session) -> list[Named]:
    bags, brews = _of_beans(session)
    query = select(Bean.id, Bean.name, Bean.roaster, Bean.origin, Bean.process)
    return [
        Named("bean", row.id, row.name, " · ".join(filter(None, row[2:])),
              ((bags[row.id], "bag"), (brews[row.id], "brew")))
        for row in session.execute(query.where(Bean.binned_at.is_(None)))
    ]  # fmt: skip


def _roasters(session: Session) -> list[Named]:
    bags, _ = _of_beans(session)
    query = select(Bean.id, Bean.roaster).where(Bean.roaster != "", Bean.binned_at.is_(None))
    beans: dict[str, list[int]] = {}
    for row in session.execute(query.order_by(Bean.id)):
        beans.setdefault(row.roaster, []).append(row.id)
    return [
        Named("roaster", ids[0], name, "",
              ((len(ids), "bean"), (_sum(bags, ids), "bag")))
        for name, ids in beans.items()
    ]  # fmt: skip


def _of_beans(session: Session) -> tuple[Counter[int], Counter[int]]:
    """How many bags and brews of each bean, those in the bin left out."""
    of_bag = dict(session.execute(
        select(Brew.bag_id, func.count()).where(Brew.binned_at.is_(None)).group_by(Brew.bag_id)
    ).all())  # fmt: skip
    bags: Counter[int] = Counter()
    brews: Counter[int] = Counter()
    for row in session.execute(select(Bag.id, Bag.bean_id, Bag.binned_at)):
        bags[row.bean_id] += row.binned_at is None
        brews[row.bean_id] += of_bag.get(row.id, 0)
    return bags, brews


def _sum(counts: Counter[int], ids: Iterable[int]) -> int:
    return sum(counts[row_id] for row_id in ids)
