"""Which cups make a group: a filter of the journal, as conditions on brews and tastings."""

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from datetime import UTC, date, datetime, time, timedelta

from sqlalchemy import ColumnElement, Select, case, extract, func, literal, select, true, tuple_
from sqlalchemy.orm import Session, aliased

from app.database import while_unchanged
from app.journal.alike import alike_ids
from app.journal.tastings import counted
from app.models import Brew, Filter, FilterPack, FilterUse, RecipeRevision, Tasting

WEEKEND = (0, 6)  # as the database counts, Sunday first
DAYS = ("weekdays", "weekends")

Condition = ColumnElement[bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the cups of a group have in common; what is None or empty may be anything.

    The use of a filter is the highest in the stack, of paper and cloth only. `stack` is how many
    filters there were. `brewer` stands for all that are alike to it.
    """

    bag: int | None = None
    recipe: int | None = None
    brewer: int | None = None
    grinder: int | None = None
    water: int | None = None
    pack: int | None = None
    material: str = ""
    stack: int | None = None
    use_from: int | None = None
    use_to: int | None = None
    grind: str = ""
    setting_from: float | None = None
    setting_to: float | None = None
    taster: int | None = None
    days: str = ""
    since: date | None = None
    until: date | None = None

    def within(self, other: "Wanted") -> "Wanted":
        """With what the other asks for, where this one asks for nothing."""
        empty = {name: getattr(other, name) for name in NAMES if not is_given(getattr(self, name))}
        return replace(self, **empty)

    def given(self) -> dict[str, object]:
        return {name: value for name in NAMES if is_given(value := getattr(self, name))}


NAMES = tuple(field.name for field in fields(Wanted))


def is_given(value: object) -> bool:
    return value is not None and value != ""


def conditions(session: Session, wanted: Wanted) -> list[Condition]:
    """What has to hold for a brew; a taster is asked for in `scored`."""
    return [
        *(column == value for column, value in _equal(wanted) if is_given(value)),
        *_of_gear(wanted),
        *_of_filters(wanted),
        *_of_days(wanted),
        *_of_setting(session, wanted),
    ]


def scored(wanted: Wanted) -> Condition:
    """Whether a brew has a score that counts, by the taster asked for."""
    tasted = select(Tasting.id).where(
        Tasting.brew_id == Brew.id, *counted(), Tasting.liking.is_not(None)
    )
    if wanted.taster:
        tasted = tasted.where(Tasting.taster_id == wanted.taster)
    return tasted.correlate(Brew).exists()


def _equal(wanted: Wanted) -> Iterable[tuple[ColumnElement[object], object]]:
    return (
        (Brew.bag_id, wanted.bag),
        # Of most brews: by their index, nearly all would be read and sorted by time.
        (Brew.grinder_id + 0, wanted.grinder),
        (Brew.water_id + 0, wanted.water),
        (Brew.grind, wanted.grind),
    )  # type: ignore[return-value]


def _of_gear(wanted: Wanted) -> Iterable[Condition]:
    if wanted.recipe:
        of_recipe = select(RecipeRevision.id).where(RecipeRevision.recipe_id == wanted.recipe)
        yield Brew.revision_id.in_(of_recipe)
    if wanted.brewer:
        yield (Brew.brewer_id + 0).in_(alike_ids(wanted.brewer))


def _of_filters(wanted: Wanted) -> Iterable[Condition]:
    if wanted.stack is not None:
        used = select(func.count()).where(FilterUse.brew_id == Brew.id).correlate(Brew)
        yield used.scalar_subquery() == wanted.stack
    if wanted.pack or wanted.material:
        in_it = (
            select(FilterUse.brew_id)
            .join(Filter, Filter.id == FilterUse.filter_id)
            .join(FilterPack, FilterPack.id == Filter.pack_id)
            .where(FilterUse.brew_id == Brew.id)
            .correlate(Brew)
        )
        if wanted.pack:
            in_it = in_it.where(FilterPack.id == wanted.pack)
        if wanted.material:
            in_it = in_it.where(FilterPack.material == wanted.material)
        yield in_it.exists()
    yield from _of_uses(wanted)


def _of_uses(wanted: Wanted) -> Iterable[Condition]:
    """By whether there was an earlier use that makes it so many: none is counted to its end."""
    if wanted.use_from is None and wanted.use_to is None:
        return
    if wanted.use_from is None:
        yield _worn().exists()
    if wanted.use_from is not None:
        yield _used_as_often_as(wanted.use_from)
    if wanted.use_to is not None:
        yield ~_used_as_often_as(wanted.use_to + 1)


def _used_as_often_as(number: int) -> Condition:
    """Whether it was at least this use of a paper or cloth filter."""
    needed = number - 1  # uses before it, those before the journal among them
    if needed < 1:
        return _worn().exists()
    before = _before(FilterUse)
    so_many = before.with_only_columns(literal(1)).limit(1).offset(needed - 1).scalar_subquery()
    in_all = Filter.prior_uses + before.with_only_columns(func.count()).scalar_subquery()
    return (
        _worn()
        .where(
            case(
                (Filter.prior_uses >= needed, true()),
                (Filter.prior_uses == 0, so_many.is_not(None)),
                else_=in_all >= needed,
            )
        )
        .exists()
    )


def use_number() -> ColumnElement[int | None]:
    """A column: which use it was of the paper or cloth filter of the brew that was used most."""
    before = _before(FilterUse).with_only_columns(func.count()).scalar_subquery()
    highest = _worn().with_only_columns(func.max(Filter.prior_uses + 1 + before))
    return highest.scalar_subquery()


def _worn() -> Select[int]:
    """The uses in a brew of filters that wear."""
    return (
        select(FilterUse.brew_id)
        .join(Filter, Filter.id == FilterUse.filter_id)
        .join(FilterPack, FilterPack.id == Filter.pack_id)
        .where(FilterUse.brew_id == Brew.id, FilterPack.material != "metal")
        .correlate(Brew)
    )


def _before(use: type[FilterUse]) -> Select[int]:
    """Earlier uses of its filter."""
    earlier, other = aliased(FilterUse), aliased(Brew)
    in_the_bin = select(other.id).where(other.binned_at.is_not(None))
    this, that = (tuple_(one.brewed_at, one.brew_id) for one in (use, earlier))
    return (
        select(earlier.brew_id)
        .where(earlier.filter_id == use.filter_id, that < this, earlier.brew_id.not_in(in_the_bin))
        .correlate(FilterUse, Filter)
    )


def _of_days(wanted: Wanted) -> Iterable[Condition]:
    if wanted.days:
        weekend = extract("dow", Brew.brewed_on).in_(WEEKEND)
        yield weekend if wanted.days == "weekends" else ~weekend
    if wanted.since:
        yield Brew.brewed_on >= wanted.since
        yield Brew.brewed_at >= _midnight(wanted.since, -1)
    if wanted.until:
        yield Brew.brewed_on <= wanted.until
        yield Brew.brewed_at <= _midnight(wanted.until, 2)


def _midnight(day: date, days: int) -> datetime:
    """Midnight some days off, outside the day in every zone, so that the index on time helps."""
    return datetime.combine(day + timedelta(days=days), time(), UTC)


def _of_setting(session: Session, wanted: Wanted) -> Iterable[Condition]:
    """Settings are text in the journal; those that are numbers are compared as numbers."""
    low, high = wanted.setting_from, wanted.setting_to
    if low is None and high is None:
        return
    every = while_unchanged(session, "grind settings", lambda: _settings(session))
    fits = [
        text
        for text, number in every
        if (low is None or number >= low) and (high is None or number <= high)
    ]
    yield Brew.grind_setting.in_(fits)


def _settings(session: Session) -> list[tuple[str, float]]:
    texts = session.scalars(select(Brew.grind_setting).distinct()).all()
    return [(text, number) for text in texts if (number := setting_number(text)) is not None]


def setting_number(text: str) -> float | None:
    """14 and 14,5; None for a setting that is not a number."""
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None
