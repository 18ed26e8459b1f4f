"""A form counts once, however often it is sent: it carries a key, kept with what it saved."""

import hashlib
from functools import cache
from uuid import UUID, uuid4

from flask import g, request
from sqlalchemy import Select, bindparam, select
from sqlalchemy.orm import Session

from app.models import SavedForm
from app.web import clock

KEY_FIELD = "entry_key"
NOT_CONTENT = {KEY_FIELD, "csrf_token"}


class AlreadySavedError(Exception):
    """The form with this key was saved before."""

    def __init__(self, key: str) -> None:
        super().__init__(key)
        self.key = key


def claim(session: Session) -> SavedForm | None:
    """What is to be noted of the form of this request within a writing transaction, of which there
    is one at a time.

    None where it carries no key, or where this request has claimed it. Raises AlreadySavedError
    where it was saved before.
    """
    key = sent_key()
    if not key or g.get("claimed_form") == key:
        return None
    if content_saved(session, key) is not None:
        raise AlreadySavedError(key)
    return SavedForm(key=key, content=sent_content(), saved_at=clock.now())


def content_saved(session: Session, key: str) -> str | None:
    """The digest of what was saved with a key; None if nothing was."""
    return session.scalar(_content(), {"key": key})


@cache
def _content() -> Select[str]:
    return select(SavedForm.content).where(SavedForm.key == bindparam("key"))


def new_key() -> str:
    """For a form that is about to be shown."""
    return str(uuid4())


def sends(key: str, content: bytes) -> None:
    """What this request sends is no form: its key, and what it holds."""
    g.sent = key, hashlib.sha256(request.full_path.encode() + content).hexdigest()


def sent_key() -> str:
    """The key of the form that was sent; empty if it has none."""
    if "sent" in g:
        return str(g.sent[0])
    try:
        return str(UUID(request.form.get(KEY_FIELD, "")))
    except ValueError:
        return ""


def sent_content() -> str:
    """A digest of what was sent, files included."""
    if "sent" in g:
        return str(g.sent[1])
    digest = hashlib.sha256(request.full_path.encode())
    for name, value in sorted(request.form.items(multi=True)):
        if name not in NOT_CONTENT:
            digest.update(repr((name, value)).encode())
    for name, file in sorted(request.files.items(multi=True)):
        file.stream.seek(0)
        digest.update(repr((name, hashlib.sha256(file.stream.read()).digest())).encode())
        file.stream.seek(0)
    return digest.hexdigest()
