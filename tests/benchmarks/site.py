"""The app on a generated journal, called as the server calls it, without a network between."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from flask import Flask, template_rendered
from sqlalchemy import event, text
from werkzeug.routing import Rule
from werkzeug.test import EnvironBuilder

from app import create_app
from app.config import Config
from app.journal.paging import write_mark
from tests.benchmarks.rows import BIG_BAG, LAST, METAL_FILTER, ZONE
from tests.benchmarks.rows_asked import FULL_QUESTION, SITTINGS
from tests.benchmarks.rows_blind import OPEN_TEST
from tests.support.addresses import is_api

NOW = LAST + timedelta(days=1)
LEFT_OUT = {"static", "plotly", "brews.photo"}
FULL_PACK = 2
PAIR_OF_BIG_BAG = """
    SELECT brew_a_id, brew_b_id FROM side_by_side JOIN brew ON brew.id = brew_a_id
    WHERE bag_id = :bag ORDER BY side_by_side.id LIMIT 1
"""
# Only an immersion brew has a curve over its steep: else one journal has an answer, the other none.
STEEPED = """
    SELECT max(brew.id) FROM brew JOIN brewer ON brewer.id = brewer_id
    WHERE kind = 'immersion' AND steep_s IS NOT NULL AND brew.binned_at IS NULL
"""
LAST_TRIAL = "SELECT max(id) FROM trial WHERE test_id = :test"


@dataclass(frozen=True)
class Reply:
    status: int
    headers: dict[str, str]
    body: bytes


@dataclass(frozen=True)
class Recorded:
    """What a page asked of the database, and what it handed to its template."""

    statements: list[tuple[str, Any]]
    template: str
    context: dict[str, Any]
    body: bytes


class Site:
    def __init__(self, journal: Path) -> None:
        url = f"sqlite:///{journal}"
        self.app = create_app(Config(url=url, home=journal.parent, secret_key="bench"))  # noqa: S106
        self.app.config.update(CLOCK=lambda: NOW, ZONE=ZONE)
        self.database = self.app.extensions["oddcup_database"]

    def close(self) -> None:
        self.database.dispose()

    def get(self, address: str) -> Reply:
        return reply(self.app, environ(address))

    def rendered(self, address: str) -> bytes:
        """The page, which must be there."""
        found = self.get(address)
        if found.status != 200:
            raise RuntimeError(f"{address} answered {found.status}")
        return found.body

    def record(self, address: str) -> Recorded:
        """One warm run of the page, listened to."""
        self.rendered(address)
        with self.listening() as statements, _templates(self.app) as templates:
            body = self.rendered(address)
        ((name, context),) = templates
        return Recorded(statements, name, context, body)

    @contextmanager
    def listening(self) -> Iterator[list[tuple[str, Any]]]:
        heard: list[tuple[str, Any]] = []

        def note(_c: Any, _k: Any, statement: str, parameters: Any, *_: Any) -> None:
            heard.append((statement, parameters))

        event.listen(self.database.engine, "before_cursor_execute", note)
        try:
            yield heard
        finally:
            event.remove(self.database.engine, "before_cursor_execute", note)

    def addresses(self) -> dict[str, str]:
        """Where every endpoint is found, and the list of brews searched in several ways."""
        ids, found = self._ids(), {}
        with self.app.test_request_context("/"):
            for rule in self._rules():
                if rule.arguments <= ids.keys():
                    values = {name: ids[name] for name in rule.arguments}
                    found[rule.endpoint] = self.app.url_for(rule.endpoint, **values)
            brews = self.app.url_for("brews.index")
        found["worksheets.time"] += f"?brew={self._steeped()}"
        searches = {
            "half way down": {"before": self._half_way()},
            "of a bag": {"bag": BIG_BAG},
            "of the metal filter": {"filter": METAL_FILTER},
            "of a recipe": {"recipe": 1},
            "with a common word": {"q": "plum"},
        }
        for name, query in searches.items():
            found[f"brews.index {name}"] = f"{brews}?{urlencode(query)}"
        return found

    def pages(self) -> dict[str, str]:
        """The addresses that show a page and do not only lead to another."""
        return {name: at for name, at in self.addresses().items() if self._is_page(at)}

    def without_rows(self) -> list[str]:
        """Pages of what the generated journal holds none of: they are not measured."""
        ids = self._ids()
        return sorted(rule.endpoint for rule in self._rules() if not rule.arguments <= ids.keys())

    def _rules(self) -> list[Rule]:
        rules = [rule for rule in self.app.url_map.iter_rules() if not is_api(rule)]
        return [r for r in rules if "GET" in (r.methods or ()) and r.endpoint not in LEFT_OUT]

    def _is_page(self, address: str) -> bool:
        status = self.get(address).status
        if status not in (200, 302, 303):
            raise RuntimeError(f"{address} answered {status}")
        return status == 200

    def _ids(self) -> dict[str, int]:
        first = dict.fromkeys(("recipe_id", "number", "brewer_id", "grinder_id", "water_id"), 1)
        with closing(self.database.reader.connect()) as connection:
            one = connection.execute
            a, b = one(text(PAIR_OF_BIG_BAG), {"bag": BIG_BAG}).one()
            brew = one(text("SELECT max(id) FROM brew WHERE binned_at IS NULL")).scalar_one()
            tasting = one(text("SELECT max(id) FROM tasting")).scalar_one()
            trial = one(text(LAST_TRIAL), {"test": OPEN_TEST}).scalar_one()
        return first | {
            "brew_id": brew,
            "tasting_id": tasting,
            "brew_a": a,
            "brew_b": b,
            "bag_id": BIG_BAG,
            "pack_id": FULL_PACK,
            "filter_id": METAL_FILTER,
            "question_id": FULL_QUESTION,
            "answered_id": FULL_QUESTION,
            "ask_id": 3,
            "test_id": OPEN_TEST,
            "trial_id": trial,
            "sitting_id": SITTINGS,
        }

    def _steeped(self) -> int:
        with closing(self.database.reader.connect()) as connection:
            return int(connection.execute(text(STEEPED)).scalar_one())

    def _half_way(self) -> str:
        from app.models import Brew

        with closing(self.database.reader.connect()) as connection:
            count = connection.execute(text("SELECT max(id) FROM brew")).scalar_one()
            table = Brew.__table__
            row = connection.execute(
                table.select().where(table.c.id == count - min(count // 2, 50_000))
            ).one()
        return write_mark((row.brewed_at, row.id))


@contextmanager
def _templates(app: Flask) -> Iterator[list[tuple[str, dict[str, Any]]]]:
    heard: list[tuple[str, dict[str, Any]]] = []

    def note(_sender: Any, template: Any, context: dict[str, Any], **_: Any) -> None:
        heard.append((template.name, dict(context)))

    template_rendered.connect(note, app)
    try:
        yield heard
    finally:
        template_rendered.disconnect(note, app)


def environ(address: str, **more: Any) -> dict[str, Any]:
    builder = EnvironBuilder(path=address, base_url="http://127.0.0.1:8473/", **more)
    try:
        return builder.get_environ() | {"REMOTE_ADDR": "127.0.0.1"}
    finally:
        builder.close()


def reply(app: Flask, told: dict[str, Any], body: bytes = b"") -> Reply:
    """The app's answer to one request, read to its end."""
    kept: list[Any] = []
    told = dict(told)
    if body:
        told |= {"wsgi.input": BytesIO(body), "CONTENT_LENGTH": str(len(body))}
    answer = app(told, lambda status, headers, _=None: kept.extend((status, headers)))  # type: ignore[arg-type, return-value]
    try:
        content = b"".join(answer)
    finally:
        getattr(answer, "close", lambda: None)()
    return Reply(int(kept[0].split()[0]), dict(kept[1]), content)
