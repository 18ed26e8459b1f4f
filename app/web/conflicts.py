"""The pages that ask which of two versions is meant, so that none is lost."""

from flask import Flask, flash, redirect, render_template, request
from werkzeug.wrappers import Response

from app.models import SavedForm
from app.web import clock
from app.web.changing import MINE, TAKE, THEIRS, ClashError, sent_form
from app.web.form_text import differences, is_part, typed_in
from app.web.household import UNITS_FIELD
from app.web.saved_forms import (
    KEY_FIELD,
    AlreadySavedError,
    content_saved,
    new_key,
    sent_content,
    sent_key,
)
from app.web.session import reading

Answer = Response | tuple[str, int]
NOT_FIELDS = {"csrf_token", KEY_FIELD, "seen", UNITS_FIELD}


def handle(app: Flask) -> None:
    app.jinja_env.globals.update(new_key=new_key)
    app.before_request(_notice_sent_again)
    app.register_error_handler(ClashError, _ask_which)
    app.register_error_handler(AlreadySavedError, _answer_again)


def _ask_which(clash: ClashError) -> Answer:
    session = reading()
    found = differences(clash.base(session), clash.theirs, clash.mine)
    mine, theirs = sent_form(), typed_in(clash.theirs)
    names = {difference.name for difference in found}
    done = [row for rows in (clash.since(session) or {}).values() for row in rows]
    page = render_template(
        "conflict.html",
        differences=found,
        done=sorted(done, key=lambda row: row.changed_at),
        version=clash.edited.version,
        unchanged=_sent_fields(names),
        both=[
            (prefix + key, value)
            for name in names
            for prefix, values in ((MINE, mine), (THEIRS, theirs))
            for key, value in values.items(multi=True)
            if is_part(key, name)
        ],
        take=TAKE,
        zone=clock.browser_zone(),
        photo=any(file.filename for file in request.files.values()),
    )
    return page, 409


def _notice_sent_again() -> None:
    """Before a view finds that what was free when the form was saved is now taken by it."""
    key = sent_key() if request.method == "POST" else ""
    saved = content_saved(reading(), key) if key else None
    if saved is not None and saved == sent_content():
        raise AlreadySavedError(key)


def _answer_again(error: AlreadySavedError) -> Answer:
    """The same once more is what is there; anything else is asked about."""
    saved = reading().get_one(SavedForm, error.key)
    address = saved.address or _where_it_was_sent_from()
    if saved.content == sent_content():
        flash("This was saved already; it is in the journal once.")
        return redirect(address, 303)
    page = render_template(
        "saved_before.html",
        address=address,
        change_address=saved.change_address,
        saved_at=saved.saved_at,
        zone=clock.browser_zone(),
        fields=_sent_fields(set()),
        photo=any(file.filename for file in request.files.values()),
    )
    return page, 409


def _sent_fields(without: set[str]) -> list[tuple[str, str]]:
    return [
        (name, value)
        for name, value in sent_form().items(multi=True)
        if name not in NOT_FIELDS
        and not name.startswith((TAKE, MINE, THEIRS))
        and not any(is_part(name, of) for of in without)
    ]


def _where_it_was_sent_from() -> str:
    """The page that had the form, if it is one of ours."""
    own, referrer = request.host_url, request.referrer or ""
    return "/" + referrer.removeprefix(own).lstrip("/") if referrer.startswith(own) else "/"
