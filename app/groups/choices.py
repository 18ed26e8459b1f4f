"""What groups can be chosen from: the lists of the form, names by number, and ready pairs."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from app.formats import Formats
from app.groups.address import Asked
from app.groups.forms import STACKS, GroupForm
from app.journal.gear import pick_list
from app.journal.groups.wanted import Wanted
from app.journal.people import people
from app.journal.rows import columns_of, rows_as
from app.journal.tastings import tasters
from app.models import Bag, Bean, Brew, Brewer, FilterPack, Grinder, Recipe, RecipeRevision, Water
from app.web.fields import PickField, WordField

MOST_LISTED = 40
LATEST_BREWS = 400

Names = Mapping[str, Mapping[int, str]]


def read_names(session: Session, asked: Asked, formats: Formats) -> Names:
    """(id: name) for each list of the form, and of what the address names even if it is gone."""
    parts = (asked.both, asked.a, asked.b)

    def also(name: str) -> set[int]:
        return {getattr(part, name) for part in parts} - {None}

    return {
        "bag": _bags(session, also("bag"), formats),
        "recipe": _named(session, Recipe, also("recipe")),
        "brewer": dict(pick_list(session, Brewer)) | _named(session, Brewer, also("brewer")),
        "grinder": _named(session, Grinder, also("grinder")),
        "water": _named(session, Water, also("water")),
        "pack": _named(session, FilterPack, also("pack")),
        "taster": dict(tasters(session)),
        "stack": STACKS,
    }


Named = type[Recipe] | type[Brewer] | type[Grinder] | type[Water] | type[FilterPack]


def _named(session: Session, thing: Named, also: Iterable[int]) -> dict[int, str]:
    """The newest rows of a kind, by name."""
    newest = select(thing.id).where(thing.binned_at.is_(None)).order_by(thing.id.desc())
    wanted = or_(thing.id.in_(newest.limit(MOST_LISTED).scalar_subquery()), thing.id.in_(also))
    rows = session.execute(select(thing.id, thing.name).where(wanted))
    return dict(sorted(((row.id, row.name) for row in rows), key=lambda row: row[1].casefold()))


def _bags(session: Session, also: Iterable[int], formats: Formats) -> dict[int, str]:
    newest = select(Bag.id).where(Bag.binned_at.is_(None)).order_by(Bag.id.desc())
    wanted = or_(Bag.id.in_(newest.limit(MOST_LISTED).scalar_subquery()), Bag.id.in_(also))
    query = select(Bag.id, Bean.name, Bag.opened_on).join(Bean, Bean.id == Bag.bean_id)
    rows = session.execute(query.where(wanted).order_by(Bag.id.desc()))
    return {
        row.id: f"{row.name}, opened {formats.day(row.opened_on)}" if row.opened_on else row.name
        for row in rows
    }


def of_today(session: Session, asked: Asked) -> Asked:
    """A taster who was merged into another since the address was made is that other one."""
    parts = {name: getattr(asked, name) for name in ("both", "a", "b")}
    if not any(part.taster for part in parts.values()):
        return asked
    now = {n: people(session, [n]) for part in parts.values() if (n := part.taster)}
    today = {
        name: replace(part, taster=next(iter(now[part.taster]), part.taster))
        for name, part in parts.items()
        if part.taster
    }
    return replace(asked, **today)


def fill_lists(forms: Iterable[GroupForm], names: Names) -> None:
    for form in forms:
        for field in form:
            if isinstance(field, PickField):
                field.pick_from(names[field.short_name.rpartition("-")[2]].items(), none="any")
            elif isinstance(field, WordField):
                field.choices = {word: word or "any" for word in field.words}


class Preset(NamedTuple):
    """Two groups in one tap."""

    label: str
    asked: Asked


class _Latest(NamedTuple):
    bag_id: int
    first_brewer_id: int
    grinder_id: int | None
    water_id: int | None
    recipe_id: int | None


def presets(session: Session, names: Names) -> list[Preset]:
    """Pairs of groups that many ask for, and those of what was brewed with most of late."""
    pairs = [
        ("Fresh papers / used papers", Wanted(use_to=1, material="paper"),
         Wanted(use_from=2, material="paper")),
        ("Paper / metal", Wanted(material="paper"), Wanted(material="metal")),
        ("Paper / cloth", Wanted(material="paper"), Wanted(material="cloth")),
        ("One filter / two stacked", Wanted(stack=1), Wanted(stack=2)),
        ("Weekdays / weekends", Wanted(days="weekdays"), Wanted(days="weekends")),
    ]  # fmt: skip
    pairs += _of_late(session, names)
    return [Preset(label, Asked(a=a, b=b)) for label, a, b in pairs]


def _of_late(session: Session, names: Names) -> list[tuple[str, Wanted, Wanted]]:
    query = (
        select(*columns_of(_Latest, Brew, first_brewer_id=Brewer.first_id,
                           recipe_id=RecipeRevision.recipe_id))
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .where(Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(LATEST_BREWS)
    )  # fmt: skip
    rows = rows_as(_Latest, session, query)
    kinds: dict[str, tuple[Callable[[_Latest], int | None], Callable[[int], Wanted]]] = {
        "bag": (lambda row: row.bag_id, lambda n: Wanted(bag=n)),
        "recipe": (lambda row: row.recipe_id, lambda n: Wanted(recipe=n)),
        "brewer": (lambda row: row.first_brewer_id, lambda n: Wanted(brewer=n)),
        "grinder": (lambda row: row.grinder_id, lambda n: Wanted(grinder=n)),
        "water": (lambda row: row.water_id, lambda n: Wanted(water=n)),
    }
    found = []
    for kind, (number, wanted) in kinds.items():
        counts = Counter(n for row in rows if (n := number(row)) in names[kind])
        if len(counts) > 1:
            (a, _), (b, _) = counts.most_common(2)
            label = f"{names[kind][a or 0]} / {names[kind][b or 0]}"
            found.append((label, wanted(a or 0), wanted(b or 0)))
    return found
