"""The formats of the app at work, which follow the household's settings."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import current_app, has_app_context
from jinja2 import pass_context

from app.formats import Formats, ago_days, ordinal

NAMES = (
    "number", "fixed", "amount", "grams", "unit", "shown", "digits", "clock", "day", "weekday",
    "moment", "hour", "money", "say", "decimals",
)  # fmt: skip


class CurrentFormats:
    """The formats of one app, put in place anew when the household changes its settings."""

    def __init__(self) -> None:
        self.now = Formats()

    def filters(self) -> dict[str, Callable[..., Any]]:
        """Template filters that follow the change."""
        return {name: self._follow(name) for name in NAMES} | {
            "ago_days": ago_days,
            "ordinal": ordinal,
        }

    def _follow(self, name: str) -> Callable[..., Any]:
        # Asking for the context keeps Jinja from working out `90|amount('°C')` once and for all.
        return pass_context(lambda _context, *given: getattr(self.now, name)(*given))


def formats() -> Formats:
    """The formats of the app at work; plain ones outside of it."""
    if not has_app_context():
        return Formats()
    current: CurrentFormats = current_app.extensions["oddcup_formats"]
    return current.now
