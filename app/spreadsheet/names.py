"""The names of a sheet against those of the journal: what is there, and what would be new."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.recipes import pickable_revisions
from app.journal.rows import Query
from app.models import Bag, Bean, Brew, Brewer, FilterPack, Grinder, Taster
from app.spreadsheet.brews import SheetBrew
from app.text import search_text

Named = Brewer | Grinder | FilterPack | Taster


class BeanKey(NamedTuple):
    name: str
    roaster: str


class BagKey(NamedTuple):
    bean: BeanKey
    roasted_on: date | None


@dataclass
class IdsByName:
    """Ids of what the journal has, by folded names; new things get theirs as they are made."""

    beans: dict[BeanKey, int] = field(default_factory=dict)
    bags: dict[tuple[int, date | None], int] = field(default_factory=dict)
    brewers: dict[str, int] = field(default_factory=dict)
    grinders: dict[str, int] = field(default_factory=dict)
    packs: dict[str, int] = field(default_factory=dict)
    tasters: dict[str, int] = field(default_factory=dict)
    recipes: dict[str, int] = field(default_factory=dict)

    def bean(self, key: BeanKey) -> int | None:
        """The bean of this name and roaster; where no roaster is written, the first of the name."""
        if key in self.beans or key.roaster:
            return self.beans.get(key)
        return next((of for bean, of in self.beans.items() if bean.name == key.name), None)

    def bag(self, key: BagKey) -> int | None:
        bean = self.bean(key.bean)
        return None if bean is None else self.bags.get((bean, key.roasted_on))


@dataclass(frozen=True)
class Counts:
    """What an import would bring; names are as they are written in the sheet."""

    brews: int
    tastings: int
    beans: list[str]
    bags: int
    brewers: list[str]
    grinders: list[str]
    packs: list[str]
    tasters: list[str]
    recipes_noted: list[str]


def ids_by_name(session: Session) -> IdsByName:
    """All names of the journal that are not in the bin."""
    beans = session.execute(_there(select(Bean.name, Bean.roaster, Bean.id), Bean))
    bags = session.execute(_there(select(Bag.bean_id, Bag.roasted_on, Bag.id), Bag))
    return IdsByName(
        beans={BeanKey(search_text(name), search_text(by)): of for name, by, of in beans},
        bags={(bean, on): of for bean, on, of in bags},
        brewers=_by_name(session, Brewer),
        grinders=_by_name(session, Grinder),
        packs=_by_name(session, FilterPack),
        tasters=_earlier_names(session) | _by_name(session, Taster),
        recipes={
            search_text(row.name): row.revision_id for row in reversed(pickable_revisions(session))
        },
    )


def counts(brews: list[SheetBrew], there: IdsByName) -> Counts:
    def new(name: str, known_ids: dict[str, int]) -> list[str]:
        return _first_written(
            (brew.names[name] for brew in brews), lambda text: search_text(text) not in known_ids
        )

    bags = {bag_key(brew) for brew in brews}
    beans = {key.bean: "" for key in bags if there.bean(key.bean) is None}
    written = {bean_key(brew): brew.names["bean"] for brew in reversed(brews)}
    scored = [brew for brew in brews if is_tasted(brew)]
    tasters = _first_written(
        (brew.names["taster"] for brew in scored),
        lambda text: search_text(text) not in there.tasters,
    )
    return Counts(
        brews=len(brews), tastings=len(scored), beans=sorted(written[key] for key in beans),
        bags=sum(there.bag(key) is None for key in bags), brewers=new("brewer", there.brewers),
        grinders=new("grinder", there.grinders), packs=new("filter", there.packs),
        tasters=tasters, recipes_noted=new("recipe", there.recipes),
    )  # fmt: skip


def is_tasted(brew: SheetBrew) -> bool:
    return brew.liking is not None or bool(brew.taste_note and brew.names["taster"])


def bean_key(brew: SheetBrew) -> BeanKey:
    return BeanKey(search_text(brew.names["bean"]), search_text(brew.names["roaster"]))


def bag_key(brew: SheetBrew) -> BagKey:
    return BagKey(bean_key(brew), brew.roasted_on)


def there_already(session: Session, brews: list[SheetBrew]) -> list[int]:
    """Lines that the journal has as a brew: of the same minute, or day where no time is written,
    with the same dose, water and bean."""
    days = sorted({brew.brewed_on for brew in brews})
    if not days:
        return []
    rows = session.execute(
        select(Brew.brewed_on, Brew.brewed_at, Brew.dose_g, Brew.water_g, Bean.name)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Brew.binned_at.is_(None), Brew.brewed_on.between(days[0], days[-1]))
    )
    on_days, at_minutes = set(), set()
    for on, at, dose, water, bean in rows:
        same = (float(dose), float(water), search_text(bean))
        on_days.add((on, *same))
        at_minutes.add((at.replace(second=0, microsecond=0), *same))
    return [brew.number for brew in brews if _is_among(brew, on_days, at_minutes)]


def _is_among(
    brew: SheetBrew,
    on_days: set[tuple[date, float, float, str]],
    at_minutes: set[tuple[datetime, float, float, str]],
) -> bool:
    made = brew.amounts
    same = (float(made["dose_g"]), float(made["water_g"]), search_text(brew.names["bean"]))
    if brew.timed:
        return (brew.brewed_at, *same) in at_minutes
    return (brew.brewed_on, *same) in on_days


def _there(query: Query, table: type[Bean | Bag | Named]) -> Query:
    """Those not in the bin, the latest first, so that the earliest stays under a name."""
    return query.where(table.binned_at.is_(None)).order_by(table.id.desc())


def _by_name(session: Session, table: type[Named]) -> dict[str, int]:
    rows = session.execute(_there(select(table.name, table.id), table))
    return {search_text(name): of for name, of in rows}


def _earlier_names(session: Session) -> dict[str, int]:
    """Names of tasters who turned out to be another one, with the number of that one."""
    query = select(Taster.name, Taster.same_as_id).where(Taster.same_as_id.is_not(None))
    return {search_text(name): of for name, of in session.execute(query) if of is not None}


def _first_written(texts: Iterable[str], wanted: Callable[[str], bool]) -> list[str]:
    """Each name once, as it is written first, in order of the alphabet."""
    first: dict[str, str] = {}
    for text in texts:
        if text and wanted(text):
            first.setdefault(search_text(text), text)
    return sorted(first.values())
