"""The demo, the worksheets and the examples use figures of our own: no amount of an earlier demo,
nor of the trade's usual cases, stands where such amounts stood.

Those cases are check values of tests only (common practice, no source).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select, union

from app.models import Brew, Brewer, Filter, FilterPack, Grinder, RecipeRevision, Step, Water
from tests.support import page
from tests.support.worksheets import SHEETS, typed_into

ROOT = Path(__file__).resolve().parents[2]

# Amounts of earlier demos and worksheets, by the names they go by.
OLD: dict[str, set[float]] = {
    "dose": {11, 14.5, 15, 18, 20, 22, 30},
    "water": {100, 180, 200, 220, 240, 250, 255, 300, 320, 500},
    "bypass": {100, 160},
    "added": {160},
    "ice": {120, 160},
    "temp": {76, 82, 85, 88, 90, 93, 94, 95},
    "steep": {42, 75, 105, 120, 135, 150, 180, 195, 240, 300},
    "press": {25, 30, 35, 40, 45},
    "stirs": {3, 5, 6, 8},
    "capacity": {240, 265, 600, 900},
    "hardness": {88, 231, 250},
    "alkalinity": {52, 180, 195},
    "um_per_step": {22},
    "count": {100, 350},
    "price_minor": {590, 720, 980, 1190, 1650},
    "mass": {0.17, 1.4, 4.1, 9.3},
    "prior_uses": {40},
    "net": {200, 250, 350, 500, 1000},
    "pour": {45, 50, 125, 130, 140},
}
# Each is a field of a worksheet as it opens, and what it held.
OLD_FIELDS: dict[str, set[float]] = {
    "dose_g": OLD["dose"], "water_g": OLD["water"], "bypass_g": OLD["bypass"],
    "added_g": OLD["added"], "ice_g": OLD["ice"], "water_temp_c": OLD["temp"],
    "hot_c": {78}, "ice_c": {-18}, "target_c": {5}, "water_c": {15}, "glass_c": {20},
    "server_c": {60}, "room_c": {22}, "wanted_pct": {1.2}, "beverage_g": {250},
    "dose_b_g": {22}, "water_b_g": {240}, "bypass_b_g": {160},
    "brews": {60}, "paper_price": {0.04}, "paper_mass_g": {0.17}, "uses": {5},
    "reuse_rinse_g": {100}, "other_price": {12}, "other_mass_g": {5}, "other_uses": {1000},
    "other_rinse_g": {100}, "rinse_c": {90}, "cold_c": {15}, "kwh_price": {0.3},
    "value": {10}, "first_hardness": {250}, "first_alkalinity": {180}, "second_hardness": {0},
    "target": {50}, "total_g": {1000},
}  # fmt: skip
OLD_CLOCKS = {"steep_s": {"2:00"}, "other_s": {"4:00"}, "steep_b_s": {"4:00"}}

NUMBER = r"(\d+(?:\.\d+)?)"
# Where an amount stood in the source, with the quantities that its numbers are.
CONTEXTS: tuple[tuple[str, tuple[str, ...]], ...] = (
    *((rf'(?<![a-z]){name}\w*"?\s*(?::|=|==)\s*{NUMBER}\b', (name,)) for name in OLD),
    (rf"\bdosed\(\s*{NUMBER}, {NUMBER}, \"[\w-]+\", {NUMBER}", ("dose", "water", "temp")),
    (rf"\bpressed\({NUMBER}, {NUMBER}, {NUMBER}", ("water", "steep", "press")),
    (rf"\(\"(?:bloom|pour)\", \d+, \d+, {NUMBER}", ("pour",)),
    (rf"\(\"dilute\", \d+, \d+, {NUMBER}", ("bypass",)),
    (rf"\(\"ice\", \w+, \w+, {NUMBER}", ("ice",)),
    (rf"\bBought\(\"\w+\", {NUMBER}", ("net",)),
    (rf"\.cup\([\w.]+, {NUMBER}, {NUMBER}", ("dose", "water")),
    (rf"NumberField\([^)]*?[Dd]ose[^)]*?default={NUMBER}", ("dose",)),
    (rf"NumberField\([^)]*?[Ww]ater[^)]*?default={NUMBER}", ("water",)),
    (rf"NumberField\([^)]*?[Bb]ypass[^)]*?default={NUMBER}", ("bypass",)),
    (rf"DurationField\([^)]*?default={NUMBER}", ("steep",)),
    (rf"{NUMBER} g (?:in|to|with|of water) {NUMBER} g", ("dose", "water")),
    (rf"{NUMBER} of \d+ g\b", ("water",)),
    (rf"\b{NUMBER} degrees", ("temp",)),
)
# Sentences, examples and placeholders that stood on pages and in the demo.
OLD_WORDS = (
    "such as 11 ", "such as 90,", "as 1:30", "as 2:30", "paper on its third use",
    "used three times", "worth its cartridges", "Paper or metal", "plum, clean", "Two minutes",
    '{"dose_g": 13.0}', "bed shows at 3:00", "0.17 g", "0.17|amount", "78|amount",
)  # fmt: skip
# What describes the brewer of one maker.
ONE_DEVICE = re.compile(
    r"\b(hiss|plunger|chamber|puck|piston|disc|rubber seal|filter cap)\b(?!\()", re.IGNORECASE
)

# Lines as they stood, each of which the search has to find.
STOOD = (
    'return {"dose_g": 11.0, "water_g": 200.0} | super().initial(context)',
    'usual: FormData = {"dose_g": 22.0, "water_g": 240.0}',
    'ANY_BREW: FormData = {"dose_g": 22.0, "water_g": 240.0, "added_g": 160.0}',
    'like = form.cup(brewer.kind, 15.0, 250.0)',
    'usual = {"grinder_id": context.usual[1], "water_temp_c": 93.0, "steep_s": 120}',
    'dose_b_g = NumberField("Dose of B", bounds=bounds.DOSE_G, required=True, default=22.0)',
    'steep_b_s = DurationField("Steep of B", bounds=bounds.STEEP_S, default=240)',
    'dosed(11.0, 200.0, "medium-fine", 94.0, steep_s=105, press_s=25, stirs=3),',
    "pressed(240.0, 240, 40, *tail)",
    '("bloom", 0, 40, 50.0, "Swirl once."),',
    'Bought("ferry", 500.0, 1490, 8),',
    '"capacity_g": 265.0,',
    "PAPER_MASS_G = 0.17  # a small round paper; common practice, no source",
    "METAL_PRIOR_USES = 40",
    "# of all the water, where the capacity is not known: 240 of 400 g",
    'Pair(48, "flipped", {"steep_s": 180}, note="Two minutes against three."),',
    'raise ValueError("Please write seconds, such as 90, or minutes and seconds.")',
    '("press", steep_s, press_s, None, "Slowly; stop at the hiss."),',
    "A flipped brewer stands on its plunger and",
    '"name": "Metal disc",',
)  # fmt: skip


def old_amounts(text: str) -> list[str]:
    """What stands in a source that should not."""
    found = [words for words in OLD_WORDS if words in text]
    found += [hit[0] for hit in ONE_DEVICE.finditer(text)]
    for pattern, quantities in CONTEXTS:
        for hit in re.finditer(pattern, text, re.IGNORECASE):
            amounts = zip(quantities, hit.groups(), strict=True)
            found += [hit[0] for name, amount in amounts if float(amount) in OLD[name]]
    return found


def sources() -> list[Path]:
    kinds = ("*.py", "*.html", "*.js", "*.svg")
    rooms = (ROOT / "app", ROOT / "seed_demo", ROOT / "static")
    return [path for room in rooms for kind in kinds for path in sorted(room.rglob(kind))]


@pytest.mark.parametrize("line", STOOD)
def test_the_search_finds_what_stood_there(line):
    assert old_amounts(line)


def test_no_old_amount_stands_in_the_app_or_the_demo():
    assert len(sources()) > 300
    found = {str(path.relative_to(ROOT)): old_amounts(path.read_text()) for path in sources()}
    assert {path: hits for path, hits in found.items() if hits} == {}


def test_the_readme_has_no_case_of_the_trade():
    text = (ROOT / "README.md").read_text()
    assert old_amounts(text) == []


@pytest.mark.parametrize("name", SHEETS)
def test_no_worksheet_opens_with_an_old_amount(client: FlaskClient, name: str) -> None:
    opened = {field: values[0] for field, values in typed_into(client, name).items()}
    assert len(opened) >= 5
    for field, value in opened.items():
        if value and field in OLD_FIELDS:
            assert float(value) not in OLD_FIELDS[field], field
        assert value not in OLD_CLOCKS.get(field, ()), field
    assert "such as 11 " not in page.text(client.get(f"/worksheets/{name}?dose_g=x").text)


def test_no_recipe_of_the_demo_is_an_old_one(demo):
    columns = {
        "dose": RecipeRevision.dose_g, "water": RecipeRevision.water_g,
        "bypass": RecipeRevision.bypass_g, "ice": RecipeRevision.ice_g,
        "temp": RecipeRevision.water_temp_c, "steep": RecipeRevision.steep_s,
        "press": RecipeRevision.press_s, "stirs": RecipeRevision.stirs,
        "capacity": Brewer.capacity_g,
        "hardness": Water.hardness_mg_l, "alkalinity": Water.alkalinity_mg_l,
        "um_per_step": Grinder.um_per_step, "count": FilterPack.count,
        "price_minor": FilterPack.price_minor, "mass": FilterPack.mass_g,
        "prior_uses": Filter.prior_uses,
    }  # fmt: skip
    for name, column in columns.items():
        held = {value for value in demo.scalars(select(column).distinct()) if value is not None}
        assert held, name
        assert held & OLD[name] == set(), name
    poured = select(Step.grams).where(Step.kind.in_(("bloom", "pour")))
    assert set(demo.scalars(poured)) & (OLD["pour"] | OLD["water"]) == set()


def test_no_brew_of_the_demo_is_an_old_pair_of_dose_and_water(demo):
    """Doses stray by tenths of a gram, so one amount may meet; a dose with its water does not."""
    made = union(
        select(Brew.dose_g, Brew.water_g), select(RecipeRevision.dose_g, RecipeRevision.water_g)
    )
    for dose_g, water_g in demo.execute(made):
        assert dose_g not in OLD["dose"] or water_g not in OLD["water"]
