"""A sitting that was run to its end: two open questions, a pair of cups each, one after the other.

Planned and noted by the functions behind its pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from sqlalchemy import select

from app.brewing.sitting.wanted import FilterWanted
from app.journal.sittings import doing
from app.journal.sittings.cups import Asked, CupLike, Value, cup_values
from app.journal.sittings.needs import readiness
from app.journal.sittings.saving import add_sitting
from app.models import Question, SittingLine, Tasting
from app.sensory.terms import LETTERS, Letter
from seed_demo.bench import Bench
from seed_demo.cupboard import FilterInUse
from seed_demo.household import ALIKE
from seed_demo.kitchen import Brewed
from seed_demo.palate import PALATES
from seed_demo.questions import BOILED, METAL, sat_at
from seed_demo.table import side_by_side

NOTES = {
    BOILED: "Boiled against tap once more, off the boil this time.",
    METAL: "Paper against metal once more, on younger beans.",
}


def add_sittings(bench: Bench, questions: Sequence[Question], end_on: date) -> None:
    """The sitting with everything that was brewed, tasted and ticked at it."""
    session = bench.session
    by_text = {one.text: one for one in questions}
    asked = [Asked(by_text[text].id, _cups(bench, text), pair=True) for text in (BOILED, METAL)]
    ready, now = readiness(session, asked), sat_at(end_on, 9, 20)
    row = add_sitting(session, asked, ready.plan.lines, now, bench.key())
    for need in ready.needs:
        if need.ready is None:
            doing.tick_need(session, row.id, need.key, now, ready=True)
    by_question = {one.question_id: one for one in asked}
    made: dict[int, tuple[list[Brewed], list[Tasting]]] = {}
    lines = select(SittingLine).where(SittingLine.sitting_id == row.id).order_by(SittingLine.place)
    now = sat_at(end_on, 9, 30)
    for line, planned in zip(session.scalars(lines).all(), ready.plan.lines, strict=True):
        now += timedelta(seconds=line.lasts_s)
        question = by_question[planned.question_id]
        if line.kind == "brew":
            made[question.question_id] = _brewed(bench, question, now)
            brews = [one.brew.id for one in made[question.question_id][0]]
            doing.brewed(session, line.id, brews, now)
        elif line.kind == "taste":
            _tasted(bench, question.question_id, made[question.question_id], now)
        else:
            doing.tick(session, line.id, now)
    session.info["now"] = now
    doing.end(session, row, now)
    del session.info["now"]


def _cups(bench: Bench, text: str) -> dict[Letter, CupLike]:
    """A as ever in the left press, B with one thing changed in the right one."""
    stock, paper = bench.stock, (FilterWanted(bench.stock.packs["flat 2"].id, 1),)
    a, b = (_changes(bench, name) for name in ALIKE)
    if text == BOILED:
        return {"A": _like(bench, a, paper),
                "B": _like(bench, b | {"water_id": stock.waters["tap"].id}, paper)}  # fmt: skip
    metal = (FilterWanted(stock.packs["metal"].id, None),)
    return {"A": _like(bench, a, paper), "B": _like(bench, b, metal)}


def _changes(bench: Bench, brewer: str) -> dict[str, Value]:
    changes: dict[str, Value] = {"bag_id": bench.opened.bag.id}
    brewer_id = bench.stock.brewers[brewer].id
    return changes if brewer_id == bench.like.brewer_id else changes | {"brewer_id": brewer_id}


def _like(bench: Bench, changes: dict[str, Value], stack: tuple[FilterWanted, ...]) -> CupLike:
    return CupLike(bench.like.id, changes, stack)


def _brewed(bench: Bench, asked: Asked, now: datetime) -> tuple[list[Brewed], list[Tasting]]:
    """Both cups at once, as they were planned."""
    brews, tastings = [], []
    for letter in LETTERS:
        cup = asked.cups[letter]
        values = cup_values(bench.session, cup)
        begun = now - timedelta(seconds=240)
        one, of_it = bench.brew(values, begun, _filters(bench, cup, begun.date()), tuple(PALATES))
        brews.append(one)
        tastings += of_it
    return brews, tastings


def _filters(bench: Bench, cup: CupLike, on: date) -> list[FilterInUse]:
    (wanted,) = cup.filters
    if wanted.pack_id != bench.stock.packs["metal"].id:
        return [bench.drawer.single(on)]
    bench.drawer.metal.uses += 1
    return [bench.drawer.metal]


def _tasted(
    bench: Bench, question_id: int, made: tuple[list[Brewed], list[Tasting]], now: datetime
) -> None:
    (a, b), tastings = made
    for one in tastings:
        one.tasted_at = now
    text = bench.session.get_one(Question, question_id).text
    saved = side_by_side(a, b, tastings, now, NOTES[text])
    bench.session.add_all([*tastings, saved])
    bench.session.flush()
    doing.compared(bench.session, saved, now)
