"""The use number of a filter is a count over the journal, whatever was done to it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from flask.testing import FlaskClient
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.on_hand import on_hand
from app.journal.uses import uses_of_brews
from app.models import Brew
from tests.support import page
from tests.support.factories import Make

LAST_TUESDAY = "2026-09-08T07:15"


def numbers(journal: Database, brews: list[Brew]) -> list[int]:
    with Session(journal.reader) as session:
        stacks = uses_of_brews(session, [brew.id for brew in brews])
    return [stacks[brew.id][0].number for brew in brews]


def test_a_late_entry_renumbers_what_came_after(
    client: FlaskClient, make: Make, journal: Database, freeze: Callable[[str], None]
) -> None:
    paper = make.filter()
    monday = make.brew(filters=[paper], brewed_at="2026-09-07T07:00")
    wednesday = make.brew(filters=[paper], brewed_at="2026-09-09T07:00")
    assert numbers(journal, [monday, wednesday]) == [1, 2]
    values = page.filled(client.get("/brews/new").text, holding="dose_g", brewed_at=LAST_TUESDAY)
    client.post("/brews/new", data=values)
    assert numbers(journal, [monday, wednesday]) == [1, 3]


def test_binning_moving_and_restoring_renumber(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    paper = make.filter(prior_uses=2)
    brews = [make.brew(filters=[paper]) for _ in range(3)]
    assert numbers(journal, brews) == [3, 4, 5]
    client.post(f"/brews/{brews[0].id}/bin")
    assert numbers(journal, brews[1:]) == [3, 4]
    client.post(f"/brews/{brews[0].id}/restore")
    edit = f"/brews/{brews[0].id}/edit"
    moved = page.filled(client.get(edit).text, holding="dose_g", brewed_at="2026-09-01T07:00")
    client.post(edit, data=moved)
    assert numbers(journal, brews) == [5, 3, 4]


def test_changing_the_paper_of_a_brew_renumbers_both(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, two = make.filter(), make.filter()
    brews = [make.brew(filters=[one]) for _ in range(2)] + [make.brew(filters=[two])]
    edit = f"/brews/{brews[0].id}/edit"
    client.post(
        edit, data=page.filled(client.get(edit).text, holding="dose_g", filter_1=str(two.id))
    )
    assert numbers(journal, brews) == [1, 1, 2]


def test_bag_grams_follow_late_entries_edits_and_the_bin(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    bag = make.bag(net_g=100.0)
    brew = make.brew(bag, dose_g=11.0)
    shown = page.text(client.get("/brews/new").text)
    assert "89 g left" in shown
    edit = f"/brews/{brew.id}/edit"
    client.post(edit, data=page.filled(client.get(edit).text, holding="dose_g", dose_g="15"))
    assert "85 g left" in page.text(client.get("/brews/new").text)
    client.post(f"/brews/{brew.id}/bin")
    assert "100 g left" in page.text(client.get("/brews/new").text)


START = datetime(2026, 1, 1, tzinfo=UTC)
ACTS = st.lists(
    st.tuples(
        st.sampled_from(["add", "move", "bin", "restore", "swap"]),
        st.integers(0, 9),
        st.integers(0, 40),
        st.integers(0, 2),
    ),
    max_size=25,
)


def brute_force(rows: list[dict[str, Any]], paper: int, target: dict[str, Any]) -> int:
    """Count by hand: the brews through this paper, not in the bin, up to this one."""
    key = (target["at"], target["id"])
    return sum(
        1
        for row in rows
        if row["paper"] == paper and not row["binned"] and (row["at"], row["id"]) <= key
    )


@settings(
    max_examples=25,
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(acts=ACTS)
def test_use_numbers_equal_a_count_by_hand_under_random_edits(
    make: Make, journal: Database, client: FlaskClient, acts: list[tuple[str, int, int, int]]
) -> None:
    papers = [make.filter(prior_uses=n) for n in range(3)]
    rows: list[dict[str, Any]] = []
    for act, which, hours, paper in acts:
        at = START + timedelta(hours=hours)
        if act == "add" or not rows:
            brew = make.brew(filters=[papers[paper]], brewed_at=at)
            rows.append({"id": brew.id, "at": at, "paper": paper, "binned": False})
            continue
        row = rows[which % len(rows)]
        if act in ("bin", "restore"):
            client.post(f"/brews/{row['id']}/{act}")
            row["binned"] = act == "bin"
            continue
        edit = f"/brews/{row['id']}/edit"
        typed = {"brewed_at": f"{at:%Y-%m-%dT%H:%M}"} if act == "move" else {}
        typed |= {"filter_1": str(papers[paper].id)} if act == "swap" else {}
        html = client.get(edit).text
        assert (
            client.post(edit, data=page.filled(html, holding="dose_g", **typed)).status_code == 303
        )
        row |= {"at": at} if act == "move" else {"paper": paper}
    live = [row for row in rows if not row["binned"]]
    with Session(journal.reader) as session:
        stacks = uses_of_brews(session, [row["id"] for row in live])
        hand = {row.filter_id: row.uses for row in on_hand(session, most=1000)}
    for row in live:
        expected = papers[row["paper"]].prior_uses + brute_force(rows, row["paper"], row)
        assert stacks[row["id"]][0].number == expected
    for number, paper_row in enumerate(papers):
        used = sum(row["paper"] == number for row in live)
        assert hand[paper_row.id] == paper_row.prior_uses + used
        client.post(f"/filters/{paper_row.id}/retire")
