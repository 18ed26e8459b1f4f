"""Rows for the snapshots: every table has some, with values that a rebuild could spoil."""

from __future__ import annotations

from collections.abc import Callable

from app.models import (
    Afterthought,
    ApiToken,
    Ask,
    BlindPacket,
    BlindTaster,
    BlindTest,
    BlindTestMark,
    BlindTestUse,
    Brew,
    Change,
    Device,
    Experiment,
    ExperimentFactor,
    ExperimentRun,
    ImportedRows,
    ImportLink,
    JournalIdentity,
    JournalImport,
    LeftTrial,
    NameChange,
    PairingCode,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionGroups,
    QuestionLeftTest,
    QuestionSideBySide,
    SavedForm,
    Settings,
    SideBySide,
    Sitting,
    SittingBrew,
    SittingCup,
    SittingFilter,
    SittingLine,
    SittingQuestion,
    SittingTick,
    Trial,
    TrialBrew,
)
from tests.support.clock import A_DAY, NOON
from tests.support.factories import Make


def fill(make: Make, revision: str) -> None:
    """What the tables of a revision can hold."""
    for added_in, rows in ROWS.items():
        if added_in <= revision:
            rows(make)


def _brews(make: Make) -> None:
    bag = make.bag(make.bean(name="Šípek & <Rose>", note="It's 'quoted'\nover lines"))
    make.frozen(bag, NOON.date(), (NOON + A_DAY).date())
    make.correction(bag, -3.25)
    make.grinder(um_per_step=12.5)
    make.water(hardness_mg_l=71.4)
    stack = [make.filter(), make.filter(prior_uses=2)]
    recipe = make.recipe(steps=[{"kind": "pour", "starts_s": 0, "grams": 200.0}])
    make.revision(recipe, why="Finer")
    binned = make.brew(bag, recipe=recipe, filters=stack, zone="Pacific/Chatham")
    brew = make.brew(bag, filters=stack[:1], tds_pct=1.31, steep_s=150, note="Ünïcode ☕")
    make.photo(brew, b"\xff\xd8\x00'not really a picture")
    make.tasting(brew, words="plum, tea", blind=True, jar_body=4)
    make.side_by_side(brew, binned, preference="a", note="The first")
    make.put_in_the_bin(binned)


def _history(make: Make) -> None:
    text = {"name": "dose_g", "label": "Dose", "values": ["18.0"], "shown": "", "unit": "g"}
    make.save(
        Change(thing="brew", row_id=1, number=1, changed_at=NOON, before=[text], after=[text])
    )
    make.save(SavedForm(key="k", content="0", address="/brews/1", saved_at=NOON))


def _in_the_bin(make: Make) -> None:
    """What could not be binned before; the brew has only photos that are in the bin."""
    bag, pack = make.bag(), make.pack()
    make.correction(bag, 4.5, binned_at=NOON)
    make.frozen(bag, NOON.date(), binned_at=NOON)
    make.filter(pack, note="A crease", binned_at=NOON)
    make.photo(make.brew(bag), b"\xff\xd8\x00not shown", alt="Before", binned_at=NOON)


def _settings(make: Make) -> None:
    make.save(Settings(locale="de", temp_unit="°F", kettle_efficiency_pct=81.5))


def _blind_tests(make: Make) -> None:
    test = make.save(
        BlindTest(
            entry_key="00000000-0000-4000-8000-000000000001",
            title="Used papers", made_at=NOON, a_words="fresh paper", b_words="third use",
            claim="these cups", brewing="fresh pair each trial", method="triangle",
            pouring="helper", rule="every morning", p_d=0.4,
        )
    )  # fmt: skip
    taster = make.taster(name="Ilex")
    make.save(BlindTaster(test_id=test.id, taster_id=taster.id, joined_at=NOON))
    make.save(
        Trial(
            test_id=test.id, taster_id=taster.id, number=1, pouring="helper", cups="ABA",
            codes="417 902 655", brewed_first="A", drawn_at=NOON, claimed_at=NOON,
            poured_by="a" * 64, served_at=NOON, answered_at=NOON, answered_by="b" * 64,
            answer=2, sure=True, seen_at=NOON,
        )
    )  # fmt: skip
    question = make.save(Question(text="Does a third use taste different?", asked_at=NOON))
    brew, other = make.brew(), make.brew()
    pair: SideBySide = make.side_by_side(brew, other)
    _gather(make, question, brew, pair, test)
    make.save(Device(name="Kitchen", token_hash="c" * 64, paired_at=NOON, last_seen_at=NOON))
    make.save(PairingCode(code_hash="d" * 64, made_at=NOON, expires_at=NOON + A_DAY))


def _several_tasters(make: Make) -> None:
    """Rows that only a guest's device and a trial's brews have."""
    taster = make.taster(name="Briar")
    make.save(BlindTaster(test_id=1, taster_id=taster.id, joined_at=NOON))
    brew = make.brew()
    make.save(TrialBrew(trial_id=1, brew_id=brew.id, cup="B"))
    guest = {"guest_of_test_id": 1, "guest_taster_id": taster.id}
    make.save(Device(name="Guest", token_hash="e" * 64, paired_at=NOON, last_seen_at=NOON, **guest))


def _marks(make: Make) -> None:
    make.save(BlindTestMark(test_id=1, put_back_at=NOON))
    paper = make.filter()
    brew = make.brew(filters=[paper])
    make.save(BlindTestUse(test_id=1, brew_id=brew.id, filter_id=paper.id, number=1))


def _gather(make: Make, question: Question, brew: Brew, pair: SideBySide, test: BlindTest) -> None:
    make.save(QuestionBrew(question_id=question.id, brew_id=brew.id))
    make.save(QuestionSideBySide(question_id=question.id, side_by_side_id=pair.id))
    make.save(QuestionBlindTest(question_id=question.id, test_id=test.id, tied_at=NOON))


def _taken_away(make: Make) -> None:
    question = make.save(Question(text="Does it taste of the jug?", asked_at=NOON))
    make.save(QuestionLeftTest(question_id=question.id, test_id=1, tied_at=NOON))


def _packets(make: Make) -> None:
    """A test that is answered in words, with one packet used and one that waits."""
    test = make.save(
        BlindTest(
            entry_key="00000000-0000-4000-8000-000000000012",
            title="A stir", made_at=NOON, a_words="stirred once", b_words="not stirred",
            claim="these ways of brewing", brewing="every cup its own", method="A-not-A",
            reminder=True, pouring="coded", rule="every morning", p_d=0.3,
        )
    )  # fmt: skip
    taster = make.taster(name="Sorrel")
    make.save(BlindTaster(test_id=test.id, taster_id=taster.id, joined_at=NOON))
    trial = make.save(
        Trial(
            test_id=test.id, taster_id=taster.id, number=1, pouring="coded", cups="A",
            codes="417", drawn_at=NOON, claimed_at=NOON, poured_by="a" * 64, served_at=NOON,
            answered_at=NOON, answered_by="b" * 64, answer=2, seen_at=NOON,
        )
    )  # fmt: skip
    packed = {"test_id": test.id, "packed_at": NOON, "packed_by": "a" * 64, "packed_from": ""}
    used = {"code": "417", "cup": "A", "covered_at": NOON, "trial_id": trial.id}
    make.save(BlindPacket(**packed, **used))
    make.save(BlindPacket(**packed, code="658", cup="B", covered_at=NOON))


def _alike_brewers(make: Make) -> None:
    """Two of a kind with brews, and the second of them in the bin."""
    left = make.brewer(name="Left press", note="Chipped")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    bag = make.bag()
    make.brew(bag, left, tds_pct=1.27)
    make.brew(bag, right, beverage_g=187.5)
    make.put_in_the_bin(right)


def _helper(make: Make) -> None:
    """The device of who poured in a test; going back would put one out that is paired still."""
    seen = {"paired_at": NOON, "last_seen_at": NOON, "unpaired_at": NOON}
    make.save(Device(name="Helper", token_hash="f" * 64, helper_of_test_id=1, **seen))


def _after_the_reveal(make: Make) -> None:
    """The first trial's cups, tasted again by somebody who knew, and what was said of it."""
    make.save(Afterthought(id=1, noted_at=NOON, preference="b", note="The ‘odd’ one\nwas rounder"))
    make.tasting(make.brew(), liking=8, after_trial_id=1)


def _asks(make: Make) -> None:
    """One in the inbox, one without words that only counts, one in the bin; and a question about
    several things."""
    several = ["filter", "use of the filter"]
    sheets = make.save(Question(text="Two sheets or one?", asked_at=NOON, factors=several))
    noted = {"asked_on": NOON.date(), "noted_at": NOON}
    make.save(Ask(text="Doppelt gefiltert – “besser”?", source="A letter, p. 2", **noted))
    make.save(Ask(question_id=sheets.id, **noted))
    make.save(Ask(text="Is <b>one</b> sheet enough?", binned_at=NOON, **noted))


def _sittings(make: Make) -> None:
    """A sitting of one question with a cup to brew and a trial, begun, and closed early."""
    key = "00000000-0000-4000-8000-000000000021"
    sitting = make.save(Sitting(entry_key=key, planned_at=NOON, ended_at=NOON + A_DAY))
    question = make.save(Question(text="Is ‘one stir’ enough?", asked_at=NOON))
    asked = make.save(
        SittingQuestion(
            sitting_id=sitting.id, place=1, question_id=question.id, pair=True, test_id=1
        )
    )
    like = make.brew(dose_g=13.5)
    changes = {"stirs": 0, "steep_s": 205, "water_temp_c": 91.5, "grind": "fine", "flipped": True}
    cup = make.save(
        SittingCup(sitting_question_id=asked.id, letter="A", like_id=like.id, changes=changes)
    )
    pack = make.pack()
    make.save(SittingFilter(cup_id=cup.id, position=1, pack_id=pack.id, use_number=8))
    plain = {"sitting_id": sitting.id, "sitting_question_id": asked.id}
    brew = make.save(SittingLine(**plain, place=1, kind="brew", lasts_s=420, says="Warm it"))
    made = {"letter": "A", "brew_id": like.id, "made_at": NOON}
    make.save(SittingBrew(line_id=brew.id, place=1, **made))
    make.save(SittingBrew(line_id=brew.id, place=2))
    skipped = {"skipped_at": NOON, "skipped_why": "Spilled"}
    make.save(
        SittingLine(
            **plain, place=2, kind="trial", lasts_s=90, of_place=1, trial=1, cups=3, **skipped
        )
    )
    make.save(SittingLine(**plain, place=3, kind="rest", lasts_s=45, ticked_at=NOON))
    make.save(SittingTick(sitting_id=sitting.id, need="ice", ticked_at=NOON))


# The revision that made a table, and rows for it.
def _groups_of_cups(make: Make) -> None:
    """Two groups under a question, with what was read of them."""
    question = make.save(Question(text="Is a used paper worse?", asked_at=NOON))
    make.save(
        QuestionGroups(
            question_id=question.id,
            query="a-use_to=1&a-material=paper&b-use_from=2",
            words="1st use, “paper” filter against 2nd use and later",
            said="Nell, sighted: A was liked 0.5 more than B; B's range is −0.2 to +1.2.",
            tied_at=NOON,
        )
    )


def _imports(make: Make) -> None:
    """An import of a bean that was changed before, and a trial whose key stayed elsewhere."""
    imported = make.save(
        JournalImport(kind="package", file_name="‘Küche’.zip", imported_at=NOON, counts={"bean": 1})
    )
    make.save(JournalIdentity(id=1, uuid="00000000-0000-4000-8000-000000000001"))
    bean = make.bean(name="Came in")
    noted = {"import_id": imported.id, "table_name": "bean", "columns": ["id", "name"]}
    make.save(ImportedRows(**noted, keys=[[bean.id]], digests=["0" * 16]))
    make.save(ImportedRows(**noted, keys=[[1]], digests=["f" * 16], before=[[1, "Šípek & <Rose>"]]))
    theirs = {"origin": "00000000-0000-4000-8000-000000000024", "their_id": 31}
    make.save(ImportLink(import_id=imported.id, table_name="bean", our_id=bean.id, **theirs))
    make.save(LeftTrial(test_id=1, number=2, taster_id=1, drawn_at=NOON, voided_at=NOON))


def _tokens(make: Make) -> None:
    may = dict.fromkeys(("may_read", "may_log_tastings", "may_read_tests", "from_network"), False)
    given = {"made_at": NOON, "expires_at": NOON + A_DAY, "last_used_at": NOON}
    make.save(ApiToken(name="Scale", secret_hash="a" * 64, may_log_brews=True, **may, **given))


def _names(make: Make) -> None:
    """A taster that turned out to be another one."""
    one, other = make.taster(name="Rowan"), make.taster(name="Rowann")
    other.same_as_id, other.binned_at = one.id, NOON
    make.save(other)
    make.save(
        NameChange(
            kind="taster", what="merged", old_name="Rowann", new_name="Rowan", from_id=other.id,
            into_id=one.id, moved=[1, 2], followed=[], changed_at=NOON, device="Kitchen",
        )
    )  # fmt: skip


def _experiments(make: Make) -> None:
    """An experiment stopped early: one run brewed, one left out, one that still waited."""
    key = "00000000-0000-4000-8000-000000000025"
    bag = make.bag()
    brew = make.brew(bag, steep_s=115)
    recipe = make.recipe()
    taster = make.taster(name="Ilex")
    of = make.save(
        Experiment(
            entry_key=key, planned_at=NOON, ended_at=NOON + A_DAY, bag_id=bag.id, like_id=brew.id,
            taster_id=taster.id, revision_id=recipe.revisions[0].id,
        )
    )  # fmt: skip
    for place, field in enumerate(("steep_s", "grind_setting"), 1):
        ends = {"low": 11.5 * place, "high": 19.25 * place}
        make.save(ExperimentFactor(experiment_id=of.id, place=place, field=field, **ends))
    plain = {"experiment_id": of.id, "block": 1}
    make.save(ExperimentRun(**plain, place=1, levels=[-1, 1], brew_id=brew.id))
    make.save(ExperimentRun(**plain, place=2, levels=[0, 0], skipped_at=NOON))
    make.save(ExperimentRun(**plain, place=3, levels=[1, 1]))


ROWS: dict[str, Callable[[Make], None]] = {
    "0001": _brews,
    "0002": _settings,
    "0003": _blind_tests,
    "0006": _several_tasters,
    "0007": _history,
    "0008": _marks,
    "0009": _in_the_bin,
    "0012": _taken_away,
    "0013": _packets,
    "0016": _alike_brewers,
    "0017": _helper,
    "0018": _after_the_reveal,
    "0020": _asks,
    "0021": _sittings,
    "0022": _groups_of_cups,
    "0024": _imports,
    "0025": _tokens,
    "0026": _names,
    "0027": _experiments,
}
