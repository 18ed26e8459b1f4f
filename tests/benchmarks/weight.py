"""Bytes of a first visit, uncompressed: a page's HTML and every style sheet and script it names."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser

from tests.benchmarks.result import Result
from tests.benchmarks.site import Site

PICTURE = b'<svg class="still'
MOST_BYTES, MOST_WITH_CHARTS = 60_000, 100_000


class _Named(HTMLParser):
    """The style sheets and scripts a page asks for."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "script":
            self.found.append(given.get("src") or "")
        elif tag == "link" and given.get("rel") in ("stylesheet", "modulepreload"):
            self.found.append(given.get("href") or "")


def heaviest(site: Site) -> Iterator[Result]:
    """Of all pages without a chart the heaviest, and of those with one, whose chart nobody has
    tapped yet."""
    pages = {name: (at, site.get(at).body) for name, at in site.pages().items()}
    for bound, of, charted in (
        (MOST_BYTES, "without charts", False),
        (MOST_WITH_CHARTS, "with charts", True),
    ):
        weights = {
            name: weight(site, body)
            for name, (_, body) in pages.items()
            if (PICTURE in body) is charted
        }
        name, parts = max(weights.items(), key=lambda one: sum(one[1].values()))
        total = sum(parts.values())
        told = f"{total:,} of {bound:,}: " + ", ".join(f"{k} {v:,}" for k, v in parts.items())
        yield Result(f"bytes of {name}, the heaviest {of}", 1.0, total / bound, told)


def weight(site: Site, body: bytes) -> dict[str, int]:
    """Bytes by kind, of a page and of all that it asks for by itself."""
    named = _Named()
    named.feed(body.decode())
    parts = {"html": len(body), "css": 0, "js": 0}
    for file in dict.fromkeys(filter(None, named.found)):
        kind = "css" if file.split("?")[0].endswith(".css") else "js"
        parts[kind] += len(site.get(file).body)
    return parts
