"""The sessions of a request: one for reading, short ones for writing."""

from collections.abc import Iterator
from contextlib import contextmanager

from flask import current_app, g
from sqlalchemy.orm import Session

from app.database import Database


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
def writing() -> Iterator[Session]:
    """One short writing transaction: on disk when the block ends, undone if it raises."""
    close_reading()
    with database().write_session() as session, session.begin():
        yield session


def close_reading(_error: BaseException | None = None) -> None:
    session: Session | None = g.pop("reading_session", None)
    if session is not None:
        session.close()
