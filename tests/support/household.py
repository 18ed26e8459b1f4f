"""A small journal with a row of every kind, every text in it chosen by the test."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

from app.models import (
    Ask,
    BlindPacket,
    BlindTaster,
    BlindTest,
    Brew,
    Experiment,
    ExperimentFactor,
    ExperimentRun,
    Filter,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionSideBySide,
    SideBySide,
    Sitting,
    SittingBrew,
    SittingCup,
    SittingLine,
    SittingQuestion,
    Taster,
    Trial,
)
from app.sensory.terms import LETTERS
from tests.support.clock import NOON
from tests.support.factories import Make

PLAIN = "Plum & tea"
VARIED = (("steep_s", 95.0, 145.0), ("water_temp_c", 89.0, 95.0))


def furnish(make: Make, words: str = PLAIN, brews: int = 3) -> list[Brew]:
    """Bags, gear, packs, a recipe, and `brews` brews each tasted, filtered and compared."""
    bean = make.bean(name=words, roaster=words, origin=words, process=words, note=words)
    bag = make.bag(
        bean, roasted_on=date(2026, 1, 1), opened_on=date(2026, 1, 4), price_minor=1250, note=words
    )
    make.frozen(bag, date(2026, 1, 2), date(2026, 1, 3))
    make.correction(bag, -4.5, why=words)
    brewer = make.brewer(name=words, note=words, capacity_g=250.0, capacity_dose_g=15.0)
    grinder = make.grinder(name=words, scale=words, um_per_step=20.0, note=words)
    water = make.water(name=words, hardness_mg_l=70.0, alkalinity_mg_l=40.0, note=words)
    pack = make.pack(name=words, note=words, price_minor=450)
    papers = [make.filter(pack, note=words), make.filter(pack, note=words)]
    steps = [{"kind": "pour", "starts_s": 0, "grams": 200.0, "note": words}]
    recipe = make.recipe(words, words, why=words, steps=steps, brewer_id=brewer.id, steep_s=150)
    taster = make.taster(name=words)
    made = []
    for number in range(brews):
        brew = make.brew(
            bag, brewer, recipe, _stack(papers, number),
            grinder_id=grinder.id, water_id=water.id, grind_setting=words[:20], note=words,
            steep_s=120, press_s=30, water_temp_c=92.0, tds_pct=1.2 + 0.01 * (number % 9),
        )  # fmt: skip
        make.tasting(brew, taster, words=words, note=words, liking=5 + number % 4, jar_body=3)
        made.append(brew)
    pairs = [
        make.side_by_side(one, other, preference="b", note=words) for one, other in pairwise(made)
    ]
    make.photo(made[0], b"\xff\xd8\xff\xd9", alt=words)
    _coded_ahead(make, words, made[0])
    test = _blind_test(make, words, made, taster)
    asked = _question(make, words, made, pairs, test)
    _sitting(make, words, made, asked, test)
    _experiment(make, made, recipe.revisions[0].id, taster)
    return made


def _experiment(make: Make, made: list[Brew], revision_id: int, taster: Taster) -> None:
    """An experiment under way: its first runs have brews, one is left out, the others wait."""
    of = make.save(
        Experiment(
            entry_key=f"experiment of brew {made[0].id}", planned_at=NOON, bag_id=made[0].bag_id,
            taster_id=taster.id, like_id=made[0].id, revision_id=revision_id,
        )
    )  # fmt: skip
    for place, (field, low, high) in enumerate(VARIED, 1):
        make.save(
            ExperimentFactor(experiment_id=of.id, place=place, field=field, low=low, high=high)
        )
    for place, levels in enumerate(([0, 0], [-1, 1], [1, -1], [1, 1], [-1, -1], [0, 0]), 1):
        brew_id = made[place - 1].id if place < min(len(made), 3) else None
        skipped = NOON if place == 4 else None
        own = {"brew_id": brew_id, "skipped_at": skipped, "levels": levels, "block": 1}
        make.save(ExperimentRun(experiment_id=of.id, place=place, **own))


def _question(
    make: Make, words: str, made: list[Brew], pairs: list[SideBySide], test: BlindTest
) -> Question:
    """A question with everything under it, answered."""
    asked = make.save(
        Question(text=words, asked_at=NOON, state="answered", answer=words, answered_at=NOON)
    )
    for brew in made:
        make.save(QuestionBrew(question_id=asked.id, brew_id=brew.id))
    for pair in pairs:
        make.save(QuestionSideBySide(question_id=asked.id, side_by_side_id=pair.id))
    make.save(QuestionBlindTest(question_id=asked.id, test_id=test.id))
    noted = {"asked_on": NOON.date(), "source": words, "noted_at": NOON}
    for text, question_id in (
        (words, asked.id),
        (words, None),
        (f"{words}?", None),
        ("2 papers?", None),
    ):
        make.save(Ask(text=text, question_id=question_id, **noted))
    return asked


def _sitting(make: Make, words: str, made: list[Brew], question: Question, test: BlindTest) -> None:
    """A sitting under way with a line of every kind: one is brewed, one skipped, a trial drawn."""
    key = f"sitting of brew {made[0].id}"
    sitting = make.save(Sitting(entry_key=key, planned_at=NOON))
    of = {"sitting_id": sitting.id, "place": 1, "question_id": question.id}
    asked = make.save(SittingQuestion(**of, pair=True, test_id=test.id))
    for letter in LETTERS:
        changes = {"stirs": 1} if letter == "B" else {}
        cup = {"sitting_question_id": asked.id, "letter": letter, "like_id": made[0].id}
        make.save(SittingCup(**cup, changes=changes))
    kinds: list[dict[str, object]] = [
        {"kind": "brew"},
        {"kind": "cool", "of_place": 1, "skipped_at": NOON, "skipped_why": words},
        {"kind": "taste", "of_place": 1},
        {"kind": "brew"},
        {"kind": "trial", "of_place": 4, "trial": 1, "cups": 3},
        {"kind": "rest"},
    ]
    plain = {"sitting_id": sitting.id, "sitting_question_id": asked.id, "lasts_s": 95}
    lines = [
        make.save(SittingLine(**plain | line, place=place, says=words[:300]))
        for place, line in enumerate(kinds, 1)
    ]
    for place, (letter, brew) in enumerate(zip(LETTERS, made, strict=False), 1):
        done = {"brew_id": brew.id, "made_at": NOON}
        make.save(SittingBrew(line_id=lines[0].id, place=place, letter=letter, **done))
        make.save(SittingBrew(line_id=lines[3].id, place=place, letter=letter))


def _coded_ahead(make: Make, words: str, first: Brew) -> None:
    """An open test of one coded cup, for which packets may be filled; with one that is."""
    test = make.save(
        BlindTest(
            entry_key=f"packets of brew {first.id}", title=words, made_at=NOON, a_words=words,
            b_words=words, claim="these ways of brewing", brewing="every cup its own",
            method="A-not-A", pouring="coded", rule="every morning", p_d=0.3,
        )
    )  # fmt: skip
    packed = {"packed_at": NOON, "packed_by": "a" * 64, "packed_from": "", "covered_at": NOON}
    make.save(BlindPacket(test_id=test.id, code="658", cup="A", **packed))


def _blind_test(make: Make, words: str, made: list[Brew], taster: Taster) -> BlindTest:
    """An open test between the first two brews, with a trial that is served and not answered."""
    test = make.save(
        BlindTest(
            entry_key=f"test of brew {made[0].id}", title=words, made_at=NOON, note=words,
            a_words=words, a_brew_id=made[0].id, b_words=words, b_brew_id=made[-1].id,
            claim="these cups", brewing="fresh pair each trial", method="triangle",
            pouring="helper", rule="every morning", p_d=0.4,
        )
    )  # fmt: skip
    make.save(BlindTaster(test_id=test.id, taster_id=taster.id, joined_at=NOON))
    make.save(
        Trial(
            test_id=test.id, taster_id=taster.id, number=1, pouring="helper", cups="ABA",
            codes="417 902 655", brewed_first="A", drawn_at=NOON, claimed_at=NOON,
            poured_by="a" * 64, served_at=NOON, note=words,
        )
    )  # fmt: skip
    return test


def _stack(papers: list[Filter], number: int) -> list[Filter]:
    return papers if number % 2 else papers[:1]
