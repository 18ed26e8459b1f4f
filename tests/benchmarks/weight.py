"""Bytes of a first visit, uncompressed: a page's HTML and every style sheet and script it names."""

from __future__ import annotations

from html.parser import HTMLParser

from tests.benchmarks.result import Result
from tests.benchmarks.site import Site

MOST_BYTES = 60_000


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


def heaviest(site: Site) -> Result:
    """Of all pages that draw no chart, the heaviest."""
    weights = {name: weight(site, at) for name, at in site.pages().items()}
    name, parts = max(
        ((name, parts) for name, parts in weights.items() if parts),
        key=lambda one: sum(one[1].values()),
    )
    total = sum(parts.values())
    told = f"{total:,} of {MOST_BYTES:,}: " + ", ".join(f"{k} {v:,}" for k, v in parts.items())
    return Result(f"bytes of {name}, the heaviest", 1.0, total / MOST_BYTES, told)


def weight(site: Site, address: str) -> dict[str, int]:
    """Bytes by kind; nothing for a page with a chart."""
    page = site.get(address)
    if "style-src-attr" in page.headers["Content-Security-Policy"]:
        return {}
    named = _Named()
    named.feed(page.body.decode())
    parts = {"html": len(page.body), "css": 0, "js": 0}
    for file in dict.fromkeys(filter(None, named.found)):
        kind = "css" if file.split("?")[0].endswith(".css") else "js"
        parts[kind] += len(site.get(file).body)
    return parts
