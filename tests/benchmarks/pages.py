"""Pages against what they cannot do without, and against themselves on a smaller journal.

The least a page costs is taken as the sum of three parts, each timed in the same run:
- a bare Flask reply;
- its rows by raw sqlite3: the statements that the page sends, listened to on SQLAlchemy's
  events once the page is warm, run with the same parameters on a connection of their own;
- its template on plain structures (plain.py): the call caught from Flask's template_rendered
  signal and rendered alone, after checking that it writes the very same page.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path

from flask import Flask

from tests.benchmarks.plain import plain
from tests.benchmarks.result import Result, ms
from tests.benchmarks.site import Recorded, Site, environ, reply
from tests.benchmarks.timing import medians

ROUNDS, ROUNDS_OF_ALL = 60, 25
BOUNDED = {
    "today.index": ("Today page", 2.0),
    "brews.index": ("brews list, 50 rows", 2.0),
    "side_by_side.show": ("side by side", 2.5),
    "bags.show": ("one bag's trends, 200 brews", 2.5),
    "lookback.index": ("looking back, a year of days", 2.5),
    "lookback.bags": ("looking back, nine bags", 2.5),
    "lookback.best": ("looking back, best cups", 2.5),
    "lookback.month": ("looking back, a month", 2.5),
    "groups.index": ("two groups of cups, 1000 brews", 2.5),
    "ranking.index": ("ranking of recipes, 200 side by sides", 2.5),
}
# What a page has to be asked for to show anything.
ASKED = {
    "groups.index": "?a-material=paper&a-use_to=1&b-material=paper&b-use_from=2",
    "ranking.index": "?every=1",
}
GROWTH = 1.3
DRAWN_ANEW = re.compile(rb'(name="(?:csrf_token|entry_key)" value=")[^"]*')


def against_the_least(site: Site, journal: Path) -> Iterator[Result]:
    addresses = site.addresses()
    with closing(sqlite3.connect(journal)) as raw:
        raw.execute("PRAGMA query_only = ON")
        for endpoint, (name, bound) in BOUNDED.items():
            address = addresses[endpoint] + ASKED.get(endpoint, "")
            yield _against_the_least(site, raw, address, name, bound)


def _against_the_least(
    site: Site, raw: sqlite3.Connection, address: str, name: str, bound: float
) -> Result:
    recorded = site.record(address)
    with ExitStack() as stack:
        took = medians(
            {
                "page": lambda: site.rendered(address),
                "reply": bare_reply(),
                "rows": lambda: replay(raw, recorded),
                "template": stack.enter_context(template_alone(site.app, address, recorded)),
            },
            ROUNDS,
        )
    least = took["reply"] + took["rows"] + took["template"]
    told = (
        f"{ms(took['page'])} / (reply {ms(took['reply'])} + rows {ms(took['rows'])} "
        f"+ template {ms(took['template'])}), {len(recorded.statements)} statements"
    )
    return Result(name, bound, took["page"] / least, told)


def bare_reply() -> Callable[[], object]:
    app = Flask("bare")
    app.add_url_rule("/", view_func=lambda: "ok")
    told = environ("/")
    return lambda: reply(app, told)


def replay(raw: sqlite3.Connection, recorded: Recorded) -> None:
    for statement, parameters in recorded.statements:
        raw.execute(statement, parameters).fetchall()


@contextmanager
def template_alone(app: Flask, address: str, recorded: Recorded) -> Iterator[Callable[[], object]]:
    """The render call on plain structures, inside a request as templates expect."""
    with app.test_request_context(address, base_url="http://127.0.0.1:8473/"):
        template = app.jinja_env.get_template(recorded.template)
        context = plain(recorded.context)
        same = DRAWN_ANEW.sub(rb"\1", template.render(context).encode())
        if same != DRAWN_ANEW.sub(rb"\1", recorded.body):
            raise RuntimeError(f"{address} drew another page from plain structures")
        yield lambda: template.render(context)


def against_the_smaller(many: Site, few: Site) -> Iterator[Result]:
    """Every page of the app, at 100,000 brews against 1,000."""
    large, small = many.pages(), few.pages()
    for name in large.keys() & small.keys():
        yield _growth(name, (many, large[name]), (few, small[name]))


def _growth(name: str, many: tuple[Site, str], few: tuple[Site, str]) -> Result:
    took = medians(
        {"many": lambda: many[0].rendered(many[1]), "few": lambda: few[0].rendered(few[1])},
        ROUNDS_OF_ALL,
    )
    sizes = [len(site.rendered(address)) for site, address in (many, few)]
    told = f"{ms(took['many'])} / {ms(took['few'])}, {sizes[0]:,} / {sizes[1]:,} bytes"
    return Result(f"growth of {name}", GROWTH, took["many"] / took["few"], told)
