"""A question as a file of its own: JSON with everything, CSV with a row for each piece of evidence.

Times are UTC (ISO 8601), amounts in the SI unit their name ends in, shares between 0 and 1. The
shape is described in DEVELOPERS.md.
"""

import csv
import json
from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime
from io import StringIO

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.as_table import safe_cell
from app.journal.as_table import utc as in_utc
from app.journal.asks.reading import AskRow, asks_under
from app.journal.blind.changed_brews import Mark
from app.journal.blind.evidence import BlindEvidence
from app.journal.families import Member
from app.journal.gathered.evidence import Gathered, PairLine, gather
from app.journal.gathered.groups import BrewLine, Groups
from app.journal.gathered.sources import sources_of
from app.journal.gathered.within import within_of
from app.journal.groups.links import GroupsUnder
from app.models import Question

Values = dict[str, object]

VERSION = 2
# In the file as stored, whatever the household reads: plain numbers with a point.
PLAIN = Formats(space=" ")
BREW_VALUES = (
    "dose_g", "water_g", "bypass_g", "ice_g", "water_temp_c", "steep_s", "press_s", "tds_pct",
)  # fmt: skip
TEST_VALUES = (
    "method", "claim", "rule", "state", "tasters", "trials", "correct", "guessing_share", "says",
    "does_not_say", "more_or_preferred", "void_trials", "void_reasons", "marks",
)  # fmt: skip
COLUMNS = (
    "kind", "id", "at_utc", "title", "cup_a", "cup_b", "differs", "comparison", "preferred",
    *TEST_VALUES, "bean", "brewer", "grind", "grind_setting", "filters", *BREW_VALUES,
    "liking_1_to_9", "note", "asked_on", "source",
)  # fmt: skip


def as_json(session: Session, question: Question, now: datetime) -> str:
    """The question, its answer, the strength of its evidence, and every piece of it."""
    gathered = gather(session, question, PLAIN, now)
    data = {
        "format": "oddcup-question",
        "version": VERSION,
        "written_at_utc": _utc(now),
        "question": {
            "text": question.text,
            "factors": question.factors,
            "asked_at_utc": _utc(question.asked_at),
            "state": question.state,
            "answer": question.answer,
            "answered_at_utc": _utc(question.answered_at),
        },
        "asks": [_ask(row) for row in asks_under(session, question.id)],
        "strength": asdict(gathered.weight),
        "tested_within": asdict(within_of(session, question, gathered)),
        "brews": [_brew(line) for line in gathered.brews],
        "brews_in_groups": _groups(gathered.groups),
        "groups_of_cups": [_of_cups(row) for row in gathered.groups_of_cups],
        "side_by_sides": [_pair(line) for line in gathered.pairs],
        "blind_tests": [_test(test) for test in gathered.tests],
        "blind_tests_gone": [_gone(member) for member in gathered.gone],
        "sources": sources_of(gathered),
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def as_csv(session: Session, question: Question, now: datetime) -> str:
    """The question in the first row, then a row for each piece of evidence."""
    gathered = gather(session, question, PLAIN, now)
    text = StringIO()
    sheet = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\r\n")
    sheet.writeheader()
    first = {
        "kind": "question", "id": question.id, "at_utc": _utc(question.asked_at),
        "title": question.text, "differs": question.factors, "state": question.state,
        "comparison": gathered.weight.level, "says": gathered.weight.reason,
        "does_not_say": gathered.weight.not_said, "note": question.answer,
    }  # fmt: skip
    asks = [{"kind": "ask", **_ask(row)} for row in asks_under(session, question.id)]
    limits = within_of(session, question, gathered).sentences
    within: Values = {"kind": "tested within", "says": " ".join(limits)}
    for row in (first, within, *_evidence(gathered), *asks):
        sheet.writerow({name: safe_cell(value) for name, value in row.items()})
    return text.getvalue()


def _evidence(gathered: Gathered) -> Iterator[Values]:
    for brew in gathered.brews:
        yield {"kind": "brew", **_brew(brew)}
    for row in gathered.groups_of_cups:
        told = _of_cups(row)
        yield {"kind": "groups of cups", "id": row.id, "at_utc": told["at_utc"],
               "title": told["a_against_b"], "says": told["says"]}  # fmt: skip
    for pair in gathered.pairs:
        differs = [f"{line.label}: {line.a} / {line.b}" for line in pair.apart]
        yield {"kind": "side by side", **_pair(pair), "differs": differs}
    for test in gathered.tests:
        yield {"kind": "blind test", **_test(test)}
    for member in gathered.gone:
        yield {"kind": "blind test", **_test(member.shown), "comparison": member.blind.gone}


def _ask(row: AskRow) -> Values:
    """In the words of who asked; empty where only the asking was noted."""
    day = row.asked_on.isoformat()
    return {"id": row.id, "asked_on": day, "note": row.text, "source": row.source}


def _brew(line: BrewLine) -> Values:
    row, details = line.side.row, line.side.details
    return {
        "id": row.id,
        "at_utc": _utc(details.brewed_at),
        "bean": details.bean_name,
        "brewer": details.brewer_name,
        "grind": row.grind,
        "grind_setting": row.grind_setting,
        "filters": [
            f"{use.material}, {use.pack_name}" + (f", use {use.number}" if use.wears else "")
            for use in line.side.stack
        ],
        **{name: getattr(row, name) for name in BREW_VALUES},
        "liking_1_to_9": line.liking,
        "note": details.note,
    }


def _of_cups(row: GroupsUnder) -> Values:
    """As it was read when it was put there."""
    return {"at_utc": _utc(row.tied_at), "a_against_b": row.words, "says": row.said}


def _groups(groups: Groups | None) -> Values | None:
    if groups is None:
        return None
    rows = [
        {
            "value": group.value,
            "brews": group.brews,
            "scored": len(group.likings),
            "scored_blind": group.blind,
            "mean_liking_1_to_9": group.mean,
        }
        for group in groups.groups
    ]
    return {
        "by": groups.label,
        "groups": rows,
        "also_differs": groups.also,
        "not_told_apart": groups.mixed,
    }


def _pair(line: PairLine) -> Values:
    return {
        "id": line.row.id,
        "at_utc": _utc(line.row.saved_at),
        "cup_a": f"brew {line.row.brew_a_id}",
        "cup_b": f"brew {line.row.brew_b_id}",
        "differs": [
            {"what": setting.label, "a": setting.a, "b": setting.b} for setting in line.apart
        ],
        "comparison": line.bearing,
        "preferred": line.row.preference,
        "says": line.sentence,
        "note": line.row.note,
    }


def _test(evidence: BlindEvidence) -> Values:
    test = evidence.test
    return {
        "id": test.id,
        "at_utc": _utc(test.made_at),
        "title": test.title,
        "cup_a": test.a_words,
        "cup_b": test.b_words,
        "method": test.method,
        "claim": test.claim,
        "rule": test.rule,
        "state": evidence.state,
        "tasters": list(dict.fromkeys(name for _, name in evidence.tasters)),
        "trials": evidence.n,
        "correct": evidence.correct,
        "guessing_share": round(evidence.guess, 6),
        "says": evidence.sentence,
        "does_not_say": evidence.not_said,
        "more_or_preferred": evidence.way,
        "void_trials": len(evidence.void_reasons),
        "void_reasons": list(evidence.void_reasons),
        "marks": [_mark(mark) for mark in evidence.marks.marks],
        "note": test.note,
    }


def _gone(member: Member) -> Values:
    """A test that is in the bin or was taken away, and still counts."""
    return {**_test(member.shown), "gone": member.blind.gone}


def _mark(mark: Mark) -> str:
    return f"{_utc(mark.at)}: {mark.sentence}" if mark.at else mark.sentence


def _utc(moment: datetime | None) -> str | None:
    return in_utc(moment) if moment else None
