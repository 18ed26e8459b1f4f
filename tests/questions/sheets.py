"""Long lists of a question and of the inbox, walked by their links."""

from __future__ import annotations

import re
from collections.abc import Iterator

from flask.testing import FlaskClient


def walked(client: FlaskClient, address: str) -> Iterator[str]:
    """The sheets of a list, from the first to the last, by the links that lead on."""
    at: str | None = address
    while at:
        html = client.get(at).text
        yield html
        found = re.search(r'rel="next" href="([^"]+)"', html)
        at = found[1].replace("&amp;", "&") if found else None
