"""Row numbers in URLs: digits that fit the database, nothing else."""

from __future__ import annotations

from werkzeug.routing import BaseConverter


class IdConverter(BaseConverter):
    regex = r"[1-9][0-9]{0,8}"

    def to_python(self, value: str) -> int:
        return int(value)

    def to_url(self, value: int) -> str:
        return str(value)
