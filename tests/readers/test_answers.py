"""What is said to readers of an answer: its evidence in one sentence, cups, tasters, limits."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from app.readers import words
from tests.support import page
from tests.support.asking import ask, blind_test, number, pair, reply, tie
from tests.support.factories import Make


def text_of(client: FlaskClient, question: str, ticks: str = "") -> str:
    reply(client, question, "Yes, we think.")
    answer = client.get(f"/readers/questions/{number(question)}/file.txt{ticks}")
    assert answer.status_code == 200
    return answer.text


def evidence(text: str) -> str:
    found = re.search(r"^(?:Evidence|In short): (.*)$", text, re.MULTILINE)
    assert found
    return found[1]


def part(text: str, title: str) -> str:
    return text.split(f"\n{title.upper()}\n")[1].split("\n\n")[0]


# The evidence, by the rule that grades it


def test_an_answer_without_any_tasting_says_so(client: FlaskClient) -> None:
    said = text_of(client, ask(client, "Does it help?"))
    assert evidence(said) == words.LEADS["none"]
    assert part(said, "how it was brewed") == "Which brews these were was not noted."


def test_a_sighted_pair_is_an_anecdote(client: FlaskClient, make: Make) -> None:
    question = ask(client, "Longer?", factor="steep")
    tie(client, question, "side_by_side", pair(make, "b", steep_s=200))
    said = text_of(client, question)
    assert evidence(said) == words.LEADS["anecdote"]
    assert (
        "One pair of cups was set side by side; only what is asked about differed, and one cup"
        in said
    )
    assert "Steep. steep 2:00" not in said, "the column says it already"
    assert "Steep 2:00: 1 brew; steep 3:20: 1 brew." in said


def test_a_blind_test_that_has_ended_is_said_with_what_it_found(
    client: FlaskClient, make: Make
) -> None:
    question = ask(client, "Clearer?")
    tie(client, question, "blind_test", blind_test(make, "r" * 12))
    said = text_of(client, question)
    assert evidence(said) == (
        "A blind test shows that cup B has more clarity; chance alone would bring the evidence "
        "this far in at most 1 case in 20."
    )
    assert (
        "Paired test, blind, eight trials. One taster picked B as the cup with more clarity 8 "
        "times out of 8; guessing gets about 4. By the rule set beforehand that shows that cup B "
        "has more clarity. A helper poured the cups, out of sight and under drawn codes; both were "
        "brewed afresh for every trial."
    ) in said
    limits = part(said, "limits")
    assert "It is one taster’s; others may taste it differently." in limits
    assert "not say which of the two is better" in limits


def test_the_words_for_the_cups_and_the_taster_come_in_by_their_ticks(
    client: FlaskClient, make: Make
) -> None:
    question = ask(client, "Clearer?")
    tie(client, question, "blind_test", blind_test(make, "r" * 12, attribute="glow"))
    plain = text_of(client, question)
    address = f"/readers/questions/{number(question)}"
    assert words.CUPS_UNSAID in page.text(client.get(address).text)
    assert words.CUPS_UNSAID not in page.text(client.get(f"{address}?cups=1").text)
    assert words.CUPS_UNSAID not in plain
    assert "cup B has more of what was asked for" in evidence(plain)
    assert "glow" not in plain
    assert "Juniper" not in plain
    told = text_of(client, question, "?cups=1&tasters=1")
    assert "cup B (fresh) has more glow" in evidence(told)
    assert "A: third use; B: fresh." in told
    assert "Juniper picked B as the cup with more glow 8 times out of 8" in told


def test_a_test_whose_results_wait_says_nothing_of_them(client: FlaskClient, make: Make) -> None:
    question = ask(client, "Clearer?")
    test = blind_test(
        make, "rrr", rule="fixed number", fixed_trials=12, controls=12, method="triangle",
        attribute="", more=None,
    )  # fmt: skip
    tie(client, question, "blind_test", test)
    said = text_of(client, question)
    assert words.HIDDEN in said
    assert "guessing gets" not in part(said, "how it was tasted")
    assert client.get(f"/readers/questions/{number(question)}/picture-1.svg").status_code == 404


def test_names_in_ones_own_words_are_pointed_out(client: FlaskClient, make: Make) -> None:
    make.brewer(name="Blue pot")
    make.taster(name="Ann")
    question = ask(client, "Is the blue POT better, Ann?")
    reply(client, question, "Announced too early.")
    preview = page.text(client.get(f"/readers/questions/{number(question)}").text)
    assert words.NAMED.format("Blue pot and Ann") in preview
    assert words.NAMED[:20] not in text_of(client, question)


# The cups


def test_two_packs_of_one_material_are_told_apart_without_their_names(
    client: FlaskClient, make: Make
) -> None:
    a, b = (make.filter(make.pack(name=name)) for name in ("Corner shop", "Market"))
    question = ask(client, "Which paper?", factor="filter")
    for paper, liking in ((a, 6), (b, 8)):
        brew = make.brew(filters=[paper])
        make.tasting(brew, liking=liking)
        tie(client, question, "brew", brew)
    said = text_of(client, question)
    assert "Paper filter I: 1 brew; paper filter II: 1 brew." in said
    assert "Corner shop" not in said
    named = text_of(client, question, "?gear=1")
    assert "Paper filter (Corner shop): 1 brew; paper filter (Market): 1 brew." in named


def test_amounts_of_many_brews_are_told_as_their_span(client: FlaskClient, make: Make) -> None:
    question = ask(client, "Is it good?")
    for dose, temp in ((13.0, 91.0), (14.5, None), (14.0, 96.0)):
        tie(client, question, "brew", make.brew(dose_g=dose, water_temp_c=temp))
    brewed = part(text_of(client, question), "how it was brewed")
    assert "- Dose: 13 to 14.5 g" in brewed
    assert "- Water temperature: 91 to 96 °C (not noted in 1 of 3)" in brewed
    assert "- Ratio, dose to brew water: 1 : 15.2 to 1 : 16.9" in brewed


def test_an_estimate_says_so_and_shows_its_range(client: FlaskClient, make: Make) -> None:
    question = ask(client, "Is it good?")
    tie(client, question, "brew", make.brew(water_temp_c=93.0, steep_s=140))
    strength = re.search(r"Strength in the cup: (.*)", text_of(client, question))
    assert strength
    assert re.fullmatch(r"≈ \d\.\d\d % TDS \(\d\.\d\d to \d\.\d\d\), estimated", strength[1])


@pytest.mark.parametrize(
    ("origin", "process", "said"),
    [
        ("Ethiopia", "washed", "washed coffee, Ethiopia"),
        ("Uncle’s hill, Kenya", "Natural and Washed", "natural and washed coffee, Kenya"),
        ("The shed", "uncle’s way", "coffee"),
        ("Brazil & India", "", "coffee, Brazil, India"),
    ],
)
def test_of_the_bean_only_what_everybody_knows_goes_out(
    client: FlaskClient, make: Make, origin: str, process: str, said: str
) -> None:
    question = ask(client, "Is it good?")
    bag = make.bag(make.bean(origin=origin, process=process))
    tie(client, question, "brew", make.brew(bag))
    assert f"- Coffee: {said}\n" in text_of(client, question)
    named = text_of(client, question, "?beans=1")
    assert "- Coffee: Morning Hill by Lantern Yard (" in named
    assert origin in named


def test_many_values_of_a_setting_make_one_picture(client: FlaskClient, make: Make) -> None:
    question = ask(client, "How hot?", factor="water temperature")
    for count, liking in enumerate((4, 5, 6, 7, 7, 8)):
        brew = make.brew(water_temp_c=80.0 + 3 * count)
        make.tasting(brew, liking=liking)
        tie(client, question, "brew", brew)
    shown = text_of(client, question)
    assert "6 brews." in part(shown, "how it was brewed")
    file = client.get(f"/readers/questions/{number(question)}/file.html").text
    assert "Liking of the cups by water temperature" in file
    assert page.text(file).count("water temperature, °C") >= 1
    assert re.search(r'<td data-th="Liking">8</td>', file)


def test_days_are_no_axis_where_the_roast_was_not_noted(client: FlaskClient, make: Make) -> None:
    question = ask(client, "Does it last?", factor="days of rest")
    for _ in range(6):
        brew = make.brew()
        make.tasting(brew)
        for _ in range(3):
            make.brew()
        tie(client, question, "brew", brew)
    text_of(client, question)
    assert client.get(f"/readers/questions/{number(question)}/picture-1.svg").status_code == 404


# Which answers go out, and the pages


def test_only_an_answer_goes_out(client: FlaskClient) -> None:
    question = ask(client, "Open still?")
    address = f"/readers/questions/{number(question)}"
    for path in (address, f"{address}/file.html", f"{address}/picture-1.svg"):
        answer = client.get(path)
        assert (answer.status_code, answer.location) == (303, question)
    assert "For readers" not in client.get(question).text
    reply(client, question, "Yes.")
    assert f'href="{address}"' in client.get(question).text
    assert client.get("/readers/questions/999999").status_code == 404


def test_ticks_live_in_the_address_and_reach_every_file(client: FlaskClient) -> None:
    question = ask(client, "Help?")
    reply(client, question, "Yes.")
    shown = client.get(f"/readers/questions/{number(question)}?notes=1&gear=1&junk=1").text
    assert shown.count("file.html?gear=1&amp;notes=1") == 1
    assert 'id="notes" name="notes" value="1" checked' in shown
    assert 'id="beans" name="beans" value="1">' in shown
    left_out = page.text(shown).split("Left out: ")[1].split(".")[0]
    assert left_out == (
        "names of beans and roasters; names of tasters; our words for the cups of blind tests; "
        "photos, dates and row numbers"
    )


def test_the_page_has_nothing_of_the_households_navigation(client: FlaskClient) -> None:
    question = ask(client, "Help?")
    reply(client, question, "Yes.")
    shown = client.get(f"/readers/questions/{number(question)}").text
    assert "Log a brew" not in shown
    assert "<script" not in shown
    (main,) = re.findall(r"<main.*</main>", shown, re.DOTALL)
    assert "href" not in main


def test_all_answers_are_sorted_as_asked(client: FlaskClient, make: Make) -> None:
    for text in ("First?", "Second?"):
        reply(client, ask(client, text), "Yes.")
    newest = page.text(client.get("/readers/answers").text)
    assert newest.index("Second?") < newest.index("First?")


def test_a_side_by_side_and_a_bag_are_shared_alike(client: FlaskClient, make: Make) -> None:
    a, b = (make.brew(steep_s=steep, water_temp_c=92.0) for steep in (120, 200))
    make.side_by_side(a, b, preference="b")
    for brew, liking in ((a, 6), (b, 8)):
        make.tasting(brew, liking=liking)
    two = client.get(f"/readers/side-by-side/{a.id}/{b.id}/file.txt").text
    assert two.startswith("Steep 2:00 or steep 3:20: two cups side by side\n")
    assert evidence(two).startswith("Cup B was preferred. Who compared could know which cup was")
    assert "- Taster 1. Cup A: 6; Cup B: 8" in two
    bag = client.get(f"/readers/bags/{a.bag_id}/file.txt").text
    assert bag.startswith("A bag of coffee\n")
    assert evidence(bag) == "One taster gave it 7 of 9 on average, over two scores, from 6 to 8."
    assert "- 1st. Liking, 1 to 9: 8; " in bag
    assert client.get(f"/readers/side-by-side/{a.id}/{a.id}").status_code == 404
    assert client.get("/readers/bags/999").status_code == 404
