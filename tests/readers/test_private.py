"""Nothing private goes out unasked: every text and every number of a journal is looked for."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import JSON, Integer, String, select, update
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from app.database import Database
from app.models import (
    Afterthought,
    Ask,
    BlindTaster,
    BlindTest,
    Device,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionSideBySide,
    TrialBrew,
)
from app.models.base import Base
from tests.support.asking import trial
from tests.support.clock import NOON
from tests.support.factories import Make

QUESTION, ANSWER = "Does a quiet kettle help?", "Not that we could tell."
# Words from a list, which may stand anywhere; and what goes out by intent.
VOCABULARY = {
    "brewer.kind", "filter_pack.material", "filter_pack.currency", "bag.currency", "filter.rinse",
    "recipe_revision.grind", "brew.grind", "step.kind", "blind_test.claim", "blind_test.brewing",
    "blind_test.method", "blind_test.more", "blind_test.pouring", "blind_test.rule",
    "blind_test.ended", "side_by_side.preference", "question.state", "question.factors",
    "trial.pouring", "trial.cups", "trial.brewed_first", "trial.lifted", "afterthought.preference",
    "trial_brew.cup", "settings.locale", "settings.currency", "settings.mass_unit",
    "settings.volume_unit", "settings.temp_unit", "settings.caffeine_limit", "change.thing",
    "brew.zone", "tasting.zone", "bag.buy_again",
    "brew.note_search", "tasting.text_search",  # copies of notes, to search in
}  # fmt: skip
MEANT = {"question.text", "question.answer"}
TICKED = {
    "beans": {"bean.name", "bean.roaster", "bean.origin", "bean.process"},
    "gear": {"brewer.name", "filter_pack.name", "water.name", "grinder.name", "recipe.name",
             "brew.grind_setting"},
    "tasters": {"taster.name"},
    "cups": {"blind_test.a_words", "blind_test.b_words", "blind_test.attribute"},
    "notes": {"brew.note", "tasting.note", "tasting.words", "side_by_side.note", "bag.note",
              "bag.buy_again_note", "blind_test.note", "blind_test.title"},
}  # fmt: skip
NO_LABEL = {"alembic_version", "saved_form", "pairing_code"}
ids = itertools.count(7_100_001)
marks = itertools.count(1001)


def word() -> str:
    """One that stands nowhere else."""
    return f"zq{next(marks)}k"


def numbered(**given: Any) -> dict[str, Any]:
    """With a row number that stands nowhere by chance."""
    return {"id": next(ids), **given}


def furnished(make: Make) -> dict[str, str]:
    """A question with a brew, a side by side and two blind tests; the addresses to look at."""
    grinder, water = make.grinder(**numbered()), make.water(**numbered(hardness_mg_l=97.0))
    bag = make.bag(make.bean(**numbered(origin=word(), process=word())), **numbered(
        roasted_on=NOON.date() - timedelta(days=300), note=word(),
        buy_again="unsure", buy_again_note=word()))  # fmt: skip
    brewer = make.brewer(**numbered(capacity_g=345.0))
    recipe = make.recipe(
        **numbered(steps=[numbered(kind="bloom", grams=31.0)]), note=word()
    )  # fmt: skip
    papers = [make.filter(make.pack(**numbered()), **numbered()) for _ in range(2)]
    given = {
        "bag": bag, "brewer": brewer, "recipe": recipe, "grinder_id": grinder.id,
        "water_id": water.id, "grind_setting": word(), "tds_pct": 1.31, "steep_s": 130,
    }  # fmt: skip
    a, b = (make.brew(filters=[paper], **numbered(note=word(), **given)) for paper in papers)
    tasters = [make.taster(**numbered()) for _ in range(2)]
    for brew, who in itertools.product((a, b), tasters):
        make.tasting(brew, who, **numbered(liking=6 if brew is a else 8, words=word(), note=word()))
    pair = make.side_by_side(a, b, **numbered(preference="b", note=word()))
    tests = [
        make.save(BlindTest(**numbered(
            entry_key=word(), title=word(), made_at=NOON, a_words=word(), b_words=word(),
            claim="these cups", brewing="one pair", method=method, pouring="helper",
            rule="every morning", p_d=0.4, a_brew_id=a.id, b_brew_id=b.id, note=word(), **more,
        )))
        for method, more in (("triangle", {}), ("paired", {"attribute": word(), "more": "B"}))
    ]  # fmt: skip
    for test, cups in zip(tests, ("ABB", "AB"), strict=True):
        who = tasters[0]
        make.save(BlindTaster(**numbered(test_id=test.id, taster_id=who.id, joined_at=NOON)))
        for count in range(1, 9):
            answer = 1 if cups == "ABB" else 2
            done = trial(make, test, who, count, cups, answer=answer, note=word(), **numbered())
            make.save(TrialBrew(trial_id=done.id, brew_id=a.id, cup="A"))
    make.save(Afterthought(id=done.id, note=word(), **_times(Afterthought)))
    question = make.save(Question(**numbered(
        text=QUESTION, factors=["filter"], asked_at=NOON, state="answered", answer=ANSWER,
        answered_at=NOON,
    )))  # fmt: skip
    make.save(Ask(**numbered(text=word(), asked_on=NOON.date(), source=word(), noted_at=NOON,
                             question_id=question.id)))  # fmt: skip
    make.save(QuestionBrew(question_id=question.id, brew_id=a.id))
    make.save(QuestionSideBySide(question_id=question.id, side_by_side_id=pair.id))
    for test in tests:
        tied = {"question_id": question.id, "test_id": test.id, "tied_at": NOON}
        make.save(QuestionBlindTest(**tied))
    make.save(Device(**numbered(name=word(), token_hash="h" * 64, **_times(Device))))
    make.put_in_the_bin(make.brew(**numbered(note=word())))
    return {
        "question": f"/readers/questions/{question.id}",
        "pair": f"/readers/side-by-side/{a.id}/{b.id}",
        "bag": f"/readers/bags/{bag.id}",
        "answers": "/readers/answers",
    }


def _times(table: type[Base]) -> dict[str, datetime]:
    """A moment in every column that asks for one."""
    return {
        column.name: datetime(2026, 3, 1, tzinfo=UTC)
        for column in table.__table__.columns
        if column.name.endswith("_at") and not column.nullable
    }


def named(journal: Database) -> dict[str, set[str]]:
    """Every free text of the journal gets a word of its own; they come back by table.column."""
    with Session(journal.writer) as session:
        for table, column in _texts():
            keys = list(table.primary_key.columns)
            for row in session.execute(select(*keys)).all():
                where = [key == value for key, value in zip(keys, row, strict=True)]
                if not str(session.scalar(select(column).where(*where)) or "zq").startswith("zq"):
                    try:
                        with session.begin_nested():
                            session.execute(update(table).where(*where).values({column: word()}))
                    except DBAPIError:
                        continue  # sealed: it stays as it is
        session.commit()
        found: dict[str, set[str]] = {}
        for table, column in _texts():
            values = session.scalars(select(column)).all()
            found[f"{table.name}.{column.name}"] = {str(value) for value in values if value}
    return found


def _texts() -> Iterator[Any]:
    for table in Base.metadata.sorted_tables:
        for column in table.columns:
            name = f"{table.name}.{column.name}"
            free = isinstance(column.type, String | JSON) and name not in VOCABULARY | MEANT
            if free and table.name not in NO_LABEL:
                yield table, column


def numbers(journal: Database) -> set[str]:
    """Every row number there is, of those that were given."""
    found: set[str] = set()
    with Session(journal.reader) as session:
        for table in Base.metadata.sorted_tables:
            for column in table.columns:
                if isinstance(column.type, Integer) and column.name.endswith("id"):
                    found |= {str(n) for n in session.scalars(select(column)) if n}
    return {number for number in found if len(number) == 7}


def outputs(client: FlaskClient, addresses: dict[str, str], ticks: str) -> str:
    """Everything that goes out with these ticks, in one text."""
    out = []
    for name, address in addresses.items():
        page = client.get(f"{address}?{ticks}")
        assert page.status_code == 200
        (main,) = re.findall(r"<main.*?</main>", page.text, re.DOTALL)
        out += [main, *re.findall(r"<textarea.*?</textarea>", page.text, re.DOTALL)]
        files = [f"file.{kind}" for kind in ("html", "txt", "md")]
        if name != "answers":
            files += [f"picture-1.{kind}" for kind in ("svg", "png")]
        for file in files:
            answer = client.get(f"{address}/{file}?{ticks}")
            assert answer.status_code == 200, file
            text = answer.get_data().decode(errors="replace")  # of a PNG what stands in it as text
            out += [text, str(answer.headers)]
    return unescape("\n".join(out)).replace("\\", "")


@pytest.mark.parametrize("ticks", [(), *((name,) for name in TICKED), tuple(TICKED)], ids="+".join)
def test_only_what_is_ticked_goes_out(
    client: FlaskClient, make: Make, journal: Database, ticks: tuple[str, ...]
) -> None:
    addresses = furnished(make)
    texts = named(journal)
    out = outputs(client, addresses, "&".join(f"{name}=1" for name in ticks))
    assert QUESTION in out
    assert ANSWER in out
    let_in = {column for name in ticks for column in TICKED[name]}
    leaked = {
        column
        for column, values in texts.items()
        if column not in let_in and any(value in out for value in values)
    }
    assert leaked == set()
    assert {number for number in numbers(journal) if number in out} == set()
    absent = {column for column in let_in if not any(value in out for value in texts[column])}
    assert absent == set()


def test_the_journal_searched_for_has_a_word_in_every_text_that_may_be_let_in(
    make: Make, journal: Database
) -> None:
    """Else the search above would find nothing because there is nothing."""
    furnished(make)
    texts = named(journal)
    words = {
        column: {one for one in values if one.startswith("zq")} for column, values in texts.items()
    }
    assert {column for one in TICKED.values() for column in one if not words[column]} == set()
    others = {"ask.text", "ask.source", "device.name", "recipe.note", "trial.note",
              "afterthought.note"}  # fmt: skip
    assert {column for column in others if not words[column]} == set()
    assert len(numbers(journal)) > 40
