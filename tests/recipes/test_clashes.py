"""The steps of a recipe that two people change: compared, chosen and kept as one list."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from app.database import Database
from tests.support import page
from tests.support.factories import Make
from tests.support.recipes import POURS, kinds, revisions, steps

PRESS = {"kind": "press", "starts_s": 150, "lasts_s": 30}
REVISE = "/recipes/1/revise"
# How the list of steps is changed in the form: added to, one taken out, put in another order.
ADDED = {"steps-3-kind": "stir", "steps-3-place": "1.5", "steps-3-note": "once"}
TAKEN_OUT = {f"steps-0-{name}": None for name in ("place", "kind", "starts_s", "lasts_s", "grams")}
REORDERED = {"steps-2-place": "0.5"}


def opened(client: FlaskClient, address: str = REVISE, **typed: Any) -> page.Values:
    return page.filled(client.get(address).text, holding="dose_g", **typed)


def latest(journal: Database) -> list[str]:
    return kinds(revisions(journal)[-1])


@pytest.mark.parametrize("brewed", [False, True])
@pytest.mark.parametrize(
    ("typed", "saved"),
    [
        (ADDED, ["bloom", "stir", "pour", "press"]),
        (TAKEN_OUT | {"steps-0-note": None}, ["pour", "press"]),
        (REORDERED, ["press", "bloom", "pour"]),
    ],
)
def test_a_changed_list_of_steps_is_told_whole_and_comes_back_whole(
    client: FlaskClient,
    journal: Database,
    make: Make,
    brewed: bool,
    typed: dict[str, str | None],
    saved: list[str],
) -> None:
    """C2, C14: rows are not mixed, and the list as it was before is found and saved again."""
    recipe = make.recipe(steps=[*POURS, PRESS])
    if brewed:
        make.brew(recipe=recipe)
    first, second = opened(client, **typed), opened(client, **{"steps-1-grams": "175"})
    assert client.post(REVISE, data=first).status_code == 303
    assert latest(journal) == saved

    told = client.post(REVISE, data=second)
    assert told.status_code == 409
    fields = page.form(told.text, holding="seen")
    assert [name for name in fields if name.startswith("take-")] == ["take-steps"]
    words = page.text(told.text)
    mine = "1. bloom, starts at 0:00, lasts 0:30, water or ice 40 g 2. pour, starts at 0:30, "
    assert mine + "water or ice 175 g, note in circles 3. press" in words
    assert f"{len(saved)}. {saved[-1]}" in words

    client.post(REVISE, data=fields | {"take-steps": ["theirs"]})
    assert latest(journal) == saved
    client.post(REVISE, data=fields | {"take-steps": ["mine"], "entry_key": [""]})
    assert latest(journal) == ["bloom", "pour", "press"]
    assert [step.grams for step in revisions(journal)[-1].steps] == [40, 175, None]

    before = opened(client, f"{REVISE}?before_change=2")
    client.post(REVISE, data=before)
    assert latest(journal) == saved
    before = opened(client, f"{REVISE}?before_change=1")
    client.post(REVISE, data=before)
    assert latest(journal) == ["bloom", "pour", "press"]
    assert [step.grams for step in revisions(journal)[-1].steps] == [40, 180, None]
    assert revisions(journal)[-1].steps[1].note == "in circles"


def test_the_history_shows_steps_as_a_person_reads_them(client: FlaskClient, make: Make) -> None:
    make.recipe(steps=POURS)
    client.post(REVISE, data=opened(client, **{"steps-2-kind": "press", "steps-2-place": "3"}))
    shown = page.text(client.get("/history/recipe/1").text)
    assert "Steps 1. bloom, starts at 0:00, lasts 0:30, water or ice 40 g 2. pour" in shown
    assert "3. press" in shown
    assert "steps-" not in shown
    assert "Place" not in shown


def test_steps_typed_in_another_order_of_rows_are_no_change(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """What counts is the place: the same steps in other rows clash with nothing."""
    recipe = make.recipe(steps=POURS)
    make.brew(recipe=recipe)
    sent = opened(client)
    bare = {name: held for name, held in sent.items() if not name.startswith("steps-")}
    rows = steps(
        {"place": "2", "kind": "pour", "starts_s": "30", "grams": "180", "note": "in circles"},
        {"place": "", "kind": ""},
        {"place": "1", "kind": "bloom", "starts_s": "0", "lasts_s": "0:30", "grams": "40,0"},
    )
    assert client.post(REVISE, data=bare | rows).status_code == 303
    assert [made.number for made in revisions(journal)] == [1]
    assert "No changes yet" in page.text(client.get("/history/recipe/1").text)


def test_a_slip_mended_after_somebody_elses_change_is_still_told(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C2: a refused form keeps the version it was shown."""
    make.recipe(steps=POURS, note="as written")
    slip, theirs = opened(client, dose_g="much", why="mine"), opened(client, note="theirs")
    client.post(REVISE, data=theirs)
    refused = client.post(REVISE, data=slip)
    assert refused.status_code == 422
    mended = page.filled(refused.text, holding="dose_g", dose_g="15")
    assert mended["why"] == ["mine"]
    told = client.post(REVISE, data=mended)
    assert told.status_code == 409
    client.post(REVISE, data=page.form(told.text, holding="seen"))
    (kept,) = revisions(journal)
    assert (kept.dose_g, kept.why) == (15, "mine")
    assert "theirs" in page.text(client.get("/recipes/1").text)


def test_a_recipe_is_opened_as_it_was_with_a_brewer_that_is_binned_now(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    old, new = make.brewer(name="Old press"), make.brewer(name="New cone")
    make.recipe(brewer_id=old.id)
    client.post(REVISE, data=opened(client, brewer_id=str(new.id)))
    client.post(f"/gear/brewers/{old.id}/bin")
    before = opened(client, f"{REVISE}?before_change=1")
    assert before["brewer_id"] == [str(old.id)]
    assert client.post(REVISE, data=before).status_code == 303
    assert revisions(journal)[-1].brewer_id == old.id


def test_a_worksheet_does_not_keep_over_somebody_elses_change(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C2: its answer began from a recipe that is another one now."""
    make.recipe("House cup", dose_g=15.0, steps=POURS)
    address = "/worksheets/scale?recipe=1&to_cups=2"
    sheet = page.form(client.get(address).text, holding="which") | {"as": ["revision"]}
    client.post(REVISE, data=opened(client, dose_g="16"))
    told = client.post(address, data=sheet)
    assert told.location == address
    assert revisions(journal)[-1].dose_g == 16
    shown = client.get(address).text
    assert "changed after this worksheet was opened" in page.text(shown)
    again = page.form(shown, holding="which") | {"as": ["revision"]}
    assert client.post(address, data=again).location == "/recipes/1"
    assert revisions(journal)[-1].dose_g == 32


def test_a_revision_kept_from_a_worksheet_can_be_undone_and_is_told(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C2, C14: it changes in place what was not brewed yet."""
    make.recipe("House cup", dose_g=15.0, steps=POURS)
    form, address = opened(client, note="mine"), "/worksheets/scale?recipe=1&to_cups=2"
    sheet = page.form(client.get(address).text, holding="which") | {"as": ["revision"]}
    assert [client.post(address, data=sheet).status_code for _ in range(2)] == [303, 303]
    (kept,) = revisions(journal)
    assert (kept.dose_g, [step.grams for step in kept.steps]) == (30, [80, 360])

    told = client.post(REVISE, data=form)
    assert told.status_code == 409
    assert "kept from a worksheet" in page.text(told.text)
    client.post(REVISE, data=page.form(told.text, holding="seen"))
    assert revisions(journal)[-1].dose_g == 30

    client.post(REVISE, data=opened(client, f"{REVISE}?before_change=1"))
    (kept,) = revisions(journal)
    assert (kept.dose_g, [step.grams for step in kept.steps]) == (15, [40, 180])


def test_a_worksheets_answer_kept_twice_is_one_recipe_and_another_answer_is_another(
    client: FlaskClient, journal: Database
) -> None:
    """C9, C3: what a worksheet answers stands in its URL, so that counts too."""
    address = "/worksheets/scale?dose_g=15&water_g=250&to_cups="
    sheet = page.form(client.get(f"{address}2").text, holding="which") | {"as": ["new"]}
    first, again = (client.post(f"{address}2", data=sheet) for _ in range(2))
    assert first.location == again.location
    assert [made.dose_g for made in revisions(journal)] == [30]
    told = client.post(f"{address}3", data=sheet)
    assert told.status_code == 409
    anew = page.form(told.text, holding="which")
    action = next(a["action"] for a, v in page.read(told.text).forms if "which" in v)
    assert client.post(action, data=anew).status_code == 303
    assert [made.dose_g for made in revisions(journal)] == [30, 45]
