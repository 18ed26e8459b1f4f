"""A package is put beside what is here: known rows once, differing ones listed, undone as one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from sqlalchemy import func, select, update
from sqlalchemy.orm import Session

from app.database import Database
from app.exchange.merging import Differs
from app.journal.history import Thing, record, version_of
from app.journal.imports.taking_back import take_back
from app.models import (
    Bag,
    Base,
    Bean,
    Brew,
    Change,
    FilterUse,
    JournalIdentity,
    Question,
    QuestionGroups,
    RecipeRevision,
    Settings,
    Taster,
    Tasting,
)
from app.models.history import FieldText
from app.revisions import head
from tests.exchange.conftest import NOW, files_of, into, out
from tests.migrations.filling import fill
from tests.support.clock import NOON
from tests.support.factories import Make

Another = Callable[[str], Database]


def _counts(journal: Database) -> dict[str, int]:
    with Session(journal.reader) as session:
        return {
            name: session.scalar(select(func.count()).select_from(table)) or 0
            for name, table in Base.metadata.tables.items()
        }


@pytest.fixture
def mine(another: Another) -> Database:
    return another("mine")


@pytest.fixture
def theirs(another: Another) -> Database:
    return another("theirs")


def _household(journal: Database, name: str) -> Make:
    """A household with one of everything that a brew is of; all names but the taster's differ."""
    make = Make(journal)
    bag = make.bag(make.bean(name=name, roaster=name), note=name)
    brewer, taster = make.brewer(name=f"{name} press"), make.taster(name="Nell")
    recipe = make.recipe(name=f"{name} recipe")
    # A key of its own, as the forms of two households have.
    brew = make.brew(bag, brewer, recipe, [make.filter()], note=name, entry_key=f"{name} brew")
    make.tasting(brew, taster, entry_key=f"{name} tasting")
    make.photo(brew, b"\xff\xd8" + name.encode())
    return make


def test_another_journal_comes_beside_what_is_here_once(mine: Database, theirs: Database) -> None:
    _household(mine, "Own")
    _household(theirs, "Other")
    came = into(mine, out(theirs))
    assert (came.is_empty, came.same_journal, came.differs, came.left) == (False, False, 0, 0)
    assert came.counts["taster"] == {"same": 1, "new": 0}  # the same name is the same person
    with Session(mine.reader) as session:
        brews = session.scalars(select(Brew).order_by(Brew.id)).all()
        notes = [brew.note for brew in brews]
        bags = [session.get_one(Bag, brew.bag_id) for brew in brews]
        beans = [session.get_one(Bean, bag.bean_id).name for bag in bags]
        uses = session.scalars(select(FilterUse.brew_id).order_by(FilterUse.brew_id)).all()
        tasters = set(session.scalars(select(Tasting.taster_id)))
    assert (notes, beans) == (["Own", "Other"], ["Own", "Other"])
    assert [bag.note for bag in bags] == ["Own", "Other"]
    assert list(uses) == [brew.id for brew in brews]
    assert len(tasters) == 1
    before = _counts(mine)
    again = into(mine, out(theirs))
    assert (again.new, again.differs, again.import_id) == (0, 0, None)
    assert _counts(mine) == before


def test_a_full_journal_comes_beside_another_and_is_taken_back(
    mine: Database, theirs: Database
) -> None:
    _household(mine, "Own")
    fill(Make(theirs), head())
    with mine.writing() as session:  # so that none of its keys is one of the other's
        for model in (Brew, Tasting):
            for row in session.scalars(select(model)):
                row.entry_key = f"own {row.id}"
    out(mine)
    before, package = _counts(mine), out(mine)
    came = into(mine, out(theirs))
    assert came.import_id is not None
    assert came.new > 50
    again = into(mine, out(theirs))
    left = {name: counts["left"] for name, counts in again.counts.items() if counts.get("left")}
    assert (again.new, again.differs) == (0, 0)
    assert left == {}
    with mine.writing() as session:
        take_back(session, came.import_id, NOW)
    after = _counts(mine)
    assert after == before | {"journal_import": 1}
    assert out(mine) == package
    assert into(mine, out(theirs)).new == came.new  # redo is importing again


def test_numbers_in_versions_and_groups_follow(mine: Database, theirs: Database) -> None:
    _household(mine, "Own")
    make = _household(theirs, "Other")
    fields: list[FieldText] = [
        {"name": "bag_id", "label": "Bag", "values": ["1"], "shown": "Other", "unit": None},
        {"name": "filter_1", "label": "Filter", "values": ["1"], "shown": "no. 1", "unit": None},
        {"name": "dose_g", "label": "Dose", "values": ["1.0"], "shown": "", "unit": "g"},
    ]
    with theirs.writing() as session:
        record(session, Thing("brew", 1), fields, fields[:1])
    question = make.save(Question(text="Is it?", asked_at=NOON))
    query = "both-bag=1&a-use_to=1&b-taster=1"
    make.save(
        QuestionGroups(question_id=question.id, query=query, words="w", said="", tied_at=NOON)
    )
    into(mine, out(theirs))
    with Session(mine.reader) as session:
        (change,) = session.scalars(select(Change))
        groups = session.scalars(select(QuestionGroups)).one()
    assert (change.thing, change.row_id, change.number) == ("brew", 2, 1)
    assert [field["values"] for field in change.before] == [["2"], ["2"], ["1.0"]]
    assert groups.query == "both-bag=2&a-use_to=1&b-taster=1"


@pytest.fixture
def copy(mine: Database, another: Another) -> Database:
    """A copy of the journal `mine`, brought in by its package."""
    _household(mine, "Own")
    journal = another("copy")
    into(journal, out(mine))
    return journal


def _edit(journal: Database, **values: object) -> None:
    with journal.writing() as session:
        session.execute(update(Bag).where(Bag.id == 1).values(values))
        record(session, Thing("bag", 1), what="edited")


def test_what_was_added_in_a_copy_comes_back_under_its_number(
    mine: Database, copy: Database
) -> None:
    make = Make(copy)
    with Session(copy.reader) as session:
        bag = session.get_one(Bag, 1)
    make._brews = 40
    make.brew(bag, entry_key="added in the copy", note="added")
    came = into(mine, out(copy))
    assert came.same_journal
    assert {name: c["new"] for name, c in came.counts.items() if c["new"]} == {
        "brewer": 1,  # the factory's own
        "brew": 1,
    }
    assert out(mine) == out(copy)


@pytest.mark.parametrize("keep", ["mine", "theirs"])
def test_a_row_that_differs_is_listed_and_one_side_is_kept(
    mine: Database, copy: Database, keep: str
) -> None:
    _edit(mine, note="dry", net_g=250.0)
    _edit(copy, note="sweet", net_g=250.0)
    package = out(copy)
    listed = into(mine, package, dry=True)
    assert listed.differing == [Differs("bag", [1], {"note": "dry"}, {"note": "sweet"})]
    with Session(mine.reader) as session:
        assert session.scalar(select(Bag.note)) == "dry"
        seen = version_of(session, [Thing("bag", 1)])
    came = into(mine, package, theirs=keep == "theirs")
    with Session(mine.reader) as session:
        assert session.scalar(select(Bag.note)) == {"mine": "dry", "theirs": "sweet"}[keep]
        is_changed = version_of(session, [Thing("bag", 1)]) != seen
    assert is_changed == (keep == "theirs")  # so that a form opened before does not write over it
    if keep == "mine":
        assert came.import_id is None
        return
    with mine.writing() as session:
        take_back(session, came.import_id or 0, NOW)
        assert session.scalar(select(Bag.note)) == "dry"


def test_two_things_that_got_one_number_in_two_copies_stay_two(
    mine: Database, copy: Database
) -> None:
    """Each copy logs a brew of a bag of its own, and both bags are no. 2."""
    for journal, name in ((mine, "here"), (copy, "there")):
        make = Make(journal)
        bag = make.bag(make.bean(name=name), note=name)
        make._brews = 50
        make.brew(bag, entry_key=f"brewed {name}", note=name)
    came = into(mine, out(copy))
    assert came.differs == 0
    with Session(mine.reader) as session:
        rows = session.execute(
            select(Brew.note, Bag.note, Bean.name).join(Bag, Bag.id == Brew.bag_id)
            .join(Bean, Bean.id == Bag.bean_id).order_by(Brew.note)
        ).all()  # fmt: skip
    names = ("Own", "here", "there")
    assert [tuple(row) for row in rows] == [(name, name, name) for name in names]
    again = into(mine, out(copy))
    assert (again.new, again.differs) == (0, 0)


def test_two_revisions_of_one_number_stay_two(mine: Database, copy: Database) -> None:
    for journal, why in ((mine, "here"), (copy, "there")):
        with journal.writing() as session:
            plain = {"made_at": NOON, "dose_g": 14.0, "water_g": 220.0, "grind": "fine"}
            session.add(RecipeRevision(recipe_id=1, number=2, why=why, **plain))
    into(mine, out(copy))
    with Session(mine.reader) as session:
        found = select(RecipeRevision.number, RecipeRevision.why).order_by(RecipeRevision.number)
        rows = [tuple(row) for row in session.execute(found)]
    assert rows == [(1, ""), (2, "here"), (3, "there")]


def test_the_stack_of_a_brew_that_is_here_stays(mine: Database, copy: Database) -> None:
    make = Make(copy)
    with Session(copy.reader) as session:
        brew = session.scalars(select(Brew)).one()
    extra = make.filter(make.pack(name="Another pack"))
    make.save(FilterUse(brew_id=brew.id, position=2, brewed_at=brew.brewed_at, filter_id=extra.id))
    came = into(mine, out(copy), theirs=True)
    assert came.counts["filter_use"] == {"same": 1, "left": 1, "new": 0}


def test_a_dry_run_changes_nothing(mine: Database, theirs: Database) -> None:
    _household(mine, "Own")
    _household(theirs, "Other")
    before, package = _counts(mine), out(theirs)
    tried = into(mine, package, dry=True)
    assert _counts(mine) == before
    came = into(mine, package)
    assert tried.counts == came.counts


def test_settings_of_an_empty_journal_give_way(mine: Database, theirs: Database) -> None:
    Make(theirs).save(Settings(locale="de", currency="CHF"))
    Make(theirs).bean()
    Make(mine).save(Settings(locale="en", currency="EUR"))
    package = out(theirs)
    came = into(mine, package)
    assert came.is_empty
    assert out(mine) == package
    with mine.writing() as session:
        take_back(session, came.import_id or 0, NOW)
        assert session.scalar(select(Settings.currency)) == "EUR"


def test_a_package_is_of_one_moment(mine: Database, copy: Database) -> None:
    assert files_of(out(mine, datetime(2026, 1, 1, tzinfo=UTC))) == files_of(out(copy))


def test_a_row_may_refer_to_a_later_one_of_its_table(mine: Database, theirs: Database) -> None:
    """Tasters who turned out to be one: the earlier may be the later one's other name."""
    make = Make(theirs)
    first, last = make.taster(name="Nel"), make.taster(name="Nell")
    with theirs.writing() as session:
        session.execute(update(Taster).where(Taster.id == first.id).values(same_as_id=last.id))
    package = out(theirs)
    into(mine, package)
    assert out(mine) == package
    with mine.writing() as session:
        session.execute(update(JournalIdentity).values(uuid="another"))
        session.execute(update(Taster).values(name="Nobody", same_as_id=None))
    into(mine, package)
    with Session(mine.reader) as session:
        found = session.execute(select(Taster.id, Taster.name, Taster.same_as_id))
        rows = [tuple(row) for row in found]
    assert sorted(rows, key=str)[2:] == [(3, "Nell", None), (4, "Nel", 3)]
