"""The numbers of rows in a row that comes in, as these rows are numbered here."""

from __future__ import annotations

import re
from collections.abc import Mapping
from urllib.parse import parse_qsl, urlencode

from sqlalchemy import Table

from app.exchange.identity import references
from app.exchange.rows_in import Values
from app.journal.history import TABLES
from app.models import Base, Brew
from app.models.history import FieldText

Numbers = Mapping[str, Mapping[int, int]]
# Fields of forms that name a row, as earlier versions keep them; and what an address may name.
OF_A_FIELD = {
    **references(Base.metadata.tables[Brew.__tablename__]),
    "bean_id": "bean", "taster_id": "taster", "alike_to_id": "brewer", "question_id": "question",
}  # fmt: skip
OF_A_QUERY = {
    "bag": "bag", "recipe": "recipe", "brewer": "brewer", "grinder": "grinder", "water": "water",
    "pack": "filter_pack", "taster": "taster",
}  # fmt: skip
# The rows that go over where names of a kind are made one.
MOVED = {"taster": "tasting", "bean": "bag", "roaster": "bean"}
_FILTER = re.compile(r"(\D*)(\d{1,9})")


class NotHere(Exception):
    """The row refers to one that did not come in, and cannot be without it."""


def renumbered(table: Table, values: Values, numbers: Numbers) -> Values:
    """The values with the numbers that rows have here. Raises NotHere."""
    own = dict(values)
    for column, target in references(table).items():
        number = own[column]
        if isinstance(number, int):
            here = numbers.get(target, {}).get(number)
            if here is None and not table.columns[column].nullable:
                raise NotHere
            own[column] = here
    if table.name == "change":
        _of_a_change(own, numbers)
    elif table.name == "name_change":
        _of_a_name(own, numbers)
    elif table.name == "question_groups":
        own["query"] = _query(str(own["query"]), numbers)
    elif table.name == "sitting_cup" and isinstance(own["changes"], dict):
        own["changes"] = {
            name: _field(name, value, numbers) for name, value in own["changes"].items()
        }
    return own


def _of_a_change(own: Values, numbers: Numbers) -> None:
    kind, number = str(own["thing"]), own["row_id"]
    here = numbers.get(TABLES.get(kind, kind), {}).get(number if isinstance(number, int) else 0)
    if here is None:
        raise NotHere
    own["row_id"] = here
    for side in ("before", "after"):
        texts = own[side]
        if isinstance(texts, list):
            own[side] = [_text(text, numbers) for text in texts]


def _of_a_name(own: Values, numbers: Numbers) -> None:
    """Rows that did not come in, or are others here, did not move here."""
    kind = str(own["kind"])
    for column in ("from_id", "into_id"):
        if isinstance(number := own[column], int):
            own[column] = numbers.get(kind, {}).get(number)
            if own[column] is None:
                raise NotHere
    for column, table in (("moved", MOVED.get(kind, "")), ("followed", "taster")):
        here = numbers.get(table, {})
        if isinstance(rows := own[column], list):
            own[column] = [here[number] for number in rows if number in here]


def _text(text: FieldText, numbers: Numbers) -> FieldText:
    if not isinstance(text, dict) or not isinstance(text.get("values"), list):
        return text
    name = str(text.get("name"))
    known = text.copy()
    if name.startswith("filter_"):
        known["values"] = [_filter(str(value), numbers) for value in text["values"]]
    elif name in OF_A_FIELD:
        known["values"] = [str(_field(name, _whole(v), numbers) or v) for v in text["values"]]
    return known


def _filter(value: str, numbers: Numbers) -> str:
    match = _FILTER.fullmatch(value)
    if not match:
        return value
    table = "filter_pack" if match[1] else "filter"
    return f"{match[1]}{numbers.get(table, {}).get(int(match[2]), int(match[2]))}"


def _field(name: str, value: object, numbers: Numbers) -> object:
    if name in OF_A_FIELD and isinstance(value, int):
        return numbers.get(OF_A_FIELD[name], {}).get(value, value)
    return value


def _query(query: str, numbers: Numbers) -> str:
    """Names are such as "a-bag"; the taster shown first is one, too."""
    said = []
    for name, value in parse_qsl(query):
        table = "taster" if name == "show" else OF_A_QUERY.get(name.rpartition("-")[2])
        here = numbers.get(table or "", {}).get(_whole(value) or 0)
        said.append((name, value if here is None else str(here)))
    return urlencode(said)


def _whole(value: object) -> int | None:
    text = str(value)
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else None
