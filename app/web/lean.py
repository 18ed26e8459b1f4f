"""Sheets and scripts on their way out: without the comments and the indentation of their files."""

import re
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, current_app
from werkzeug.security import safe_join

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_AROUND_LINE = re.compile(r"\s*\n\s*")
_NEEDLESS_END = re.compile(r"(?<=[{;,}])\n|\n(?=})")
_COMMENT_LINE = re.compile(r"^//.*\n", re.MULTILINE)


def lean_css(sheet: str) -> str:
    """
    >>> lean_css("/* Rows */\\na {\\n  top: 0;\\n  b: 1px\\n    2px;\\n}\\n")
    'a {top: 0;b: 1px\\n2px;}'
    """
    return _NEEDLESS_END.sub("", _AROUND_LINE.sub("\n", _COMMENT.sub("", sheet)).strip())


def lean_js(script: str) -> str:
    """Line by line, as a line may end a statement. No text of ours goes over several lines.

    >>> lean_js("// Says it.\\nif (a) {\\n  // Twice.\\n  b(); // now\\n}\\n")
    'if (a) {\\nb(); // now\\n}\\n'
    """
    return _COMMENT_LINE.sub("", _AROUND_LINE.sub("\n", f"\n{script}").lstrip("\n"))


LEAN = {".css": (lean_css, "text/css"), ".js": (lean_js, "text/javascript")}


def serve_lean(app: Flask) -> None:
    """Files of other kinds are served as they are."""
    app.view_functions["static"] = _static


def _static(filename: str) -> Response:
    path = safe_join(str(current_app.static_folder), filename)
    kind = LEAN.get(Path(filename).suffix)
    if kind is None or path is None or not Path(path).is_file():
        return current_app.send_static_file(filename)
    response = Response(_lean(path, Path(path).stat().st_mtime_ns), mimetype=kind[1])
    response.headers["Cache-Control"] = "no-cache"  # one named by its hash is kept for ever
    return response


@lru_cache
def _lean(path: str, _changed_ns: int) -> bytes:
    kind = LEAN[Path(path).suffix]
    return kind[0](Path(path).read_text(encoding="utf-8")).encode()
