"""Static files at URLs that carry a hash of their content, so that browsers cache them for ever."""

import hashlib
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, current_app, g, request, url_for

from app.web.lean import serve_lean
from app.web.plotly_script import FOR_EVER, serve_plotly


def serve_assets(app: Flask, cache: Path) -> None:
    app.jinja_env.globals.update(asset=asset)
    serve_plotly(app, cache)
    app.after_request(_cache_hashed)
    serve_lean(app)


def asset(name: str) -> str:
    static = Path(str(current_app.static_folder)) / name
    return url_for("static", filename=name, v=_hash(str(static), static.stat().st_mtime_ns))


def show_charts(*, live: bool = True) -> None:
    """The page being answered has charts: layout.html loads their sheet, and where any of them can
    become live their script."""
    g.charts, g.live_charts = True, live


def _cache_hashed(response: Response) -> Response:
    if request.endpoint == "static" and "v" in request.args and response.status_code == 200:
        response.headers["Cache-Control"] = FOR_EVER
    return response


@lru_cache
def _hash(path: str, _changed_ns: int) -> str:
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()[:10]
