"""The formats that the pages of this app use, as the household chose them in its settings."""

import re
from collections.abc import Callable, Iterator

from flask import current_app, g, has_app_context
from jinja2 import pass_context
from jinja2.ext import Extension
from jinja2.lexer import Token, TokenStream
from jinja2.runtime import Context

from app.formats import JOINED, UNIT, Formats, ago_days, joined, ordinal
from app.sensory.gathered.words import counted

NAMES = (
    "number", "fixed", "amount", "grams", "unit", "shown", "digits", "clock", "day", "weekday",
    "moment", "hour", "money", "say", "decimals",
)  # fmt: skip


UNIT_AFTER_VALUE = re.compile(rf"^ (?={UNIT})")


class UnitsStay(Extension):
    """Joins numbers to their units in the words of templates, once, when these are compiled."""

    def filter_stream(self, stream: TokenStream) -> Iterator[Token]:
        before = ""
        for token in stream:
            text = token.value
            if token.type in ("data", "string"):
                text = joined(text)
            if token.type == "data" and before == "variable_end":
                text = UNIT_AFTER_VALUE.sub(JOINED, text)
            before = token.type
            yield Token(token.lineno, token.type, text)


class CurrentFormats:
    """The formats of one app; `now` is replaced when the household changes its settings."""

    def __init__(self) -> None:
        self.now = Formats()

    def filters(self) -> dict[str, Callable[..., object]]:
        """Template filters that always use the current formats."""
        return {name: self._follow(name) for name in NAMES} | {
            "ago_days": ago_days,
            "ordinal": ordinal,
            "counted": counted,
        }

    def _follow(self, name: str) -> Callable[..., object]:
        def write(_context: Context, *values: object) -> object:
            of_the_request = g.get("formats") if has_app_context() else None
            return getattr(of_the_request or self.now, name)(*values)

        # Jinja computes `90|amount('°C')` once, when it compiles the template, unless the filter
        # takes the context; but the household may change its units later.
        return pass_context(write)


def formats() -> Formats:
    """The formats of the running app, or of the form that was sent; the default ones outside."""
    if not has_app_context():
        return Formats()
    current: CurrentFormats = current_app.extensions["oddcup_formats"]
    of_the_request: Formats | None = g.get("formats")
    return of_the_request or current.now
