"""The numbers of a chart stand on its page, or, where they are many, one tap away."""

from __future__ import annotations

import re
from html import unescape

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.web.pictures import FEW_ROWS, numbers_address
from tests.support.factories import Make

LONG = [["a", "1"]] * (FEW_ROWS + 1)


@pytest.mark.parametrize(
    ("asked", "rows", "there"),
    [
        ("/bags/1", LONG, "/bags/1?numbers=liking#liking"),
        ("/bags/1?taster=2", LONG, "/bags/1?taster=2&numbers=liking#liking"),
        ("/bags/1?numbers=ratio", LONG, "/bags/1?numbers=liking#liking"),
        ("/bags/1?q=a%26b&fragment=1", LONG, "/bags/1?q=a%26b&numbers=liking#liking"),
        ("/bags/1?numbers=liking", LONG, ""),
        ("/bags/1", LONG[1:], ""),
    ],
)  # fmt: skip
def test_a_long_table_is_at_an_address_of_its_own(
    app: Flask, asked: str, rows: list[list[str]], there: str
) -> None:
    with app.test_request_context(asked):
        assert numbers_address("liking", rows) == there


def test_the_reply_to_a_form_holds_it_since_a_link_would_lose_what_was_typed(app: Flask) -> None:
    with app.test_request_context("/blind/new", method="POST"):
        assert numbers_address("power", LONG) == ""


@pytest.fixture
def bag(make: Make) -> str:
    bag = make.bag()
    for n in range(FEW_ROWS + 1):
        make.brew(bag=bag, dose_g=15 + n / 10, water_g=240.0)
    return f"/bags/{bag.id}"


def test_the_link_leads_to_the_page_with_that_table_open(client: FlaskClient, bag: str) -> None:
    page = client.get(bag).text
    (link,) = re.findall(r'<a class="link numbers" href="([^"]*ratio[^"]*)"', page)
    assert "<caption>Ratio" not in page
    there = client.get(unescape(link).partition("#")[0]).text
    assert there.count("<caption>Ratio") == 1
    opened = re.search(r'<details class="more" open>(.*?)</details>', there, re.DOTALL)
    assert opened
    assert opened[1].count("<tr>") == FEW_ROWS + 2
