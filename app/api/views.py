"""The document of the API, for programs; people read `tokens/reference`."""

from flask import Blueprint, current_app
from werkzeug.wrappers import Response

from app.api.document import document
from app.web.api.shapes import answer

pages = Blueprint("api", __name__, url_prefix="/api/v1")


@pages.get("/openapi.json")
def openapi() -> Response:
    return answer(document(current_app))
