"""Addresses whose half that writes them, in links, is made when a link first needs it."""

from collections.abc import Callable
from functools import cache

from werkzeug.routing import Rule

Build = Callable[..., tuple[str, str]]


class Address(Rule):
    """An address that Flask knows at once, and writes from the first link to it on.

    Werkzeug writes two functions for each of them as Python and compiles it: for 280 addresses
    that is a quarter of the time that importing Flask takes, and the first page links to twenty.
    """

    def _compile_builder(self, append_unknown: bool = True) -> Build:
        compiled = cache(super()._compile_builder)
        return lambda rule, **values: compiled(append_unknown)(rule, **values)
