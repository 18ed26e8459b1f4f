"""Templates say where their macros come from, and only write down what a page hands them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import BuiltinFunctionType, FunctionType, MethodType, ModuleType
from typing import Any

import pytest
from flask import Flask, before_render_template, template_rendered
from flask.testing import FlaskClient
from jinja2 import Environment, Template, nodes
from jinja2.meta import find_undeclared_variables
from sqlalchemy import event

from app.database import Database
from app.models import Question
from app.web.formats import CurrentFormats
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, rows
from tests.support.clock import NOON
from tests.support.factories import Make

TEMPLATES = Path(__file__).parent.parent.parent / "app" / "templates"
NAMES = sorted(str(path.relative_to(TEMPLATES)) for path in TEMPLATES.rglob("*.html"))
LONGEST_LINE = 160
# What Flask, its forms and app/web put into every template.
EVERYWHERE = {
    "url_for", "get_flashed_messages", "csrf_token", "csrf_meta_tag", "config", "journal_name",
    "current_formats", "asset", "plotly_url", "dict", "new_key", "units_shown",
    "numbers_address", "table_address", "picture", "places",
}  # fmt: skip
NO_VALUES = (ModuleType, FunctionType, MethodType, BuiltinFunctionType, type)
# Pages that a plain visit does not show, or that have more to say when asked this way.
ASKED = (
    "/nowhere", "/brews/?choose=1", "/brews/?q=plum", "/recipes/?q=plum", "/questions/?q=plum",
    "/bags/?q=plum", "/worksheets/scale?dose_g=12&water_g=200&to_dose_g=15&fragment=1",
)  # fmt: skip


@cache
def source(name: str) -> str:
    return (TEMPLATES / name).read_text(encoding="utf-8")


@cache
def parsed(name: str) -> nodes.Template:
    env = Environment()  # noqa: S701  it renders nothing
    env.filters.update(CurrentFormats().filters())
    return env.parse(source(name), name)


def imported(tree: nodes.Template) -> set[str]:
    """The names that a template's imports give it."""
    return {
        name if isinstance(name, str) else name[1]
        for one in tree.find_all(nodes.FromImport)
        for name in one.names
    }


def defined(tree: nodes.Template) -> set[str]:
    """Its own macros, and every name it sets."""
    return {macro.name for macro in tree.find_all(nodes.Macro)} | {
        name.name for name in tree.find_all(nodes.Name) if name.ctx == "store"
    }


@pytest.mark.parametrize("name", NAMES)
def test_a_template_imports_every_macro_it_calls(name: str) -> None:
    tree = parsed(name)
    called = {
        call.node.name for call in tree.find_all(nodes.Call) if isinstance(call.node, nodes.Name)
    }
    known = imported(tree) | defined(tree) | {"caller"} | EVERYWHERE
    assert called - known == set()


@pytest.mark.parametrize("name", NAMES)
def test_no_import_is_without_use(name: str) -> None:
    tree = parsed(name)
    used = {one.name for one in tree.find_all(nodes.Name) if one.ctx == "load"}
    assert imported(tree) - used == set()


@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_long(name: str) -> None:
    assert [line for line in source(name).splitlines() if len(line) > LONGEST_LINE] == []


@pytest.mark.parametrize("name", NAMES)
def test_what_is_included_can_be_found_by_its_name(name: str) -> None:
    for include in parsed(name).find_all(nodes.Include):
        assert isinstance(include.template, nodes.Const)
        assert include.template.value in NAMES


@dataclass
class Visit:
    """What was handed to each template, and what was asked of the database while it wrote."""

    handed: dict[str, dict[str, Any]] = field(default_factory=dict)
    asked: list[tuple[str, str]] = field(default_factory=list)
    writing: str = ""

    def begin(self, _app: Flask, template: Template, **_: object) -> None:
        self.writing = str(template.name)

    def end(self, _app: Flask, template: Template, context: dict[str, Any], **_: object) -> None:
        self.handed.setdefault(str(template.name), {}).update(context)
        self.writing = ""

    def note(self, _connection: Any, _cursor: Any, statement: str, *_: object) -> None:
        if self.writing:
            self.asked.append((self.writing, statement))


@pytest.fixture
def visit(
    app: Flask, client: FlaskClient, make: Make, journal: Database, full: dict[str, str]
) -> Iterator[Visit]:
    """Every page there is, with a trial at each of its stages."""
    app.config["LAN_ADDRESSES"] = ("192.0.2.7",)
    seen = Visit()
    with ExitStack() as stack:
        stack.enter_context(before_render_template.connected_to(seen.begin, app))
        stack.enter_context(template_rendered.connected_to(seen.end, app))
        event.listen(journal.engine, "before_cursor_execute", seen.note)
        stack.callback(event.remove, journal.engine, "before_cursor_execute", seen.note)
        for path in (*full.values(), *_stages(make), *ASKED):
            assert client.get(path).status_code < 500, path
        client.post("/devices/codes")
        client.post("/blind/look", data={"method": "triangle", "p_d_pct": "40"})
        question = make.save(Question(text="Stirred?", factors=["stirs"], asked_at=NOON))
        assert client.get(f"/sittings/new?q={question.id}").status_code == 200
        yield seen


def _stages(make: Make) -> Iterator[str]:
    """The pages of trials that wait, are poured solo, lifted, void, kept, and shown."""
    answered = CLAIMED | SERVED | ANSWERED
    trials = {
        "helper": (
            answered | SEEN, answered, SERVED | {"voided_at": SERVED["served_at"],
            "void_reason": "spilled"}, {},
        ),
        "solo": (SERVED | ANSWERED | SEEN | {"lifted": "1"}, SERVED | ANSWERED),
        "coded": ({},),
    }  # fmt: skip
    for pouring, given in trials.items():
        test, made = rows(make, list(given), pouring=pouring)
        yield from (f"/blind/trials/{trial.id}" for trial in made)
        yield f"/blind/{test.id}"
    _, (alone,) = rows(make, [{}], pouring="solo")
    yield f"/blind/trials/{alone.id}"
    table, _ = rows(make, [{}], several_tasters=True)
    yield f"/blind/{table.id}"
    yield f"/blind/{table.id}/pour"


def test_no_statement_runs_while_a_template_writes(visit: Visit) -> None:
    assert visit.asked == []


def test_a_template_is_handed_values_and_no_code(visit: Visit) -> None:
    code = {
        (template, name)
        for template, context in visit.handed.items()
        for name, value in context.items()
        if isinstance(value, NO_VALUES) and name not in EVERYWHERE
    }
    assert code == set()


def test_every_name_a_template_takes_is_handed_to_it(visit: Visit) -> None:
    """By its page, or set by the template that includes it."""
    lacking: set[tuple[str, str]] = set()
    met: set[str] = set()

    def check(name: str, names: set[str]) -> None:
        met.add(name)
        tree = parsed(name)
        own = names | defined(tree) | imported(tree)
        lacking.update((name, one) for one in find_undeclared_variables(tree) - own - EVERYWHERE)
        parts: list[nodes.Include | nodes.Extends] = [
            *tree.find_all(nodes.Include),
            *tree.find_all(nodes.Extends),
        ]
        for part in parts:
            if isinstance(part.template, nodes.Const):
                check(part.template.value, own)

    for name, context in visit.handed.items():
        check(name, set(context))
    assert lacking == set()
    pages = {name for name in NAMES if "{% macro" not in source(name)}
    assert len(pages - met) < len(pages) / 5, pages - met
