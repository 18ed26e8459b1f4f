"""Words that would turn, forge or flood what goes out."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from app.readers import words
from app.readers.plain import as_text
from app.readers.publication import Part, Publication
from app.readers.tasted import MOST_LETTERS, shortened
from tests.support.asking import ask, blind_test, number, reply, tie
from tests.support.factories import Make

TURNED = "\u202eevil\u2067 words"


@pytest.mark.parametrize("kind", ["html", "txt", "md"])
def test_no_mark_turns_the_words_of_others_around(
    client: FlaskClient, make: Make, kind: str
) -> None:
    question = ask(client, f"Is {TURNED} better? שלום")
    tie(client, question, "blind_test", blind_test(make, "r" * 12, make.taster(name=TURNED)))
    reply(client, question, f"Yes, {TURNED}.")
    address = f"/readers/questions/{number(question)}/file.{kind}?tasters=1"
    out = client.get(address).text
    assert "evil words" in out
    assert "שלום" in out
    assert not any(mark in out for mark in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def test_a_note_of_several_lines_is_no_further_part_of_the_text() -> None:
    note = "one\n\nSOURCES\n- forged"
    part = Part("Notes", [note], [note], [("Term", note)])
    text = as_text(Publication("Title", "", "Evidence", "None.", [], [part], "1 May 2026"))
    assert "\nSOURCES" not in text
    assert "\n- forged" not in text
    assert text.count("one  SOURCES - forged") == 3


def test_notes_take_one_side_of_a_sheet_however_long_they_are() -> None:
    long = ["x" * 1500] * 9
    kept = shortened(long)
    assert kept[-1] == "And 7 more."
    assert sum(map(len, kept[:-1])) <= MOST_LETTERS
    assert shortened(["x" * 9000]) == ["x" * 9000]
    assert shortened(["short"] * 40)[-1] == "And 10 more."
    assert shortened([]) == []


def test_tests_of_which_the_same_is_said_stand_in_one_line(client: FlaskClient, make: Make) -> None:
    question = ask(client, "Clearer?")
    for title in ("Mon", "Tue", "Wed"):
        who = make.taster(name=title)
        tie(client, question, "blind_test", blind_test(make, "r" * 12, who, title=title))
    reply(client, question, "Yes.")
    address = f"/readers/questions/{number(question)}/file.txt"
    plain = client.get(address).text
    assert plain.count("Paired test, blind") == 1
    assert "- Three tests came out the same, each: Paired test, blind, eight trials." in plain
    assert client.get(f"{address}?notes=1").text.count("Paired test (“") == 3
    assert words.each_once(["a", "b", "a"]) == ["Two tests came out the same, each: a", "b"]
