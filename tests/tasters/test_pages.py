"""The page of the tasters: how each repeats, how two agree, and what is missing."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

from flask.testing import FlaskClient

from app.models import Taster
from tests.support.asking import ask, says, tie
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]


def both(make: Make, cups: int, more: int = 0) -> tuple[Taster, Taster]:
    """Brews that both scored, a day each; the second taster gives `more`."""
    one, other = make.taster(), make.taster(name="Sage")
    for n in range(cups):
        brew = make.brew(dose_g=12 + n % 2)
        make.tasting(brew, one, liking=4 + n % 3)
        make.tasting(brew, other, liking=4 + n % 3 + more)
    return one, other


def test_an_empty_journal_says_what_will_stand_here(client: FlaskClient) -> None:
    assert "Nobody has scored a cup yet" in says(client, "/tasters/")
    assert "/tasters/" in client.get("/tastings/").text


def test_one_score_is_no_repeat(client: FlaskClient, make: Make) -> None:
    make.tasting(make.brew())
    said = says(client, "/tasters/")
    assert "Juniper 1 score No recipe was brewed and scored twice yet" in said
    assert "once two have scored the same cup" in said


def test_repeats_say_what_two_cups_have_to_differ_by(client: FlaskClient, make: Make) -> None:
    for liking in (6, 7, 6, 7):
        make.tasting(make.brew(), liking=liking)
    said = says(client, "/tasters/")
    assert "4 repeats of one recipe, made on different days, scatter by 0.6 points." in said
    # 3.182 (t, 3 df) · 0.577 · √2, and the half point that whole scores hide
    assert "Two cups have to be more than 3.1 apart to stand out from that." in said


def test_two_tasters_who_never_shared_a_cup(client: FlaskClient, make: Make) -> None:
    make.tasting(make.brew(), make.taster())
    make.tasting(make.brew(), make.taster(name="Sage"))
    assert "No two tasters have scored the same cup yet." in says(client, "/tasters/")


def test_few_cups_have_no_kappa(client: FlaskClient, make: Make) -> None:
    both(make, 2)
    said = says(client, "/tasters/")
    assert "Both scored 2 cups on 2 days. On average they give the same score" in said
    assert "takes 20 such cups on 10 days" in said


def test_agreement_of_many_cups(client: FlaskClient, make: Make) -> None:
    both(make, 24, more=1)
    said = says(client, "/tasters/")
    assert "Both scored 24 cups on 24 days: 100 of 100 within one point of each other." in said
    assert "On average Sage gives 1.0 more than Juniper (range 0.9 to 1.1), beyond" in said
    # 1 less 1 ÷ (2/3 + 2/3 + 1): Lin's concordance of scores a point apart
    assert "to this degree: 0.57 (range" in said


def test_only_what_counts_is_read(client: FlaskClient, make: Make) -> None:
    one, other = both(make, 3)
    brew = make.brew()
    make.tasting(brew, one)
    make.put_in_the_bin(make.tasting(brew, other))
    gone = make.brew()
    make.tasting(gone, one)
    make.tasting(gone, other)
    make.put_in_the_bin(gone)
    said = says(client, "/tasters/")
    assert "Both scored 3 cups" in said
    assert "Juniper 4 scores" in said


def test_the_page_asks_as_often_with_many_scores(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    counts = []
    for cups in (4, 30):
        both(make, cups)
        with statements() as seen:
            client.get("/tasters/")
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_a_difference_on_other_pages_stands_beside_the_tasters_own_repeats(
    client: FlaskClient, make: Make
) -> None:
    brews = [make.brew(steep_s=120 + 40 * (n % 2)) for n in range(4)]
    for n, brew in enumerate(brews):
        make.tasting(brew, liking=6 + n % 2 + n // 2)
    told = "Cups of one recipe, scored by Juniper, scatter by 0.7 points (4 repeats of 2 recipes"
    assert told in says(client, f"/bags/{brews[0].bag_id}")
    question = ask(client, factor="steep")
    for brew in brews:
        tie(client, question, "brew", brew)
    assert told in says(client, question)


def test_who_leaves_out_cups_may_score_higher_for_that_alone(
    client: FlaskClient, make: Make
) -> None:
    one, other = make.taster(), make.taster(name="Sage")
    for n in range(24):
        brew, liking = make.brew(), 4 + n % 4
        make.tasting(brew, one, liking=liking)
        if liking > 5:
            make.tasting(brew, other, liking=liking + 1)
    said = says(client, "/tasters/")
    # 2.201 (t, 11 df) · ⅓ ÷ √12: the least that whole scores scatter by
    assert (
        "Sage gives 1.0 more than Juniper (range 0.8 to 1.2), beyond what chance gives. But the "
        "cups that both scored are others than those one of them scored alone"
    ) in said
    assert "Scored were 12 of the 22 cups made meanwhile." in said  # Sage’s, from the first on


def test_who_leaves_out_some_cups_as_it_comes_is_not_told_so(
    client: FlaskClient, make: Make
) -> None:
    one, other = make.taster(), make.taster(name="Sage")
    for n in range(24):
        brew, liking = make.brew(dose_g=12 + n % 2), 4 + n % 4
        make.tasting(brew, one, liking=liking)
        if n % 3:
            make.tasting(brew, other, liking=liking + 1)
    assert "are others than those" not in says(client, "/tasters/")


def test_three_who_order_the_days_alike_are_told_so(client: FlaskClient, make: Make) -> None:
    """Five days, three tasters: the same order, at levels of their own."""
    tasters = [make.taster(name=name) for name in ("Ada", "Mo", "Sage")]
    for likings in ((2, 3, 4), (3, 4, 5), (4, 5, 6), (5, 6, 7), (6, 7, 8)):
        brew = make.brew()
        for taster, liking in zip(tasters, likings, strict=True):
            make.tasting(brew, taster, liking=liking)
    said = says(client, "/tasters/")
    assert (
        "All 3 scored cups on the same 5 days, and largely agree which they liked better." in said
    )
    assert "Agreement of their orders is 1.00" in said


def test_two_tasters_or_two_days_are_too_few_for_an_order(client: FlaskClient, make: Make) -> None:
    both(make, 6)
    third = make.taster(name="Mo")
    for _ in range(2):
        make.tasting(make.brew(), third)
    assert "Agreement of their orders" not in says(client, "/tasters/")
