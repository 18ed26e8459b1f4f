"""The sessions of a request: one for reading, short ones for writing."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress

from flask import current_app, g, request
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from app.database import Database
from app.models import SavedForm
from app.web import clock
from app.web.saved_forms import claim
from app.web.security import SAFE_METHODS


def database() -> Database:
    db: Database = current_app.extensions["oddcup_database"]
    return db


def reading() -> Session:
    """This request's session for reading; it cannot write, and closes with the request."""
    if "reading_session" not in g:
        g.reading_session = database().read_session()
    session: Session = g.reading_session
    return session


@contextmanager
def writing(*, to: str = "", change_address: str = "", keyed: bool = True) -> Iterator[Session]:
    """One short writing transaction: on disk when the block ends, undone if it raises.

    The form of the request counts once: if it was saved before, AlreadySavedError is raised before
    the block begins. `to` is where what it saves is shown, `change_address` where it is changed;
    what is only known in the block is said by `saved_at`. A form that may be sent again and again
    is not `keyed`.
    """
    if request.method in SAFE_METHODS:
        raise RuntimeError(f"{request.method} of {request.endpoint} must not write.")
    close_reading()
    device = g.get("device")
    with database().writing() as session:
        session.info.update(now=clock.now(), device=device.name if device else "")
        saved = claim(session) if keyed and request.method == "POST" else None
        session.info["saved_form"] = saved
        saved_at(session, to, change_address)
        yield session
        if saved:
            session.add(saved)  # not before its addresses are known
    g.saved = True  # an error page must not say that nothing was
    if saved:
        g.claimed_form = saved.key


def saved_at(session: Session, to: str, change_address: str = "") -> None:
    """Where to see what this request saves, for when its form is sent once more."""
    saved: SavedForm | None = session.info["saved_form"]
    if saved:
        saved.address, saved.change_address = to, change_address


def close_reading(_error: BaseException | None = None) -> None:
    session: Session | None = g.pop("reading_session", None)
    if session is not None:
        with suppress(SQLAlchemyError):  # nothing hangs on how a reading ends
            session.close()
