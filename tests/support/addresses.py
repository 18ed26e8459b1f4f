"""The address of every page, filled in from the rows of a journal."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Flask
from sqlalchemy import Select, func, literal, null, select
from sqlalchemy.orm import Session
from werkzeug.routing import AnyConverter, Rule

from app.models import (
    Ask,
    BlindTest,
    Brew,
    Experiment,
    ExperimentRun,
    Filter,
    FilterUse,
    JournalImport,
    Question,
    QuestionBrew,
    Recipe,
    SideBySide,
    Sitting,
    SittingLine,
    Tasting,
    Trial,
)

NO_PAGES = {
    "static", "plotly", "brews.photo", "side_by_side.with_before", "side_by_side.two",
    "recipes.as_file", "questions.export_csv", "questions.export_json", "backups.show",
    "along.like", "along.recipe", "look.time", "look.recipe",
    "sittings.line", "experiments.run", "blind.trial_state", "blind.pour_state",
    "devices.guest_state",
    *(f"readers.{of}_{what}" for of in ("question", "pair", "bag") for what in ("file", "picture")),
    "readers.answers_file", "tokens.openapi",
}  # fmt: skip

# What a page needs to be told in its address.
TOLD = {
    "along.show": "?a-dose_g=14.5&a-water_g=215&a-steep_s=95&b-dose_g=16&b-water_g=215",
    "names.into": "?other=2",
}

# Pages that show something else once they are asked.
ASKED = {
    "groups.index compared": (
        "groups.index", "?a-material=paper&a-use_to=1&b-material=paper&b-use_from=2"
    ),
}  # fmt: skip

Pick = Callable[[Session], Any]


def _busiest(column: Any) -> Select[Any]:
    return select(column).group_by(column).order_by(func.count().desc(), column).limit(1)


# What stands for an argument: the row that gives its page the most to show.
ROWS: dict[str, Select[Any]] = {
    "brew_id": _busiest(Tasting.brew_id),
    "bag_id": _busiest(Brew.bag_id),
    "tasting_id": select(func.max(Tasting.id)),
    "filter_id": _busiest(FilterUse.filter_id),
    "pack_id": _busiest(Filter.pack_id),
    "recipe_id": select(func.min(Recipe.id)),
    "number": select(1),
    "thing": select(literal("brew")),
    "kind": select(literal("taster")),
    "name_id": _busiest(Tasting.taster_id),
    "row_id": _busiest(Tasting.brew_id),
    "brewer_id": _busiest(Brew.brewer_id),
    "grinder_id": _busiest(Brew.grinder_id).where(Brew.grinder_id.is_not(None)),
    "water_id": _busiest(Brew.water_id).where(Brew.water_id.is_not(None)),
    "question_id": select(Question.id)
    .outerjoin(QuestionBrew, QuestionBrew.question_id == Question.id)
    .group_by(Question.id)
    .order_by(func.count(QuestionBrew.brew_id).desc(), Question.id.desc())
    .limit(1),
    "ask_id": select(func.max(Ask.id)),
    "answered_id": select(func.max(Question.id)).where(
        Question.state == "answered", Question.binned_at.is_(None)
    ),
    "test_id": select(func.max(BlindTest.id)),
    "trial_id": select(func.max(Trial.id)),
    "saved_id": select(func.max(SideBySide.id)),
    "sitting_id": select(func.max(Sitting.id)),
    "experiment_id": select(func.max(Experiment.id)),
    "run_id": select(func.max(ExperimentRun.id)),
    "line_id": select(func.max(SittingLine.id)),
    "name": select(literal("scale")),
    "upload_id": select(null()),  # of a file that was sent, which no journal holds
    "import_id": select(func.max(JournalImport.id)).where(JournalImport.kind == "sheet"),
    "brew_a": select(SideBySide.brew_a_id).order_by(SideBySide.id.desc()).limit(1),
    "brew_b": select(SideBySide.brew_b_id).order_by(SideBySide.id.desc()).limit(1),
}


def pages(app: Flask, session: Session) -> dict[str, str]:
    """Endpoint to address for every page the journal has rows for.

    Raises LookupError for an argument that is unknown here: add it to ROWS.
    """
    found = {}
    with app.test_request_context():
        for rule in app.url_map.iter_rules():
            if "GET" not in (rule.methods or ()) or rule.endpoint in NO_PAGES or is_api(rule):
                continue
            values = _filled(session, rule.arguments)
            if None not in values.values():
                found[rule.endpoint] = app.url_for(rule.endpoint, **values) + TOLD.get(
                    rule.endpoint, ""
                )
    asked = {name: found[of] + query for name, (of, query) in ASKED.items() if of in found}
    return found | asked


def _filled(session: Session, arguments: set[str]) -> dict[str, Any]:
    unknown = arguments - set(ROWS)
    if unknown:
        raise LookupError(f"tests/support/addresses.py does not know {unknown}")
    return {name: session.scalar(ROWS[name]) for name in arguments}


def is_api(rule: Rule) -> bool:
    """Whether it answers scripts, which tests/api is about."""
    return rule.rule.startswith("/api/")


def some_values(rule: Rule) -> dict[str, Any]:
    """A value that each argument of a route takes: 1, or the first of those it lists."""
    return dict.fromkeys(rule.arguments, 1) | listed(rule)


def listed(rule: Rule) -> dict[str, str]:
    """The first of the values that a route lists for an argument, such as a kind of file."""
    return {
        name: sorted(of.items)[0]
        for name, of in rule._converters.items()
        if isinstance(of, AnyConverter)
    }
