"""What is said or tasted after a reveal moves nothing that is counted, read or claimed.

One journal with everything that counts is read page by page, then a trial's cups are liked, noted
and tasted again: no verdict, no evidence of a question, no claim, no trend, mean or best cup moves.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import timedelta
from typing import Any, NamedTuple

import pytest
from flask.testing import FlaskClient

from app.models import Trial, TrialBrew
from tests.support import page
from tests.support.asking import ask, tie
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, rows
from tests.support.clock import NOON
from tests.support.factories import Make

DONE = CLAIMED | SERVED | ANSWERED | SEEN


class Kept(NamedTuple):
    """A journal in which a pair, its blind test and a question about it hold a year's worth."""

    trial: Trial
    a: int
    b: int
    pages: dict[str, str]


@pytest.fixture
def kept(client: FlaskClient, make: Make) -> Kept:
    bag, juniper, paper = make.bag(), make.taster(name="Juniper"), make.filter()
    brews = [
        make.brew(bag, filters=[paper], steep_s=150 + 30 * (n % 2), tds_pct=1.2 + n / 100)
        for n in range(12)
    ]
    for n, brew in enumerate(brews):
        make.tasting(brew, taster=juniper, liking=4 + n % 4, blind=n % 3 == 0, jar_body=2 + n % 3)
    a, b = brews[-2:]
    pair = make.side_by_side(a, b, preference="a")
    trials = [DONE | {"cups": "ABB", "answered_at": NOON + timedelta(hours=n)} for n in range(6)]
    test, (*_, trial) = rows(make, trials, a_brew_id=a.id, b_brew_id=b.id)
    for cup, brew in (("A", a), ("B", b)):
        make.save(TrialBrew(trial_id=trial.id, brew_id=brew.id, cup=cup))
    question = ask(client, factor="steep")
    tie(client, question, "blind_test", test)
    tie(client, question, "side_by_side", pair)
    for brew in (a, b):
        tie(client, question, "brew", brew)
    pages = {
        "verdict": f"/blind/{test.id}",
        "list of tests": "/blind/",
        "question": question,
        "claims": "/claimed/",
        "bag": f"/bags/{bag.id}",
        "brews": "/brews/",
        "pair": f"/side-by-side/{a.id}/{b.id}",
        "filter": f"/filters/{paper.id}",
        "groups": "/groups/?a-days=weekdays&b-days=weekends",
        "tasters": "/tasters/",
        "data": f"{question}/export.json",
    }
    return Kept(trial, a.id, b.id, pages)


def told(client: FlaskClient, kept: Kept) -> dict[str, Any]:
    """What each page says, but for the list of trials, where afterthoughts stand beside answers."""
    said: dict[str, Any] = {}
    client.get("/")  # which takes the messages of what was saved
    for name, address in kept.pages.items():
        answer = client.get(address, follow_redirects=True)
        assert answer.status_code == 200, address
        if name == "data":
            said[name] = json.loads(answer.text) | {"written_at_utc": ""}
        else:
            said[name] = page.text(answer.text).partition(" Trials ")[0]
    return said


def taste(client: FlaskClient, address: str) -> None:
    """Both cups far from how they were liked before, by the taster of the trial."""
    html = client.get(address).text
    typed = {"a-liking": "1", "b-liking": "9", "a-jar_body": "1", "b-jar_body": "5"}
    answer = client.post(address, data=page.filled(html, holding="a-liking", **typed))
    assert answer.status_code == 303


def like(client: FlaskClient, kept: Kept) -> None:
    address = f"/blind/trials/{kept.trial.id}"
    sent = page.filled(
        client.get(address).text, holding="note", preference="b", note="B by far, it is rounder"
    )
    assert client.post(f"{address}/after", data=sent).location == address


def taste_again(client: FlaskClient, kept: Kept) -> None:
    taste(client, f"/taste/{kept.a}/{kept.b}?after={kept.trial.id}")


@pytest.mark.parametrize("afterwards", [like, taste_again])
def test_nothing_that_counts_moves_after_a_reveal(
    client: FlaskClient, kept: Kept, afterwards: Callable[[FlaskClient, Kept], None]
) -> None:
    before = told(client, kept)
    afterwards(client, kept)
    after = told(client, kept)
    for name in kept.pages:
        assert after[name] == before[name], name


def test_the_comparison_would_notice_a_tasting(client: FlaskClient, kept: Kept) -> None:
    """The same two cups tasted with no trial before: everything that reads sighted cups moves."""
    before = told(client, kept)
    taste(client, f"/taste/{kept.a}/{kept.b}")
    after = told(client, kept)
    moved = {name for name in kept.pages if after[name] != before[name]}
    assert moved >= {"bag", "brews", "pair", "filter", "question", "data"}
    assert "verdict" not in moved
    assert "claims" not in moved


def test_the_blind_answer_stays_as_it_was(client: FlaskClient, kept: Kept) -> None:
    trial = f"/blind/trials/{kept.trial.id}"
    standing = page.text(client.get(trial).text).partition("What it says")[2]
    like(client, kept)
    taste_again(client, kept)
    after = page.text(client.get(trial).text)
    assert after.partition("What it says")[2] == standing
    assert "Liked better: Cup B" in after
    listed = page.text(client.get(f"/blind/{kept.trial.test_id}").text).partition(" Trials ")[2]
    assert "After the reveal: B liked better" in listed
