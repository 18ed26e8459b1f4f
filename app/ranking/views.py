"""The address of the order of recipes; it imports the sums, for which no other page has to wait."""

from flask import Blueprint
from werkzeug.wrappers import Response

pages = Blueprint("ranking", __name__, url_prefix="/ranking")


@pages.get("/")
def index() -> str | Response:
    from app.ranking.page import ranking_page

    return ranking_page()
