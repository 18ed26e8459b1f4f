"""Every error points at a field that is there, on every form of every page, however it is spoiled;
and what is read out beside a field is there, too."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from tests.support import page

KEPT = {"csrf_token", "entry_key", "in_units", "seen", "trial_id", "cup", "which", "asked"}
SPOILED = ("", "☃ soon", "999999", "-1", "x" * 5000)


def _broken(html: str) -> list[str]:
    ids = set(re.findall(r'\bid="([^"]*)"', html))
    summaries = re.findall(r'<div class="error-summary".*?</ul>', html, re.S)
    wanted = [link for one in summaries for link in re.findall(r'href="#([^"]*)"', one)]
    wanted += " ".join(re.findall(r'aria-describedby="([^"]*)"', html)).split()
    return sorted({name for name in wanted if name not in ids})


def _spoil_all(client: FlaskClient, address: str) -> list[str]:
    """What is wrong with the pages that refuse the forms of this one; "refused" for each."""
    opened = client.get(address)
    if opened.status_code != 200 or opened.mimetype != "text/html":
        return []
    found = _broken(opened.text)
    for given, held in page.read(opened.text).forms:
        typed = [name for name in held if name not in KEPT]
        if given.get("method") != "post" or not typed:
            continue
        for spoiled in SPOILED:
            sent = {name: held[name] if name in KEPT else [spoiled] for name in held}
            refused = client.post(given.get("action") or address.partition("?")[0], data=sent)
            if refused.status_code == 422:
                found += ["refused", *_broken(refused.text)]
    return found


def test_every_error_points_at_a_field_of_its_page(
    client: FlaskClient, full: dict[str, str]
) -> None:
    found = {name: _spoil_all(client, address) for name, address in full.items()}
    assert sum("refused" in told for told in found.values()) >= 12
    wrong = {name: set(told) - {"refused"} for name, told in found.items()}
    assert {name: told for name, told in wrong.items() if told} == {}


@pytest.mark.parametrize(
    "address", ["/brews/new", "/bags/new", "/recipes/new", "/gear/brewers/new"]
)
def test_so_it_does_in_an_empty_journal(client: FlaskClient, address: str) -> None:
    told = _spoil_all(client, address)
    assert "refused" in told
    assert set(told) == {"refused"}
    assert "autofocus" in client.post(address, data={}).text
