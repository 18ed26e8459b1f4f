"""Worksheets for tests: type into the rendered form, read the answer."""

from __future__ import annotations

import re
from html import unescape
from typing import Any
from urllib.parse import parse_qsl, urlsplit

from flask.testing import FlaskClient

from tests.support import page
from tests.support.page import Values

SHEETS = ("scale", "share", "dilute", "ice", "strength", "strong", "time", "paper", "water")
KEEPING = SHEETS[:7]

# What is typed amiss, or out of the model's range, and what is said of it. The brewer 1 is a small
# press that holds 240 g.
SLIPS: tuple[tuple[str, dict[str, str], str], ...] = (
    ("dilute", {"dose_g": "22", "water_g": "60", "added_g": "0"}, "outside the range of the model"),
    ("strong", {"dose_b_g": "90", "water_b_g": "200"}, "outside the range of the model"),
    ("strong", {"dose_b_g": "100", "water_b_g": "200"}, "The grounds would hold all of this water"),
    ("time", {"dose_g": "90", "water_g": "200"}, "Less water than 3 times the dose"),
    ("time", {"dose_g": "100", "water_g": "200"}, "The grounds would hold all of this water"),
    ("strong", {"dose_g": "20", "water_g": "34.5", "brewer": "cone"}, "So little would drain"),
    ("strength", {"water_temp_c": "60"}, "Water below about 80 °C takes out less"),
    ("share", {"water_temp_c": "60", "capacity_g": "240"}, "the range reaches further down"),
    ("ice", {"water_temp_c": "60"}, "the range reaches further down"),
    ("ice", {"water_temp_c": "45"}, "The estimate does not reach this far"),
    ("strength", {"water_temp_c": "45"}, "The estimate does not reach this far"),
    ("dilute", {"water_temp_c": "45"}, "The estimate does not reach this far"),
    (
        "dilute",
        {"have_g": "200", "have_pct": "1.4", "have_brix": "1.6", "want_pct": "1"},
        "not both",
    ),
    ("ice", {"ice_c": "5"}, "Please stay between -40 and 0 °C."),
    ("ice", {"ice_g": "20000", "ice_c": "-40"}, "So much ice would freeze the drink"),
    ("ice", {"ice_g": "", "target_c": "90"}, "Ice only cools"),
    ("ice", {"ice_g": "", "target_c": ""}, "Say how much ice there is"),
    ("ice", {"ice_g": "", "target_c": "20", "target_pct": "9"}, "Water only weakens"),
    ("scale", {"capacity_g": "200", "to_cups": "3"}, "holds about 200 g of brew water"),
    ("scale", {"to_cups": ""}, "Say how large it should be"),
    ("scale", {"to_dose_g": "2000", "dose_g": "0.1"}, "Scale factor must be between"),
    ("scale", {"to_dose_g": "1000", "brewer": "1"}, "holds about 240 g of brew water"),
    ("share", {"capacity_g": ""}, "Say how much brew water the brewer holds."),
    ("dilute", {"added_g": ""}, "Give exactly three quantities"),
    ("dilute", {"ratio": "11"}, "Give exactly three quantities"),
    ("dilute", {"water_g": "30", "added_g": "", "strength_pct": "1.2"}, "No brew fits"),
    ("dilute", {"have_g": "200"}, "All three are needed"),
    ("dilute", {"have_g": "200", "have_pct": "1", "want_pct": "2"}, "Water only weakens"),
    ("strength", {"wanted_pct": "25"}, "No brew fits"),
    ("strength", {"beverage_g": "250", "bypass_g": "260"}, "No brew fits"),
    ("time", {"brewer": "cone"}, "Only an immersion brew has a curve"),
    ("time", {"steep_s": "2:75"}, "Please write seconds"),
    ("paper", {"uses": "0"}, "Please stay between 1 and 100000."),
    ("paper", {"cold_c": "95"}, "Final temperature must be between 95 and 100 °C."),
    ("water", {"target": "300"}, "the two waters reach from 17 to 214 mg/L"),
    ("water", {"value": "4000", "unit": "°dH"}, "Hardness must be between"),
    ("scale", {"brewer": "kettle"}, "Please choose one from the list."),
    ("strength", {"grinder_id": "99"}, "Please choose one from the list."),
)

A_DAY_S = "24:00:00"  # steeped to the end: what is reached is all of the equilibrium


def typed_into(client: FlaskClient, name: str, start: str = "", **typed: str) -> Values:
    """What the worksheet's form would send after typing."""
    opened = client.get(f"/worksheets/{name}{start}")
    assert opened.status_code == 200
    holding = next(iter(typed), None) or _any_field(opened.text)
    return page.filled(opened.text, holding=holding, **typed)


def ask(client: FlaskClient, name: str, start: str = "", **typed: str) -> str:
    """The whole page after typing, as its HTML."""
    values = typed_into(client, name, start, **typed)
    answer = client.get(f"/worksheets/{name}", query_string=values)
    assert answer.status_code == 200
    return answer.text


def said(client: FlaskClient, name: str, start: str = "", **typed: str) -> str:
    """The words of the page after typing."""
    return page.text(ask(client, name, start, **typed))


def brew_links(html: str) -> list[dict[str, str]]:
    """What each "Brew this" of the page puts into the brew form."""
    found = [unescape(href) for href in re.findall(r'href="(/brews/new\?[^"]*)"', html)]
    return [dict(parse_qsl(urlsplit(href).query, keep_blank_values=True)) for href in found]


def keep(client: FlaskClient, html: str, which: int = 0, **sent: str) -> Any:
    """Send the page's form that keeps its answer."""
    forms = [(a["action"], values) for a, values in page.read(html).forms if "which" in values]
    action, values = forms[which]
    return client.post(action, data=values | sent)


def _any_field(html: str) -> str:
    for attributes, values in page.read(html).forms:
        if attributes.get("id") == "worksheet":
            return next(iter(values))
    raise AssertionError("No worksheet on this page.")
