"""A sheet sent, looked at and brought in, as the pages do it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session
from werkzeug.test import TestResponse

from app.database import Database
from tests.support import page


class Sender:
    """Sends tables and reads what is said of them; `at` is the address of the last one."""

    def __init__(self, client: FlaskClient, journal: Database) -> None:
        self.client, self.journal, self.at = client, journal, ""

    def post(self, content: bytes, name: str) -> TestResponse:
        head = f'Content-Disposition: form-data; name="sheet"; filename="{name}"'
        body = f"--sheet\r\n{head}\r\n\r\n".encode() + content + b"\r\n--sheet--\r\n"
        kind = "multipart/form-data; boundary=sheet"
        return self.client.post("/sheets/", data=body, content_type=kind)

    def send(self, content: bytes, name: str = "brews.csv") -> str:
        answer = self.post(content, name)
        assert answer.status_code == 303, page.text(answer.text)
        self.at = answer.headers["Location"]
        return self.shown()

    def shown(self) -> str:
        return _plain(self.client.get(self.at).text)

    def say(self, **said: str) -> str:
        assert self.client.post(self.at, data=said).status_code == 303
        return self.shown()

    def bring_in(self) -> str:
        """What is said then."""
        html = self.client.get(self.at).text
        mark = re.search(r'name="shown" value="(\w+)"', html)
        data = {"shown": mark[1] if mark else "none"}
        answer = self.client.post(f"{self.at}/bring-in", data=data, follow_redirects=True)
        assert answer.status_code == 200
        return _plain(answer.text)

    def count(self, table: type) -> int:
        with Session(self.journal.reader) as session:
            return session.scalar(select(func.count()).select_from(table)) or 0


def _plain(html: str) -> str:
    return page.text(html).replace("\xa0", " ")


@pytest.fixture
def sender(client: FlaskClient, journal: Database) -> Sender:
    return Sender(client, journal)


@pytest.fixture
def home(app: object) -> Path:
    return Path(app.config["JOURNAL"].home)  # type: ignore[attr-defined]
