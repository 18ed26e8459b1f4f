"""The page of all claims."""

from flask import Blueprint, render_template, request

from app.claimed.words import looked_at, what_it_is_worth
from app.journal.claims import claims_of
from app.journal.paging import page_of
from app.web import clock
from app.web.session import reading

pages = Blueprint("claimed", __name__, url_prefix="/claimed")


@pages.get("/")
def index() -> str:
    claims = claims_of(reading(), clock.now())
    return render_template(
        "claimed/index.html",
        claims=claims,
        page=page_of(claims.rows, lambda row: row.key, request.args),
        looked_at=looked_at(claims),
        worth=what_it_is_worth(claims),
        zone=clock.browser_zone(),
    )
