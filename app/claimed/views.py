"""The page of all claims."""

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from app.journal.paging import page_of
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.session import reading

pages = Blueprint("claimed", __name__, url_prefix="/claimed")


@pages.get("/")
def index() -> str | Response:
    from app.claimed.as_table import CLAIM_COLUMNS, claim_line
    from app.claimed.words import looked_at, what_it_is_worth
    from app.journal.claims import claims_of

    claims = claims_of(reading(), clock.now())
    if asked_as_table():
        return as_table("claims", CLAIM_COLUMNS, map(claim_line, claims.rows))
    return render_template(
        "claimed/index.html",
        claims=claims,
        page=page_of(claims.rows, lambda row: row.key, request.args),
        looked_at=looked_at(claims),
        worth=what_it_is_worth(claims),
        zone=clock.browser_zone(),
    )
