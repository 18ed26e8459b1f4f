"""A sent brew form checked as a whole: its fields, its moment, what it points at, its photo."""

from datetime import datetime
from functools import cache

from sqlalchemy import Select, and_, bindparam, or_, select
from sqlalchemy.orm import Session

from app.brewing.strength.cup import Cup
from app.brewing.strength.possible import impossible
from app.brews.forms import BrewForm, FilterField
from app.brews.photos import small_jpeg
from app.models import Bag, Brew, Brewer, Filter, Grinder, RecipeRevision, Water
from app.web import clock

BINNABLE: dict[str, type[Bag] | type[Brewer] | type[Grinder] | type[Water]] = {
    "bag_id": Bag,
    "brewer_id": Brewer,
    "grinder_id": Grinder,
    "water_id": Water,
}
PICKED = (*BINNABLE, "revision_id")


def check(
    session: Session, form: BrewForm, zone: str, brew: Brew | None = None
) -> tuple[datetime | None, bytes | None]:
    """When it was brewed, and the photo, of a valid form; no moment where the form has errors.

    `brew` is the one being changed.
    """
    before, jpeg = brew.brewed_at if brew else None, None
    valid = form.validate() and _possible(session, form)
    valid &= _all_there(session, form, brew)
    moment = before or clock.now()
    if form.brewed_at.data is not None:
        try:
            moment = clock.from_wall(form.brewed_at.data, zone, before)
        except ValueError as error:
            form.brewed_at.errors, valid = [*form.brewed_at.errors, str(error)], False
    try:
        jpeg = small_jpeg(form.photo.data)
    except ValueError as error:
        form.photo.errors, valid = [*form.photo.errors, str(error)], False
    return (moment if valid else None), jpeg


def _possible(session: Session, form: BrewForm) -> bool:
    """Whether a brew can have these numbers, with a message beside each that it cannot."""
    if form.beverage_g.data is None and form.measured_pct is None:
        return True
    kind = form.new_brewer_kind.data or session.scalar(
        select(Brewer.kind).where(Brewer.id == form.brewer_id.data)
    )
    if not kind:
        return True
    cup = Cup(
        kind, form.dose_g.data, form.water_g.data, form.bypass_g.data or 0.0,
        form.ice_g.data or 0.0, beverage_g=form.beverage_g.data, tds_pct=form.measured_pct,
        brix=form.brix.data,
    )  # fmt: skip
    found = impossible(cup)
    for name, sentence in found.items():
        form[name].errors = [*form[name].errors, sentence]
    return not found


def _all_there(session: Session, form: BrewForm, brew: Brew | None) -> bool:
    """Whether all that is picked exists, with a message beside each pick that does not. What was
    picked is looked up by id; the `brew` being changed may keep what was binned or retired since.
    """
    picked = {name: form[name].data for name in PICKED}
    before = {f"before_{name}": getattr(brew, name, None) for name in BINNABLE}
    existing = session.execute(_existing(), picked | before).mappings().one()
    missing = [form[name] for name in PICKED if picked[name] and not existing[name]]
    missing += _missing_filters(session, form, brew)
    for field in missing:
        field.errors = [*field.errors, "Please choose one from the list."]
    return not missing


def _missing_filters(session: Session, form: BrewForm, brew: Brew | None) -> list[FilterField]:
    wanted = {slot: slot.choice.filter_id for slot in form.slots if slot.choice}
    ids = [filter_id for filter_id in wanted.values() if filter_id]
    if not ids:
        return []
    used_before = [use.filter_id for use in brew.stack] if brew else []
    existing = set(session.scalars(_usable(), {"ids": ids, "used_before": used_before}))
    return [slot for slot, filter_id in wanted.items() if filter_id and filter_id not in existing]


@cache
def _usable() -> Select[int]:
    """Filters that can be chosen, and those used before."""
    usable = and_(Filter.retired_on.is_(None), Filter.binned_at.is_(None))
    used_before = Filter.id.in_(bindparam("used_before", expanding=True))
    wanted = Filter.id.in_(bindparam("ids", expanding=True))
    return select(Filter.id).where(wanted, or_(usable, used_before))


@cache
def _existing() -> Select[*tuple[object, ...]]:
    rows = {
        name: select(model.id).where(
            model.id == bindparam(name),
            or_(model.binned_at.is_(None), model.id == bindparam(f"before_{name}")),
        )
        for name, model in BINNABLE.items()
    }
    wanted = RecipeRevision.id == bindparam("revision_id")
    rows["revision_id"] = select(RecipeRevision.id).where(wanted)
    return select(*(row.scalar_subquery().label(name) for name, row in rows.items()))
