"""Alike brewers: several objects, one cause, with values learned together."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from itertools import permutations
from random import Random

import pytest
from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.alike import alike_ids, alike_to, another_name, left_to_right, one_more, set_alike
from app.journal.along import Value, moved_settings, settings_of
from app.journal.brews import read_brews
from app.journal.estimates import learned
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import read_pair, read_sides
from app.journal.pairs.scores import repeat_groups
from app.models import Brewer
from tests.support.clock import NOON
from tests.support.factories import Make


def mark(journal: Database, brewer: Brewer, other: Brewer | None) -> None:
    with journal.write_session() as session, session.begin():
        set_alike(session, session.get_one(Brewer, brewer.id), other.id if other else None)


def firsts(journal: Database) -> dict[int, int | None]:
    with Session(journal.reader) as session:
        rows = session.execute(select(Brewer.id, Brewer.alike_to_id).order_by(Brewer.id))
        return {row.id: row.alike_to_id for row in rows}


def join(groups: dict[int, set[int]], brewer_id: int, other_id: int | None) -> None:
    """What marking does, by hand: a brewer leaves its set and joins another, or none."""
    groups[brewer_id].discard(brewer_id)
    groups[brewer_id] = groups[other_id] if other_id else set()
    groups[brewer_id].add(brewer_id)


def first_of_each(groups: dict[int, set[int]]) -> dict[int, int | None]:
    return {n: None if n == min(group) else min(group) for n, group in groups.items()}


def test_left_and_right_with_one_thing_changed_is_a_fair_test_of_that_thing(
    journal: Database, make: Make
) -> None:
    left, right = make.brewer(name="Left press"), make.brewer(name="Right press")
    one, first, second = (make.filter() for _ in range(3))
    a = make.brew(brewer=left, filters=[one])
    b = make.brew(brewer=right, filters=[first, second], brewed_at=a.brewed_at)
    with Session(journal.reader) as session:
        pair = read_pair(session, a.id, b.id, "bag")
        assert pair is not None
        assert "one thing differs, the brewer" in pair.fairness.sentence
    mark(journal, right, left)
    for ours, theirs in ((a, b), (b, a)):
        with Session(journal.reader) as session:
            pair = read_pair(session, ours.id, theirs.id, "bag")
            assert pair is not None
            assert "fair test: one thing differs, the filter." in pair.fairness.sentence
            assert pair.fairness.sentence.endswith("The two brewers are alike and count as one.")


def test_the_same_recipe_in_left_and_right_is_a_repeat(journal: Database, make: Make) -> None:
    """They are among the repeats that other pairs are set beside, too."""
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    brews = [make.brew(brewer=one, steep_s=95) for one in (left, right, left, right)]
    other = make.brew(brewer=make.brewer(name="Small press"), steep_s=95)
    with Session(journal.reader) as session:
        sides = read_sides(session, [*(brew.id for brew in brews), other.id])
    setups = {brew_id: sides[brew_id].setup for brew_id in sorted(sides)}
    assert compare(setups[brews[0].id], setups[brews[1].id]).verdict == "repeat"
    assert repeat_groups(setups) == [[brew.id for brew in brews]]


def test_what_is_learned_is_shared(journal: Database, make: Make) -> None:
    left, right, other = (make.brewer(name=name) for name in ("Left", "Right", "Other"))
    for brewer in (left, right, right, other):
        make.brew(brewer=brewer, tds_pct=1.31, beverage_g=186.0, steep_s=120)
    brews = {one.name: make.brew(brewer=one, steep_s=120) for one in (left, right, other)}

    def read(session: Session) -> dict[str, object]:
        rows = read_brews(session, [brew.id for brew in brews.values()])
        return dict(zip(brews, [row.estimate for row in rows[::-1]], strict=True))

    with journal.read_session() as session:
        apart = read(session)
        assert {one.n for one in learned(session).retained.values()} == {1, 2}
    mark(journal, left, right)
    with journal.read_session() as session:
        known, together = learned(session), read(session)
        assert known.retained[left.id].n == 3
        assert known.calibrations[left.id, None].n == 3
        assert right.id not in known.retained
    assert together["Left"] == together["Right"]
    assert apart["Left"] != apart["Right"]
    assert together["Other"] == apart["Other"]
    mark(journal, right, None)
    with journal.read_session() as session:
        assert read(session) == apart


def test_brewing_left_then_right_moves_nothing_along_an_axis(journal: Database, make: Make) -> None:
    """A bag that is begun in one press and ended in the other did not change its brewer."""
    left = make.brewer(name="Left press")
    right, other = make.brewer(name="Right press"), make.brewer(name="Other press")

    def moved(*brewers: Brewer) -> list[str]:
        brews = [make.brew(brewer=one) for one in brewers for _ in range(12)]
        values = [Value(one.id, one.brewed_on, float(n), 6.0) for n, one in enumerate(brews)]
        with Session(journal.reader) as session:
            return moved_settings(values, settings_of(session, [one.id for one in brews]))

    assert moved(left, right) == ["brewer"]
    mark(journal, right, left)
    assert moved(left, right) == []
    assert moved(left, other) == ["brewer"]


def test_the_first_stands_for_all_whatever_was_marked(journal: Database, make: Make) -> None:
    """Held against sets that are joined and left by hand: no chain, no loop, nobody forgotten."""
    brewers = [make.brewer(name=str(n)) for n in range(6)]
    groups = {one.id: {one.id} for one in brewers}
    rng = Random(11)
    for _ in range(60):
        brewer, other = rng.sample(brewers, 2)
        chosen = other if rng.random() < 0.7 else None
        mark(journal, brewer, chosen)
        join(groups, brewer.id, chosen.id if chosen else None)
        assert firsts(journal) == first_of_each(groups)
        with Session(journal.reader) as session:
            for one in brewers:
                assert set(session.scalars(alike_ids(one.id))) == groups[one.id]
                others = alike_to(session, session.get_one(Brewer, one.id))
                assert [row.id for row in others] == sorted(groups[one.id] - {one.id})


def test_marked_by_several_at_once_it_comes_out_as_one_after_another(
    journal: Database, make: Make
) -> None:
    brewers = [make.brewer(name=str(n)) for n in range(3)]
    wanted = list(permutations(brewers, 2))
    possible = []
    for order in permutations(wanted):
        groups = {one.id: {one.id} for one in brewers}
        for brewer, other in order:
            join(groups, brewer.id, other.id)
        possible.append(first_of_each(groups))
    with ThreadPoolExecutor(len(wanted)) as pool:
        list(pool.map(lambda pair: mark(journal, *pair), wanted))
    assert firsts(journal) in possible


def test_who_marks_waits_for_who_is_marking(journal: Database, make: Make) -> None:
    """Else the third would be left pointing at the second, and that at the first: a chain."""
    first, second, third = (make.brewer(name=str(n)) for n in range(3))
    with ThreadPoolExecutor(1) as pool:
        with journal.write_session() as session, session.begin():
            set_alike(session, session.get_one(Brewer, third.id), second.id)
            waiting = pool.submit(mark, journal, second, first)
            with pytest.raises(TimeoutError):
                waiting.result(timeout=0.5)
        waiting.result(timeout=10)
    assert firsts(journal) == {first.id: None, second.id: first.id, third.id: None}


def test_the_journal_refuses_a_brewer_alike_to_itself_or_to_a_later_one(make: Make) -> None:
    first = make.brewer()
    with pytest.raises(IntegrityError):
        make.brewer(id=first.id + 1, alike_to_id=first.id + 1)
    with pytest.raises(IntegrityError):
        make.brewer(id=first.id + 1, alike_to_id=first.id + 9)


def test_brewers_of_two_kinds_are_not_alike(journal: Database, make: Make) -> None:
    press, cone = make.brewer(), make.brewer(name="Clay cone", kind="cone")
    with pytest.raises(ValueError, match="Clay cone is of the kind cone"):
        mark(journal, press, cone)
    with pytest.raises(ValueError, match="Choose another brewer"):
        mark(journal, press, press)
    assert set(firsts(journal).values()) == {None}


def test_another_one_has_the_same_size_and_a_name_of_its_own(journal: Database, make: Make) -> None:
    left = make.brewer(name="Left press", capacity_g=355.0, capacity_dose_g=17.5)
    with journal.write_session() as session, session.begin():
        right = one_more(session, session.get_one(Brewer, left.id))
        third = one_more(session, right)
        assert (right.name, third.name) == ("Right press", "Right press, right")
        for one in (right, third):
            assert (one.kind, one.capacity_g, one.capacity_dose_g) == (left.kind, 355.0, 17.5)
            assert one.first_id == one.id


@pytest.mark.parametrize(
    ("name", "taken", "another"),
    [
        ("Press", {"Press"}, "Press, right"),
        ("Press", {"Press", "Press, right"}, "Press, no. 3"),
        ("Press", {"Press", "Press, right", "Press, no. 3"}, "Press, no. 4"),
        ("The left one", {"The left one"}, "The right one"),
        ("Leftover jug", {"Leftover jug"}, "Leftover jug, right"),
        ("x" * 120, {"x" * 120}, "x" * 113 + ", right"),
    ],
)
def test_another_ones_name(name: str, taken: set[str], another: str) -> None:
    assert another_name(name, taken) == another


def test_they_stand_from_left_to_right_without_those_in_the_bin(
    journal: Database, make: Make
) -> None:
    first = make.brewer(name="Press, right")
    plain = make.brewer(name="Press", alike_to_id=first.id)
    left = make.brewer(name="press (LEFT)", alike_to_id=first.id)
    make.brewer(name="Left, cracked", alike_to_id=first.id, binned_at=NOON)
    lone = make.brewer(name="Lone")
    with Session(journal.reader) as session:
        assert left_to_right(session, first.id) == [left.id, plain.id, first.id]
        assert left_to_right(session, lone.id) == [lone.id]
        assert left_to_right(session, 99) == []
