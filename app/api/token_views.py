"""Tokens for scripts, made and revoked on the journal's own machine, and what they are for."""

from pathlib import Path

from flask import Blueprint, abort, current_app, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.api.document import ABOUT, document
from app.api.forms import TokenForm
from app.api.reference import answers, chapters
from app.api.words import LEAD, may
from app.config import Config
from app.journal.tokens import add_token, revoke_token, tokens_in_use
from app.web import clock
from app.web.api.shapes import answer
from app.web.session import reading, writing

pages = Blueprint("tokens", __name__, url_prefix="/tokens")

EXAMPLE = Path(__file__).with_name("scale.txt")


@pages.get("/")
def index() -> str:
    return _page(TokenForm(data={"may_log_brews": True}))


@pages.post("/")
def make() -> str | tuple[str, int]:
    form = TokenForm(request.form)
    if not form.validate():
        return _page(form), 422
    with writing(keyed=False) as session:
        _, token = add_token(session, form.values(clock.now()), clock.now())
    return render_template("tokens/made.html", token=token, name=form.name.data, address=_address())


@pages.post("/<id:token_id>/revoke")
def revoke(token_id: int) -> Response:
    with writing(keyed=False) as session:
        name = revoke_token(session, token_id, clock.now()) or abort(404)
    flash(f"{name} is revoked and opens nothing more.")
    return redirect(url_for(".index"), 303)


@pages.get("/reference")
def reference() -> str:
    """What scripts can ask for, from the same document that programs read."""
    said = document(current_app)
    return render_template(
        "tokens/reference.html",
        about=ABOUT.replace("`", ""),
        chapters=chapters(said),
        answers=answers(said),
        example=EXAMPLE.read_text(encoding="utf-8"),
        address=_address(),
    )


@pages.get("/openapi.json")
def openapi() -> Response:
    return answer(document(current_app))


def _page(form: TokenForm) -> str:
    tokens = [(token, may(token)) for token in tokens_in_use(reading())]
    return render_template(
        "tokens/index.html",
        form=form,
        tokens=tokens,
        lead=LEAD,
        now=clock.now(),
        zone=clock.browser_zone(),
    )


def _address() -> str:
    config: Config = current_app.config["JOURNAL"]
    return f"http://127.0.0.1:{config.port}"
