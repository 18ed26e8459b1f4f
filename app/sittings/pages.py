"""The blueprint that the views of sittings share."""

from flask import Blueprint, abort, redirect, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.models import Sitting

pages = Blueprint("sittings", __name__, url_prefix="/sittings")

Answer = str | Response | tuple[str, int]


def sitting_or_404(session: Session, sitting_id: int) -> Sitting:
    return session.get(Sitting, sitting_id) or abort(404)


def to_sheet(sitting_id: int) -> Response:
    return redirect(url_for("sittings.show", sitting_id=sitting_id), 303)
