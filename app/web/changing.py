"""Changing what somebody else may change meanwhile: a form carries the version it was shown."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Generic, TypeVar

from flask import abort, g, request
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session
from werkzeug.datastructures import MultiDict
from wtforms import Form

from app.journal.history import (
    ChangeRow,
    Thing,
    change_numbered,
    changes_since,
    hold,
    parsed_version,
    record,
    version_of,
)
from app.models.history import FieldText
from app.web import clock
from app.web.fields import number_or_none
from app.web.form_text import changed, is_part, keep_digits, text_of, typed_in
from app.web.formats import formats
from app.web.session import reading, writing

F = TypeVar("F", bound=Form)
# How the page of a clash sends both versions of a field, and which one to take.
TAKE, MINE, THEIRS, TAKE_ALL = "take-", "mine-", "theirs-", "take_all"


@dataclass(frozen=True)
class Edited(Generic[F]):
    """Things as they stand, in the form that changes them.

    The form's fields are those of the first of `things`, but for those in `fields_of` another.
    """

    stands: F
    things: tuple[Thing, ...]
    fields_of: dict[Thing, frozenset[str]]
    version: str

    def opened(self) -> F:
        """The form as it was sent; when its page is opened, as things stand, or as they stood
        before a change that is asked for."""
        if request.method == "POST":
            return type(self.stands)(sent_form())
        number = number_or_none(request.args.get("before_change"))
        if number is None:
            return self.stands
        change = change_numbered(reading(), self.things[0], number) or abort(404)
        g.before_change = formats().moment(change.changed_at, clock.browser_zone())
        return type(self.stands)(typed_in(change.before))

    @contextmanager
    def saving(self, form: F, *, to: str) -> Iterator[Session]:
        """The transaction that saves `form`, and notes what that changes.

        Raises ClashError where somebody changed the things since the form was shown.
        """
        clash = ClashError(self, text_of(self.stands), text_of(form))
        try:
            with writing(to=to) as session:
                hold(session, self.things)
                if version_of(session, self.things) != self.version or clash.overwrites(session):
                    raise clash
                self._record(session, clash.theirs, changed(clash.theirs, clash.mine))
                keep_digits(form, self.stands)
                yield session
        except IntegrityError as error:
            if not _same_number_twice(error):
                raise
            raise clash from error

    def part(self, thing: Thing, texts: list[FieldText]) -> list[FieldText]:
        """Those of the fields that belong to this thing."""
        if thing in self.fields_of:
            return [text for text in texts if text["name"] in self.fields_of[thing]]
        others = {name for names in self.fields_of.values() for name in names}
        return [text for text in texts if text["name"] not in others]

    def _record(self, session: Session, before: list[FieldText], after: list[FieldText]) -> None:
        """The whole form with the first thing, so that all of it can be brought back there."""
        first, *others = self.things
        if after:
            record(session, first, before, after)
        for thing in others:
            if mine := self.part(thing, after):
                record(session, thing, self.part(thing, before), mine)


def edited(
    stands: F, *things: Thing, fields_of: dict[Thing, frozenset[str]] | None = None
) -> Edited[F]:
    """The form of these things, filled in as this request's reading session finds them."""
    version = version_of(reading(), things)
    g.seen = request.form.get("seen", version)
    return Edited(stands, things, fields_of or {}, version)


class ClashError(Exception):
    """Somebody changed what a form is about after it was shown: what stands, and what was sent."""

    def __init__(self, edited: Edited[F], theirs: list[FieldText], mine: list[FieldText]) -> None:
        super().__init__("Changed meanwhile.")
        self.edited, self.theirs, self.mine = edited, theirs, mine

    def overwrites(self, session: Session) -> bool:
        """Whether saving would undo, or not heed, what was done since the form was shown."""
        if request.form.get("seen") == self.edited.version:
            return False
        since = self.since(session)
        if since is None:
            return bool(changed(self.theirs, self.mine))
        done = any(row.what for rows in since.values() for row in rows)
        moved = changed(self.base(session), self.theirs)
        return done or bool(moved and changed(self.theirs, self.mine))

    def since(self, session: Session) -> dict[Thing, list[ChangeRow]] | None:
        """What was done since the form was shown; None if the form says no version."""
        seen = parsed_version(request.form.get("seen", ""), self.edited.things)
        if seen is None:
            return None
        return {thing: changes_since(session, thing, number) for thing, number in seen.items()}

    def base(self, session: Session) -> list[FieldText]:
        """What the form showed before it was filled in."""
        base: list[FieldText] = []
        for thing, rows in (self.since(session) or {}).items():
            first = next((row.before for row in rows if row.before), self.theirs)
            base += self.edited.part(thing, first)
        return base


@contextmanager
def noting(session: Session, thing: Thing, what: str, filled: Callable[[], Form]) -> Iterator[None]:
    """Note what the block does to a thing beside its form, which `filled` fills in as it stands."""
    before = text_of(filled())
    yield
    if after := changed(before, text_of(filled())):
        record(session, thing, before, after, what)


def sent_form() -> MultiDict[str, str]:
    """The form as it was sent; from the page of a clash, with the version taken of each field."""
    fields = MultiDict(request.form)
    whole = fields.get(TAKE_ALL)
    for name in [key.removeprefix(TAKE) for key in fields if key.startswith(TAKE)]:
        side = THEIRS if (whole or fields[TAKE + name]) == "theirs" else MINE
        taken = [key for key in fields if is_part(key, side + name)]
        for key in [key for key in fields if is_part(key, name)]:
            del fields[key]
        for key in taken:
            fields.setlist(key.removeprefix(side), fields.getlist(key))
        if not taken:
            fields[name] = ""
    return fields


def _same_number_twice(error: IntegrityError) -> bool:
    """Whether two transactions beside each other noted a change of one thing."""
    text = str(error.orig)
    return "uq_change" in text or "change.number" in text
