"""Filters put back into their pack: out of every count, and out of the bin again as they were."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass, field
from typing import Any

from flask.testing import FlaskClient
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st
from sqlalchemy.orm import Session

from app.database import Database
from app.filters.queries import pack_filters, pack_totals
from app.journal.on_hand import on_hand
from app.journal.packs import packs_with_left
from app.journal.uses import uses_of_brews
from app.models import Brew, Filter, FilterPack
from tests.support import page
from tests.support.clock import A_DAY, FIRST_BREW, NOON
from tests.support.factories import Make


def says(client: FlaskClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return page.text(answer.text)


def test_a_filter_put_back_is_offered_and_counted_nowhere(client: FlaskClient, make: Make) -> None:
    """C14: on hand, in the brew form, in a search, among the retired, in the sums of its pack."""
    pack = make.pack(count=10, price_minor=1000)
    kept, gone = make.filter(pack, prior_uses=2), make.filter(pack, prior_uses=3, note="A crease")
    old = make.filter(pack, retired_on=FIRST_BREW.date())
    make.brew(filters=[kept])
    places = ("/filters/", "/brews/new", f"/filters/packs/{pack.id}", "/blind/new", "/brews/")
    before = {place: says(client, place) for place in places}
    assert all("o. 2" in shown for shown in before.values())
    for each in (gone, old):
        client.post(f"/filters/{each.id}/put-back")
    client.get("/more")  # takes the messages
    after = {place: says(client, place) for place in places}
    assert not any("o. 2" in shown for shown in after.values())
    assert "Left 9 of 10" in after[f"/filters/packs/{pack.id}"]
    assert "Cups through its filters 3 " in after[f"/filters/packs/{pack.id}"]
    assert "No. 3" not in says(client, "/filters/retired")
    shown = says(client, f"/filters/{gone.id}")
    assert "in the bin Restore" in shown
    assert "Retire" not in shown
    assert "A crease" in shown
    for each in (gone, old):
        answer = client.post(f"/filters/{each.id}/restore")
        assert "out of its pack again, as it was" in says(client, answer.location)
    assert {place: says(client, place) for place in places} == before
    assert "no. 3" in says(client, "/filters/retired")


def test_its_number_is_not_given_again(client: FlaskClient, make: Make) -> None:
    """C14: so that it comes back under the number that is written on it."""
    pack = make.pack()
    make.filter(pack, rinse="cold")
    gone = make.filter(pack, rinse="hot")
    client.post(f"/filters/{gone.id}/put-back")
    taken = client.post(f"/filters/packs/{pack.id}/take").location
    assert "White round no. 3" in says(client, taken)
    assert "Rinsed before brewing cold" in says(client, taken)
    client.post(f"/filters/{gone.id}/restore")
    shown = says(client, f"/filters/packs/{pack.id}")
    assert all(f"No. {number}" in shown for number in (1, 2, 3))


def test_no_more_come_out_of_a_pack_than_it_held(client: FlaskClient, make: Make) -> None:
    """C14: the sentence says how it comes back all the same."""
    pack = make.pack(count=1)
    gone = make.filter(pack)
    client.post(f"/filters/{gone.id}/put-back")
    taken = client.post(f"/filters/packs/{pack.id}/take").location
    answer = client.post(f"/filters/{gone.id}/restore")
    assert "No. 1 stays in the bin: all 1 of White round are out." in says(client, answer.location)
    client.post(f"{taken}/put-back")
    answer = client.post(f"/filters/{gone.id}/restore")
    assert "as it was" in says(client, answer.location)


def test_a_brew_form_left_open_does_not_use_a_filter_in_the_bin(
    client: FlaskClient, make: Make
) -> None:
    """C14: nothing that was typed is lost, and the filter is named."""
    make.brew(filters=[make.filter()])
    gone = make.filter()
    opened = client.get("/brews/new").text
    values = page.filled(opened, holding="dose_g", filter_1=str(gone.id), note="typed")
    client.post(f"/filters/{gone.id}/put-back")
    answer = client.post("/brews/new", data=values)
    assert answer.status_code == 422
    assert "Filter: Please choose one from the list." in page.text(answer.text)
    assert page.form(answer.text, holding="dose_g")["note"] == ["typed"]


PACKS, FILTERS, BREWS = 2, 5, 6
Thing = tuple[str, int]
ACTS = st.lists(
    st.one_of(
        st.tuples(st.just("brew"), st.integers(0, BREWS - 1)),
        st.tuples(st.just("filter"), st.integers(0, FILTERS - 1)),
        st.tuples(st.just("pack"), st.integers(0, PACKS - 1)),
    ).flatmap(lambda thing: st.tuples(st.just(thing), st.booleans())),
    max_size=20,
)
STACKS = st.lists(st.sets(st.integers(0, FILTERS - 2), max_size=2), min_size=BREWS, max_size=BREWS)
DEEDS = {
    "brew": ("/brews/{}/bin", "/brews/{}/restore"),
    "filter": ("/filters/{}/put-back", "/filters/{}/restore"),
    "pack": ("/filters/packs/{}/bin", "/filters/packs/{}/restore"),
}


@dataclass
class Shelf:
    """Packs, filters out of them and brews through those, by the place each has in the test."""

    packs: dict[int, FilterPack] = field(default_factory=dict)
    filters: dict[int, Filter] = field(default_factory=dict)
    brews: dict[int, Brew] = field(default_factory=dict)

    def row(self, thing: Thing) -> Any:
        kind, place = thing
        rows: dict[str, dict[int, Any]] = {
            "pack": self.packs, "filter": self.filters, "brew": self.brews,
        }  # fmt: skip
        return rows[kind][place]


def stock(make: Make, stacks: Sequence[set[int]], gone: Set[Thing] = frozenset()) -> Shelf:
    """A shelf on which what is `gone` never was; a pack that is gone still names its filters."""
    shelf = Shelf()
    for place in range(PACKS):
        away = {"binned_at": NOON} if ("pack", place) in gone else {}
        shelf.packs[place] = make.pack(count=9, price_minor=900, **away)
    for place in range(FILTERS):
        if ("filter", place) not in gone:
            given = {"number": place + 1, "prior_uses": place}
            shelf.filters[place] = make.filter(shelf.packs[place // 3], **given)
    for place, stack in enumerate(stacks):
        if ("brew", place) not in gone:
            through = [shelf.filters[each] for each in sorted(stack)]
            at = FIRST_BREW + place % 4 * A_DAY
            shelf.brews[place] = make.brew(filters=through, brewed_at=at)
    return shelf


def counts(session: Session, shelf: Shelf, gone: Set[Thing] = frozenset()) -> dict[str, Any]:
    """All that is counted of a shelf, by place instead of by id."""
    brews = {row.id: at for at, row in shelf.brews.items() if ("brew", at) not in gone}
    filters = {row.id: at for at, row in shelf.filters.items()}
    packs = {row.id: at for at, row in shelf.packs.items()}
    uses = uses_of_brews(session, brews)
    hand, left = on_hand(session, most=10_000), packs_with_left(session)
    return {
        "uses": {
            brews[brew_id]: [(filters[use.filter_id], use.number, use.gap_days) for use in stack]
            for brew_id, stack in uses.items()
        },
        "on hand": {
            filters[row.filter_id]: (row.uses, row.last_on)
            for row in hand
            if row.filter_id in filters
        },
        "left": {packs[row.id]: row.left for row in left if row.id in packs},
        "totals": [pack_totals(session, pack) for pack in shelf.packs.values()],
        "out of each": [
            [
                (row.number, row.uses, row.last_on, row.retired_on)
                for row in pack_filters(session, pack.id, None).rows
            ]
            for pack in shelf.packs.values()
        ],
    }


@settings(
    max_examples=30,
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(stacks=STACKS, acts=ACTS)
@example(stacks=[set()] * BREWS, acts=[(("filter", 0), True), (("filter", 1), True)])
@example(
    stacks=[{0, 1}] * BREWS,
    acts=[(("brew", 0), True), (("filter", 0), True), (("filter", 4), True), (("pack", 1), True)],
)
def test_counts_are_those_of_a_journal_without_what_is_in_the_bin(
    make: Make,
    journal: Database,
    client: FlaskClient,
    stacks: list[set[int]],
    acts: list[tuple[Thing, bool]],
) -> None:
    """C14: after any sequence of binning and restoring brews, filters and packs; and all restored,
    as they were before."""
    shelf, gone = stock(make, stacks), set[Thing]()
    with Session(journal.reader) as session:
        before = counts(session, shelf)
    used = {("filter", place) for stack in stacks for place in stack}
    for thing, away in acts:
        address = DEEDS[thing[0]][0 if away else 1].format(shelf.row(thing).id)
        assert client.post(address).status_code == 303
        if away and thing not in used:
            gone.add(thing)
        elif not away:
            gone.discard(thing)
    plain = stock(make, stacks, gone)
    with Session(journal.reader) as session:
        assert counts(session, shelf, gone) == counts(session, plain)
    for thing in gone:
        client.post(DEEDS[thing[0]][1].format(shelf.row(thing).id))
    with Session(journal.reader) as session:
        assert counts(session, shelf) == before
