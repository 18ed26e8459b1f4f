"""Static files at URLs that carry a hash of their content, so that browsers cache them for ever."""

import gzip
import hashlib
from functools import lru_cache
from importlib.metadata import Distribution, distribution
from pathlib import Path

from flask import Flask, Response, current_app, request, url_for

from app.web.lean import serve_lean

FOR_EVER = "public, max-age=31536000, immutable"


def serve_assets(app: Flask) -> None:
    app.jinja_env.globals.update(asset=asset, plotly_url=plotly_url)
    app.add_url_rule("/vendor/plotly-<version>.js", "plotly", plotly)
    app.after_request(_cache_hashed)
    serve_lean(app)


def asset(name: str) -> str:
    static = Path(str(current_app.static_folder)) / name
    return url_for("static", filename=name, v=_hash(str(static), static.stat().st_mtime_ns))


def plotly_url() -> str:
    return url_for("plotly", version=_plotly().version)


def plotly(version: str) -> Response:
    """Plotly's own script from the installed package, compressed once per process."""
    if "gzip" not in request.headers.get("Accept-Encoding", ""):
        return Response(_plotly_script(), mimetype="text/javascript")
    response = Response(_plotly_gzip(), mimetype="text/javascript")
    response.headers["Content-Encoding"] = "gzip"
    response.headers["Vary"] = "Accept-Encoding"
    if version == _plotly().version:
        response.headers["Cache-Control"] = FOR_EVER
    return response


def _cache_hashed(response: Response) -> Response:
    if request.endpoint == "static" and "v" in request.args and response.status_code == 200:
        response.headers["Cache-Control"] = FOR_EVER
    return response


@lru_cache
def _hash(path: str, _changed_ns: int) -> str:
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()[:10]


@lru_cache
def _plotly() -> Distribution:
    return distribution("plotly")


def _plotly_script() -> bytes:
    return Path(str(_plotly().locate_file("plotly/package_data/plotly.min.js"))).read_bytes()


@lru_cache
def _plotly_gzip() -> bytes:
    return gzip.compress(_plotly_script(), compresslevel=6)
