"""The ice worksheet against the balance of heat, and the household's usual iced cups."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from tests.support import page
from tests.support.factories import Make
from tests.support.worksheets import A_DAY_S, ask, brew_links, said

C, C_ICE, MELT = 4.19, 2.05, 333.5  # kJ/kg K, kJ/kg K, kJ/kg; IAPWS gives 333.4
HOT = {"beverage_g": "200", "tds_pct": "1.8", "hot_c": "80", "ice_c": "-18", "steep_s": A_DAY_S}


def settled_c(hot_g: float, hot_c: float, ice_g: float, ice_c: float) -> float:
    heat = hot_g * C * hot_c - ice_g * (C_ICE * -ice_c + MELT)
    return heat / ((hot_g + ice_g) * C)


def test_ice_that_melts_wholly(client: FlaskClient) -> None:
    shown = said(client, "ice", **HOT, ice_g="120")
    assert f"{settled_c(200, 80, 120, -18):.1f} °C once it has settled" in shown
    assert "100 % of the ice melted" in shown
    assert f"{1.8 * 200 / 320:.2f} % strength with all of it melted" in shown


def test_ice_that_stays_dilutes_on(client: FlaskClient) -> None:
    melted = (200 * C * 80 - 300 * C_ICE * 18) / MELT
    shown = said(client, "ice", **HOT, ice_g="300")
    assert "0 °C once it has settled" in shown
    assert f"{100 * melted / 300:.0f} % of the ice melted" in shown
    assert f"about {1.8 * 200 / (200 + melted):.2f} %" in shown
    assert f"{1.8 * 200 / 500:.2f} % strength with all of it melted" in shown
    assert f"{300 - melted:.0f} g of it stay ice" in shown


def test_ice_for_a_temperature(client: FlaskClient) -> None:
    """m = m_b c (T - T_f) / (c_i 18 + L + c T_f)"""
    needed = 200 * C * (80 - 5) / (C_ICE * 18 + MELT + C * 5)
    shown = ask(client, "ice", **HOT, ice_g="", target_c="5")
    assert float(brew_links(shown)[0]["ice_g"]) == pytest.approx(needed, abs=0.06)


def test_ice_for_a_temperature_and_a_strength_takes_cold_water_too(client: FlaskClient) -> None:
    shown = ask(client, "ice", **HOT, ice_g="", target_c="15", target_pct="0.8", water_c="15")
    link = brew_links(shown)[0]
    ice, water = float(link["ice_g"]), float(link["bypass_g"])
    assert 1.8 * 200 / (200 + ice + water) == pytest.approx(0.8, abs=0.001)
    heat = 200 * C * 80 + water * C * 15 - ice * (C_ICE * 18 + MELT)
    assert heat / ((200 + water + ice) * C) == pytest.approx(15, abs=0.1)


def test_both_wishes_may_be_too_much(client: FlaskClient) -> None:
    shown = said(client, "ice", **HOT, ice_g="", target_c="2", target_pct="1.5")
    assert "would thin it too much" in shown


def test_a_glass_warms_the_drink(client: FlaskClient) -> None:
    """0.84 J/(g K) for glass, from memory."""
    heat = 200 * C * 80 - 150 * (C_ICE * 18 + MELT) + 300 * 0.84 * 20
    shown = said(client, "ice", **HOT, ice_g="150", glass_g="300", glass_c="20")
    assert f"{heat / (350 * C + 300 * 0.84):.1f} °C once it has settled" in shown


def test_freezer_ice_in_the_strong_brew_nearly_all_melts_and_leaves_it_cold(
    client: FlaskClient,
) -> None:
    """Common practice, no source: 22 g in 240 g with 160 g of ice, one or two cups."""
    whole = said(client, "ice", dose_g="22", water_g="240", ice_g="160", steep_s="4:00")
    share = float(whole.split(" % of the ice melted")[0].rsplit(" ", 1)[1])
    cold = float(whole.split(" °C once it has settled")[0].rsplit(" ", 1)[1])
    assert share >= 90
    assert cold <= 10
    half = said(client, "ice", dose_g="11", water_g="120", ice_g="80", steep_s="4:00")
    two = said(client, "ice", dose_g="22", water_g="240", ice_g="160", steep_s="4:00", cups="2")
    for shown in (half, two):
        assert f"{cold:g} °C once it has settled" in shown
        assert "80 g of ice" in shown


def test_what_was_measured_of_an_iced_brew_is_not_of_the_hot_one(
    client: FlaskClient, make: Make
) -> None:
    brew = make.brew(
        dose_g=22.0, water_g=240.0, ice_g=160.0, beverage_g=360.0, tds_pct=0.9, steep_s=150
    )
    shown = ask(client, "ice", f"?brew={brew.id}")
    assert page.form(shown, holding="tds_pct")["tds_pct"] == [""]
    assert brew_links(shown)[0]["ice_g"] == "160"


def test_a_brewer_without_a_model_asks_for_what_was_measured(
    client: FlaskClient, make: Make
) -> None:
    brewer = str(make.brewer(kind="other").id)
    assert "Enter the hot beverage" in said(client, "ice", brewer=brewer)
    assert "once it has settled" in said(client, "ice", **HOT, brewer=brewer)
