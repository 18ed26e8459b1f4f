"""Writing a brew: one function to add, one to change, within the caller's transaction."""

from __future__ import annotations

from datetime import datetime
from uuid import uuid4

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brews.forms import BrewForm, FilterChoice
from app.journal.blind.tying import tie
from app.journal.packs import take_fresh
from app.models import Bag, Bean, Brew, Brewer, BrewPhoto, Filter, FilterUse, local_date
from app.text import search_text

VALUES = (
    "bag_id", "brewer_id", "grinder_id", "water_id", "revision_id", "grind", "grind_setting",
    "dose_g", "water_g", "water_temp_c", "steep_s", "press_s", "press_effort", "flipped", "stirs",
    "beverage_g", "tds_pct", "note",
)  # fmt: skip


def add_brew(session: Session, form: BrewForm, moment: datetime, zone: str) -> Brew:
    """A new brew from a valid form; the same form sent twice gives the brew already there.

    Raises ValueError with a sentence when a pack has run empty meanwhile.
    """
    there = brew_of_key(session, form)
    if there is not None:
        return there
    brew = Brew(entry_key=_key(form) or str(uuid4()), zone=zone)
    _set_values(session, brew, form, moment)
    brew.stack = []
    session.add(brew)
    session.flush()
    _set_stack(session, brew, form)
    return brew


def brew_of_key(session: Session, form: BrewForm) -> Brew | None:
    """The brew that this very form has saved before, if it has."""
    return session.scalars(select(Brew).where(Brew.entry_key == _key(form))).first()


def _key(form: BrewForm) -> str:
    return (form.entry_key.data or "")[:36]


def change_brew(session: Session, brew: Brew, form: BrewForm, moment: datetime) -> None:
    """The brew, loaded with its stack in this session, as the valid form says."""
    _set_values(session, brew, form, moment)
    session.flush()
    _set_stack(session, brew, form)


def tie_to_trial(session: Session, form: BrewForm, brew: Brew) -> str | None:
    """Tie the brew to the blind trial it was logged for; why not, where it cannot be."""
    return tie(session, *form.for_trial, brew.id) if form.for_trial else None


def keep_photo(session: Session, brew_id: int, jpeg: bytes, alt: str) -> None:
    session.merge(BrewPhoto(brew_id=brew_id, jpeg=jpeg, alt=alt))


def _set_values(session: Session, brew: Brew, form: BrewForm, moment: datetime) -> None:
    _make_what_is_new(session, form)
    for name in VALUES:
        setattr(brew, name, form[name].data)
    brew.bypass_g = form.bypass_g.data or 0.0
    brew.ice_g = form.ice_g.data or 0.0
    brew.note_search = search_text(brew.note)
    brew.brewed_at = moment
    brew.brewed_on = local_date(moment, brew.zone)


def _make_what_is_new(session: Session, form: BrewForm) -> None:
    if form.new_bean.data:
        bag = Bag(bean=Bean(name=form.new_bean.data))
        session.add(bag)
        session.flush()
        form.bag_id.data = bag.id
    kind = form.new_brewer_kind.data
    if kind:
        brewer = Brewer(name=kind.capitalize(), kind=kind)
        session.add(brewer)
        session.flush()
        form.brewer_id.data = brewer.id


def _set_stack(session: Session, brew: Brew, form: BrewForm) -> None:
    wanted: dict[int, int] = {}
    for position, (choice, retire) in enumerate(form.stack(), start=1):
        wanted[position] = _filter_id(session, choice)
        if retire:
            _retire(session, wanted[position], brew)
    if wanted == {use.position: use.filter_id for use in brew.stack}:
        return
    brew.stack.clear()
    session.flush()
    brew.stack.extend(
        FilterUse(position=position, filter_id=filter_id, brewed_at=brew.brewed_at)
        for position, filter_id in wanted.items()
    )


def _filter_id(session: Session, choice: FilterChoice) -> int:
    if choice.filter_id is not None:
        return choice.filter_id
    return take_fresh(session, choice.pack_id or 0).id


def _retire(session: Session, filter_id: int, brew: Brew) -> None:
    used = session.get_one(Filter, filter_id)
    used.retired_on = used.retired_on or brew.brewed_on
