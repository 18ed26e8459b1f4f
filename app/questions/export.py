"""A question as a file of its own: JSON with everything, CSV with a row for each piece of evidence.

Times are UTC (ISO 8601), amounts in the SI unit their name ends in, shares between 0 and 1. The
shape is described in README.md.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime
from io import StringIO
from typing import Any

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.blind.evidence import BlindEvidence
from app.models import Question
from app.questions.evidence import BrewLine, Gathered, PairLine, gather
from app.questions.sources import sources_of

VERSION = 1
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
# In the file as stored, whatever the household reads: plain numbers with a point.
PLAIN = Formats()
BREW_VALUES = (
    "dose_g", "water_g", "bypass_g", "ice_g", "water_temp_c", "steep_s", "press_s", "tds_pct",
)  # fmt: skip
TEST_VALUES = (
    "method", "claim", "rule", "state", "tasters", "trials", "correct", "guessing_share", "says",
    "does_not_say",
)  # fmt: skip
COLUMNS = (
    "kind", "id", "at_utc", "title", "cup_a", "cup_b", "differs", "comparison", "preferred",
    *TEST_VALUES, "bean", "brewer", "grind", "grind_setting", "filters", *BREW_VALUES,
    "liking_1_to_9", "note",
)  # fmt: skip


def as_json(session: Session, question: Question, now: datetime) -> str:
    """The question, its answer, the strength of its evidence, and every piece of it."""
    found = gather(session, question, PLAIN)
    told = {
        "format": "oddcup-question",
        "version": VERSION,
        "written_at_utc": _utc(now),
        "question": {
            "text": question.text,
            "factor": question.factor,
            "asked_at_utc": _utc(question.asked_at),
            "state": question.state,
            "answer": question.answer,
            "answered_at_utc": _utc(question.answered_at),
        },
        "strength": asdict(found.weight),
        "brews": [_brew(line) for line in found.brews],
        "brews_in_groups": _groups(found),
        "side_by_sides": [_pair(line) for line in found.pairs],
        "blind_tests": [_test(test) for test in found.tests],
        "sources": sources_of(found),
    }
    return json.dumps(told, ensure_ascii=False, indent=2) + "\n"


def as_csv(session: Session, question: Question, now: datetime) -> str:
    """The question in the first row, then a row for each piece of evidence."""
    found = gather(session, question, PLAIN)
    text = StringIO()
    sheet = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\r\n")
    sheet.writeheader()
    first = {
        "kind": "question", "id": question.id, "at_utc": _utc(question.asked_at),
        "title": question.text, "differs": question.factor, "state": question.state,
        "comparison": found.weight.level, "says": found.weight.reason,
        "does_not_say": found.weight.not_said, "note": question.answer,
    }  # fmt: skip
    for row in (first, *_evidence(found)):
        sheet.writerow({name: safe_cell(value) for name, value in row.items()})
    return text.getvalue()


def safe_cell(value: Any) -> Any:
    """A text that a spreadsheet would take for a formula gets a quote in front; numbers stay."""
    if isinstance(value, list):
        value = "; ".join(map(str, value))
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return f"'{value}"
    return "" if value is None else value


def _evidence(found: Gathered) -> Iterator[dict[str, Any]]:
    for line in found.brews:
        yield {"kind": "brew", **_brew(line)}
    for pair in found.pairs:
        row = _pair(pair)
        row["differs"] = [f"{one['what']}: {one['a']} / {one['b']}" for one in row["differs"]]
        yield {"kind": "side by side", **row}
    for test in found.tests:
        yield {"kind": "blind test", **_test(test)}


def _brew(line: BrewLine) -> dict[str, Any]:
    row = line.side.row
    return {
        "id": row.id,
        "at_utc": _utc(row.brewed_at),
        "bean": row.bean_name,
        "brewer": row.brewer_name,
        "grind": row.grind,
        "grind_setting": row.grind_setting,
        "filters": [
            f"{use.material}, {use.pack_name}" + (f", use {use.number}" if use.number else "")
            for use in line.side.stack
        ],
        **{name: getattr(row, name) for name in BREW_VALUES},
        "liking_1_to_9": line.liking,
        "note": row.note,
    }


def _groups(found: Gathered) -> dict[str, Any] | None:
    if found.groups is None:
        return None
    groups = [
        {
            "value": one.value,
            "brews": one.brews,
            "scored": len(one.likings),
            "scored_blind": one.blind,
            "mean_liking_1_to_9": one.mean,
        }
        for one in found.groups.groups
    ]
    return {"by": found.groups.label, "groups": groups, "also_differs": found.groups.also}


def _pair(line: PairLine) -> dict[str, Any]:
    return {
        "id": line.row.id,
        "at_utc": _utc(line.row.saved_at),
        "cup_a": f"brew {line.row.brew_a_id}",
        "cup_b": f"brew {line.row.brew_b_id}",
        "differs": [{"what": one.label, "a": one.a, "b": one.b} for one in line.apart],
        "comparison": line.bearing,
        "preferred": line.row.preference,
        "says": line.pair.fairness.sentence,
        "note": line.row.note,
    }


def _test(found: BlindEvidence) -> dict[str, Any]:
    test = found.test
    return {
        "id": test.id,
        "at_utc": _utc(test.made_at),
        "title": test.title,
        "cup_a": test.a_words,
        "cup_b": test.b_words,
        "method": test.method,
        "claim": test.claim,
        "rule": test.rule,
        "state": found.state,
        "tasters": list(dict.fromkeys(name for _, name in found.tasters)),
        "trials": found.n,
        "correct": found.correct,
        "guessing_share": round(found.guess, 6),
        "says": found.sentence,
        "does_not_say": found.not_said,
        "note": test.note,
    }


def _utc(moment: datetime | None) -> str | None:
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ") if moment else None
