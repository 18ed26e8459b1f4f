"""What a furnished journal's pages offer to send, found by looking at all of them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from io import BytesIO

from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from app.database import Database
from app.models import Bag, BlindTest, Question
from tests.support.addresses import pages
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, rows
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.household import furnish
from tests.support.page import Values, read


@dataclass
class Site:
    """The form of each endpoint that takes one, and the names that addresses ask with."""

    app: Flask
    client: FlaskClient
    forms: dict[str, Values] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)

    @property
    def journal(self) -> Database:
        database: Database = self.app.extensions["oddcup_database"]
        return database

    def endpoint_of(self, path: str) -> str:
        adapter = self.app.url_map.bind("127.0.0.1")
        return str(adapter.match(path, method="POST")[0])


def explore(config: Config) -> Site:
    """Furnish the journal and visit its pages; a fault shows as a status of 500."""
    app = create_app(config)
    app.config.update(TESTING=True, PROPAGATE_EXCEPTIONS=False, WTF_CSRF_ENABLED=False)
    site = Site(app, app.test_client())
    make = Make(site.journal)
    furnish(make)
    _, (revealed,) = rows(make, [CLAIMED | SERVED | ANSWERED | SEEN])
    question = make.save(Question(text="Stirred?", factors=["stirs", "bag"], asked_at=NOON))
    with Session(site.journal.reader) as session:
        packable = session.scalars(select(BlindTest.id).where(BlindTest.method == "A-not-A"))
        forms_of = [f"/blind/{test_id}/packets" for test_id in packable]
        forms_of.append(f"/blind/trials/{revealed.id}/after")
        forms_of.append(f"/sittings/new?q={question.id}")
        open_bags = select(Bag.id).where(Bag.finished_on.is_(None), Bag.binned_at.is_(None))
        forms_of += [f"/experiments/new?bag={bag_id}" for bag_id in session.scalars(open_bags)]
        forms_of.append(_sheet_sent(site.client))
        addresses = [*pages(app, session).values(), *forms_of]
    asked: set[str] = set()
    for path in addresses:
        html = site.client.get(path).text
        asked |= set(re.findall(r"[?&;](\w+)=", html))
        for attributes, offered in read(html).forms:
            if attributes.get("method", "get").lower() == "post":
                action = (attributes.get("action") or path).partition("?")[0]
                site.forms.setdefault(site.endpoint_of(action), offered)
            else:
                asked.update(offered)
    site.asked = sorted(asked)
    return site


def _sheet_sent(client: FlaskClient) -> str:
    """The page of a spreadsheet with a line that can be read and one that cannot."""
    table = b"date,bean,brewer,dose,water\n2024-03-04,Low Meadow,Press,16.1,251\nsoon,x,y,much,3\n"
    answer = client.post("/sheets/", data={"sheet": (BytesIO(table), "brews.csv")})
    return answer.headers["Location"]
