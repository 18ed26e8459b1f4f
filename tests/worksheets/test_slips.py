"""What is typed amiss gets a sentence, whatever it is; the answer alone can be asked for."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.support import page
from tests.support.factories import Make
from tests.support.hostile import encoded, fillings
from tests.support.worksheets import KEEPING, SHEETS, SLIPS, ask, said, typed_into

Watch = Callable[[], AbstractContextManager[list[str]]]


@pytest.mark.parametrize(("name", "typed", "sentence"), SLIPS)
def test_out_of_range_gets_a_sentence(
    client: FlaskClient, make: Make, name: str, typed: dict[str, str], sentence: str
) -> None:
    make.brewer(name="Small press", capacity_g=240.0)
    assert sentence in said(client, name, **typed)


@pytest.mark.parametrize(
    ("name", "field", "typed"),
    [
        ("scale", "to_cups", {"to_cups": ""}),
        ("scale", "to_dose_g", {"to_dose_g": "2000", "dose_g": "0.1"}),
        ("scale", "to_total_ml", {"to_total_ml": "40000", "dose_g": "15", "water_g": "20"}),
        ("share", "capacity_g", {"capacity_g": ""}),
        ("share", "cups", {"capacity_g": "240", "dose_g": "900", "cups": "5"}),
        ("dilute", "want_pct", {"have_g": "200", "have_pct": "1", "want_pct": "2"}),
        ("ice", "ice_g", {"ice_g": "20000", "ice_c": "-40"}),
        ("ice", "target_c", {"ice_g": "", "target_c": "90"}),
        ("ice", "target_c", {"ice_g": "", "target_c": ""}),
        ("ice", "target_pct", {"ice_g": "", "target_c": "20", "target_pct": "9"}),
        ("ice", "tds_pct", {"dose_g": "100", "water_g": "150"}),
        ("strength", "wanted_pct", {"wanted_pct": "25"}),
        ("time", "brewer", {"brewer": "cone"}),
        ("paper", "rinse_c", {"cold_c": "95"}),
        ("water", "value", {"value": "4000", "unit": "°dH"}),
    ],
)
def test_what_the_sum_refuses_stands_beside_the_field_it_is_about(
    client: FlaskClient, name: str, field: str, typed: dict[str, str]
) -> None:
    shown = ask(client, name, **typed)
    beside = re.search(rf'id="{field}-error">(.+?)</p>', shown)
    assert beside
    assert f'aria-live="polite">{beside[1]}</span>' in shown, "and in the line that stays in sight"
    assert shown.count(beside[1]) == 3, "and once where the answer would be"


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("-5", "Please stay between"),
        ("1000000000", "Please stay between"),
        ("1e9", "Please write a number"),
        ("much", "Please write a number"),
        ("nan", "Please write a number"),
    ],
)
def test_a_number_that_is_none_is_told_beside_its_field_and_kept(
    client: FlaskClient, name: str, typed: str, sentence: str
) -> None:
    field = {"paper": "brews", "water": "total_g", "strength": "beverage_g"}.get(name, "dose_g")
    shown = ask(client, name, **{field: typed})
    assert f'id="{field}-error">{sentence}' in shown
    assert f'value="{typed}"' in shown
    assert "No answer yet" in page.text(shown)


@pytest.mark.parametrize(
    ("name", "field"),
    [
        ("scale", "dose_g"), ("share", "water_g"), ("ice", "dose_g"), ("strength", "wanted_pct"),
        ("strong", "bypass_b_g"), ("time", "steep_s"), ("paper", "kwh_price"),
    ],
)  # fmt: skip
def test_what_a_sum_needs_is_asked_for(client: FlaskClient, name: str, field: str) -> None:
    shown = ask(client, name, **{field: ""})
    assert f'id="{field}-error">Please fill this in.' in shown
    assert "No answer yet" in page.text(shown)


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_typed_is_a_fault(client: FlaskClient, make: Make, name: str) -> None:
    make.brew(brewer=make.brewer(capacity_g=240.0), steep_s=120)
    offered = typed_into(client, name)

    @settings(
        max_examples=40,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(fillings(offered), st.booleans())
    def send(sent: list[tuple[str, str]], keep: bool) -> None:
        path = f"/worksheets/{name}?{encoded(sent)}"
        answer = client.post(path) if keep and name in KEEPING else client.get(path)
        assert answer.status_code < 500, path[:500]

    send()


@pytest.mark.parametrize("name", SHEETS)
def test_the_answer_alone_is_what_the_page_holds(client: FlaskClient, name: str) -> None:
    values = typed_into(client, name)
    whole = client.get(f"/worksheets/{name}", query_string=values).text
    part = client.get(f"/worksheets/{name}", query_string=values | {"fragment": ["1"]}).text
    assert "<html" not in part
    assert "fragment" not in part
    part = part.split('<p class="error"')[0]  # those go beside their fields
    said_alone, answer = map(page.text, part.split('<div id="answer">'))
    assert f"{said_alone} " in page.text(whole)
    assert answer in page.text(whole)


def test_the_answer_alone_tells_what_is_wrong_with_which_field(client: FlaskClient) -> None:
    part = client.get("/worksheets/scale?dose_g=-1&fragment=1").text
    assert 'data-field="dose_g">Please stay between 0.1 and 2000 g.' in part
    assert "No answer yet" in part


def test_a_comma_is_a_point(client: FlaskClient) -> None:
    assert "15.5 g dose" in said(client, "scale", dose_g="7,75", to_cups="2")


def test_no_page_asks_more_often_of_a_longer_journal(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    def grow(rows: int) -> None:
        for _ in range(rows):
            brewer, grinder = make.brewer(capacity_g=240.0), make.grinder()
            recipe = make.recipe()
            for _ in range(2):
                make.brew(
                    brewer=brewer, grinder_id=grinder.id, recipe=recipe, tds_pct=1.3, steep_s=120
                )

    def asked(path: str) -> int:
        client.get(path)  # what is worked out once and kept is not counted
        with statements() as seen:
            assert client.get(path).status_code == 200
        return len(seen)

    paths = [f"/worksheets/{name}" for name in (*SHEETS, "learned")]
    paths += [f"/worksheets/{name}?recipe=1" for name in KEEPING]
    paths += [f"/worksheets/{name}?brew=1" for name in KEEPING]
    grow(3)
    few = {path: asked(path) for path in paths}
    grow(30)
    assert {path: asked(path) for path in paths} == few


@pytest.mark.parametrize("water_temp_c", ["0", "4", "15", "40", "55"])
def test_steeps_of_which_nothing_is_known_are_left_out_of_the_table(
    client: FlaskClient, water_temp_c: str
) -> None:
    shown = client.get(f"/worksheets/time?water_temp_c={water_temp_c}")
    assert shown.status_code == 200
    assert "None" not in page.text(shown.text)
