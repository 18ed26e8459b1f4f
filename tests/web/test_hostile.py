"""Whatever is sent to any address, the answer is a page: never a fault of the program.

Each address gets ODDCUP_TEST_EXAMPLES mutations (15 unless set) of the form that its page
offers. This finds faults that random slips reach; it does not prove that there are none.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy.orm import Session
from werkzeug.routing import AnyConverter

from app import create_app
from app.config import Config
from app.models import Base
from app.web.security import open_to_network
from tests.support.addresses import is_api
from tests.support.hostile import LONG, encoded, fillings, queries, values
from tests.support.site import Site, explore

EXAMPLES = int(os.environ.get("ODDCUP_TEST_EXAMPLES", "15"))
OPENS_A_SERVER = "today.demo"
FOR_OTHER_DEVICES = {"devices.pair_now"}  # sends the browser of this machine away
# Nothing but a file, which tests of their own make.
SEND_A_FILE = {"taking_out.look", "sheets.send"}
URLENCODED = "application/x-www-form-urlencoded"
bounded = settings(
    max_examples=EXAMPLES,
    deadline=None,
    database=None,
    derandomize="ODDCUP_TEST_EXAMPLES" not in os.environ,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def _endpoints(method: str) -> list[str]:
    """Named when the tests are collected, so that each is a test of its own."""
    with TemporaryDirectory() as home:
        app = create_app(Config(url="sqlite://", home=Path(home), secret_key="for tests only"))  # noqa: S106
    return sorted(
        rule.endpoint
        for rule in app.url_map.iter_rules()
        if method in (rule.methods or ()) and rule.endpoint != OPENS_A_SERVER and not is_api(rule)
    )


@pytest.fixture(scope="module")
def site(shared_config: Config) -> Iterator[Site]:
    made = explore(shared_config)
    yield made
    made.journal.dispose()


@pytest.fixture
def nothing_binned(site: Site) -> None:
    with Session(site.journal.writer) as session, session.begin():
        for table in Base.metadata.sorted_tables:
            if "binned_at" in table.columns:
                session.execute(table.update().values(binned_at=None))


def _path(site: Site, endpoint: str, data: st.DataObject) -> str:
    rule = next(site.app.url_map.iter_rules(endpoint))
    ids = st.sampled_from([1, 1, 1, 2, 2, 3, 999999999])
    listed = {
        name: st.sampled_from(sorted(of.items))
        for name, of in rule._converters.items()
        if isinstance(of, AnyConverter)
    }
    with site.app.test_request_context():
        drawn: dict[str, Any] = {name: data.draw(listed.get(name, ids)) for name in rule.arguments}
        return site.app.url_for(endpoint, **drawn)


@pytest.mark.usefixtures("nothing_binned")
@pytest.mark.parametrize("endpoint", _endpoints("POST"))
def test_no_form_can_cause_a_fault(endpoint: str, site: Site) -> None:
    offered = site.forms.get(endpoint, {})

    @bounded
    @given(st.data())
    def send(data: st.DataObject) -> None:
        path = _path(site, endpoint, data)
        body = encoded(data.draw(fillings(offered)))
        answer = site.client.post(path, data=body, content_type=URLENCODED)
        assert answer.status_code < 500, f"{path} {body[:500]}"
        answer.close()

    send()


@pytest.mark.parametrize("endpoint", _endpoints("GET"))
def test_no_address_can_cause_a_fault(endpoint: str, site: Site) -> None:
    @bounded
    @given(st.data())
    def look(data: st.DataObject) -> None:
        path = f"{_path(site, endpoint, data)}?{encoded(data.draw(queries(site.asked)))}"
        answer = site.client.get(path)
        assert answer.status_code < 500, path[:500]
        answer.close()

    look()


@bounded
@given(tail=values)
def test_no_made_up_address_can_cause_a_fault(site: Site, tail: str) -> None:
    quoted = encoded([(tail, "")])
    for start in ("/", "/brews/", "/brews/1/", "/static/", "/side-by-side/1/", "/vendor/plotly-"):
        answer = site.client.get(start + quoted)
        assert answer.status_code < 500, start + quoted
        answer.close()


@bounded
@given(zone=st.one_of(values, st.sampled_from(["Asia/Kathmandu", "Etc/GMT+12"])))
def test_no_zone_told_by_the_browser_can_cause_a_fault(site: Site, zone: str) -> None:
    header = {"Cookie": f"zone={encoded([(zone, '')])[:-1]}"}
    for path in ("/", "/brews/new", "/brews/1"):
        assert site.client.get(path, headers=header).status_code == 200


@bounded
@given(data=st.data(), host=st.sampled_from(["192.168.7.1", "192.168.7.1:8473", "127.0.0.1"]))
def test_no_stranger_on_the_network_can_cause_a_fault(
    site: Site, data: st.DataObject, host: str
) -> None:
    """As another device would send it to a journal opened to the network; nothing is sent."""
    stranger = {"REMOTE_ADDR": "192.168.7.20", "HTTP_HOST": host}
    with pytest.MonkeyPatch.context() as patch:
        for name in ("TRUSTED_HOSTS", "LAN_ADDRESSES"):
            patch.setitem(site.app.config, name, site.app.config.get(name))
        open_to_network(site.app, ["192.168.7.1"])
        body = encoded(data.draw(fillings({"code": ["ABCD"], "name": ["Phone"]})))
        for path in ("/pair", "/", "/brews/new", "/blind/trials/1/answer"):
            answer = site.client.post(
                path, data=body, content_type=URLENCODED, environ_overrides=stranger
            )
            assert 400 <= answer.status_code < 500, f"{path} {body[:500]}"


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "multipart/form-data", ""])
@pytest.mark.parametrize("body", [b"", b"{}", b"\xff\xfe\x00", b"--x\r\nContent-Disposition: x"])
def test_no_kind_of_body_can_cause_a_fault(site: Site, kind: str, body: bytes) -> None:
    for boundary in ("", "; boundary=x", "; boundary="):
        answer = site.client.post("/brews/new", data=body, content_type=kind + boundary)
        assert answer.status_code in (400, 413, 415, 422)


def test_a_body_beyond_all_bounds_is_refused(site: Site) -> None:
    note = "note=" + LONG * 1100
    assert site.client.post("/brews/new", data=note, content_type=URLENCODED).status_code == 413


def test_every_page_with_a_form_gave_it(site: Site) -> None:
    """Else the tests above would send little that means something."""
    rules = [rule for rule in site.app.url_map.iter_rules() if not is_api(rule)]
    shown = {rule.rule for rule in rules if "GET" in (rule.methods or ())}
    sent = {r.endpoint for r in rules if "POST" in (r.methods or ()) and r.rule in shown}
    assert sent - set(site.forms) == FOR_OTHER_DEVICES
    others = sent - FOR_OTHER_DEVICES - SEND_A_FILE
    assert all(len(site.forms[endpoint]) > 1 for endpoint in others)
