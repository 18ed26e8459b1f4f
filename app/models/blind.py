"""Blind tests: the plan, who tastes, and trials, whose key and answer are kept as they were by
triggers of the database (see the migration)."""

from datetime import datetime

from sqlalchemy import (
    CheckConstraint,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    String,
    UniqueConstraint,
    text,
)
from sqlalchemy.orm import Mapped, mapped_column

from app.brewing import bounds
from app.models.base import (
    NAME_CHARS,
    WORDS_CHARS,
    Base,
    Binned,
    Name,
    Note,
    at_most,
    between,
    filled,
    one_of,
)
from app.sensory import terms

ADDRESS_CHARS = 45  # the longest IPv6 address
# An answer given solo is only finished once the marks under the cups were read.
STILL_OPEN = text(
    "voided_at IS NULL AND (answered_at IS NULL OR (pouring = 'solo' AND lifted IS NULL))"
)


class BlindTest(Binned, Base):
    """What is compared, by which method, and when it ends: fixed once a trial has been drawn.

    A and B each have words, and may point at a brew, a recipe's revision, or a filter at a use.
    `p_d` is the smallest share of trials perceived that would matter. `more` is the cup expected
    to have more of the attribute. With a `reminder` a cup known to be A is tasted before each coded
    one. `controls` is the number of A-against-A trials beside the fixed number; older plans drew
    one trial in `control_in` so instead (0: none). `ended` is how the rule ended the test, or
    stopped where the user gave it up (`stopped_why`).
    """

    __tablename__ = "blind_test"
    __table_args__ = (
        at_most("note"),
        UniqueConstraint("entry_key"),
        filled("title"),
        filled("a_words", WORDS_CHARS),
        filled("b_words", WORDS_CHARS),
        at_most("attribute", NAME_CHARS),
        at_most("stopped_why", WORDS_CHARS),
        one_of("method", terms.METHODS),
        one_of("claim", terms.CLAIMS),
        one_of("brewing", terms.BREWINGS),
        one_of("pouring", terms.POURINGS),
        one_of("rule", terms.RULES),
        one_of("more", terms.LETTERS),
        one_of("ended", terms.ENDS),
        between("p_d", bounds.P_D),
        between("fixed_trials", bounds.FIXED_TRIALS),
        between("alpha", bounds.ALPHA),
        between("beta", bounds.BETA),
        between("control_in", bounds.CONTROL_IN),
        between("controls", bounds.CONTROLS),
        between("a_filter_use", bounds.FILTER_USE),
        between("b_filter_use", bounds.FILTER_USE),
        CheckConstraint(
            "NOT (claim = 'these ways of brewing' AND brewing = 'one pair')", name="claim_holds"
        ),
        CheckConstraint(
            "(rule = 'fixed number') = (fixed_trials IS NOT NULL)", name="fixed_has_number"
        ),
        CheckConstraint(
            "(rule = 'step by step') = (alpha IS NOT NULL) AND (alpha IS NULL) = (beta IS NULL)",
            name="step_by_step_has_risks",
        ),
        CheckConstraint("method <> 'preference' OR rule <> 'step by step'", name="preference_rule"),
        CheckConstraint(
            "(method IN ('paired', 'three-cup')) = (attribute <> '') "
            "AND (attribute <> '') = (more IS NOT NULL)",
            name="directed_names_attribute",
        ),
        CheckConstraint("NOT reminder OR method = 'A-not-A'", name="reminder_of_a"),
        CheckConstraint(
            "control_in = 0 OR method NOT IN ('A-not-A', 'same-different')",
            name="half_are_controls",
        ),
        CheckConstraint(
            "NOT (method = 'same-different' AND pouring = 'solo')", name="pair_unknown"
        ),
        CheckConstraint("NOT balanced OR several_tasters", name="balanced_for_several"),
        CheckConstraint("control_in <> 1", name="not_only_controls"),
        CheckConstraint(
            "controls = 0 OR (rule = 'fixed number' AND control_in = 0 AND NOT balanced "
            "AND method NOT IN ('A-not-A', 'same-different', 'preference'))",
            name="controls_are_counted",
        ),
        CheckConstraint(
            "(a_filter_id IS NULL) = (a_filter_use IS NULL) "
            "AND (b_filter_id IS NULL) = (b_filter_use IS NULL)",
            name="filter_at_a_use",
        ),
        CheckConstraint("(ended IS NULL) = (stopped_at IS NULL)", name="ended_has_time"),
        CheckConstraint("stopped_why = '' OR ended = 'stopped'", name="why_when_stopped"),
        Index("ix_blind_test_made_at_id", "made_at", "id"),
    )

    entry_key: Mapped[str] = mapped_column(String(36))
    title: Mapped[Name]
    made_at: Mapped[datetime]
    a_words: Mapped[str] = mapped_column(String(WORDS_CHARS))
    a_brew_id: Mapped[int | None] = mapped_column(ForeignKey("brew.id"), index=True)
    a_revision_id: Mapped[int | None] = mapped_column(ForeignKey("recipe_revision.id"), index=True)
    a_filter_id: Mapped[int | None] = mapped_column(ForeignKey("filter.id"), index=True)
    a_filter_use: Mapped[int | None]
    b_words: Mapped[str] = mapped_column(String(WORDS_CHARS))
    b_brew_id: Mapped[int | None] = mapped_column(ForeignKey("brew.id"), index=True)
    b_revision_id: Mapped[int | None] = mapped_column(ForeignKey("recipe_revision.id"), index=True)
    b_filter_id: Mapped[int | None] = mapped_column(ForeignKey("filter.id"), index=True)
    b_filter_use: Mapped[int | None]
    claim: Mapped[terms.Claim] = mapped_column(String(21))
    brewing: Mapped[terms.Brewing] = mapped_column(String(21))
    method: Mapped[terms.Method] = mapped_column(String(14))
    attribute: Mapped[Name] = mapped_column(default="")
    more: Mapped[terms.Letter | None] = mapped_column(String(1))
    reminder: Mapped[bool] = mapped_column(default=False)
    pouring: Mapped[terms.Pouring] = mapped_column(String(6))
    rule: Mapped[terms.RuleName] = mapped_column(String(13))
    p_d: Mapped[float]
    fixed_trials: Mapped[int | None]
    alpha: Mapped[float | None]
    beta: Mapped[float | None]
    control_in: Mapped[int] = mapped_column(default=0)
    controls: Mapped[int] = mapped_column(default=0)
    several_tasters: Mapped[bool] = mapped_column(default=False)
    balanced: Mapped[bool] = mapped_column(default=False)
    ended: Mapped[terms.End | None] = mapped_column(String(12))
    stopped_at: Mapped[datetime | None]
    stopped_why: Mapped[str] = mapped_column(String(WORDS_CHARS), default="")
    note: Mapped[Note]


class BlindTaster(Base):
    """Who tastes in a test."""

    __tablename__ = "blind_taster"
    __table_args__ = (UniqueConstraint("test_id", "taster_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    test_id: Mapped[int] = mapped_column(ForeignKey("blind_test.id"))
    taster_id: Mapped[int] = mapped_column(ForeignKey("taster.id"), index=True)
    joined_at: Mapped[datetime]


class Trial(Base):
    """One trial: drawn and sealed, poured, served, answered, and only then shown.

    `cups` is the sealed key, such as ABA: by place from left to right; poured solo, by the mark
    under each cup. `codes` are by place, separated by spaces. `answer` counts places from 1 (or is
    the first or second word of a method that is answered in words), and 0 is no preference.
    `lifted` is the mark read under the cup asked for, once it was answered (MARK_LOST where it
    could not be).
    In a control every cup comes from A, and B stands for a second A. `poured_by` and
    `answered_by` are hashes of the secrets of the two browsers, `poured_from` and `answered_from`
    their network addresses. A warm-up is not counted.
    """

    __tablename__ = "trial"
    __table_args__ = (
        at_most("note"),
        ForeignKeyConstraint(
            ["test_id", "taster_id"], ["blind_taster.test_id", "blind_taster.taster_id"]
        ),
        UniqueConstraint("test_id", "number"),
        one_of("pouring", terms.POURINGS),
        one_of("brewed_first", terms.LETTERS),
        one_of("lifted", terms.MARKS),
        between("answer", bounds.ANSWER),
        CheckConstraint("length(cups) BETWEEN 1 AND 4", name="cups_length"),
        CheckConstraint(
            "length(replace(replace(cups, 'A', ''), 'B', '')) = 0", name="cups_of_a_and_b"
        ),
        CheckConstraint(
            "answer <= CASE length(cups) WHEN 1 THEN 2 ELSE length(cups) END",
            name="answer_is_a_place",
        ),
        at_most("void_reason", WORDS_CHARS),
        CheckConstraint("number >= 1", name="number_from_one"),
        CheckConstraint("NOT is_control OR pouring <> 'solo'", name="control_unknown"),
        CheckConstraint("pouring <> 'solo' OR length(cups) <= 3", name="solo_on_a_tray"),
        CheckConstraint("NOT (is_control AND warm_up)", name="control_counts"),
        CheckConstraint("(claimed_at IS NULL) = (poured_by IS NULL)", name="claimed_by_one"),
        CheckConstraint("(answer IS NULL) = (answered_at IS NULL)", name="answer_has_time"),
        CheckConstraint("served_at IS NOT NULL OR answered_at IS NULL", name="served_first"),
        CheckConstraint("answered_at IS NOT NULL OR sure IS NULL", name="sure_of_an_answer"),
        CheckConstraint(
            "answered_at IS NOT NULL OR (seen_at IS NULL AND lifted IS NULL)",
            name="answered_before_key",
        ),
        CheckConstraint("lifted IS NULL OR pouring = 'solo'", name="lifted_solo"),
        CheckConstraint("voided_at IS NULL OR answered_at IS NULL", name="void_before_answer"),
        CheckConstraint(
            "(voided_at IS NULL AND void_reason = '') "
            "OR (voided_at IS NOT NULL AND length(trim(void_reason)) >= 1)",
            name="void_has_reason",
        ),
        Index(
            "uq_trial_one_open_a_taster",
            "test_id",
            "taster_id",
            unique=True,
            sqlite_where=STILL_OPEN,
            postgresql_where=STILL_OPEN,
        ),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    test_id: Mapped[int] = mapped_column(ForeignKey("blind_test.id"))
    taster_id: Mapped[int] = mapped_column(ForeignKey("taster.id"), index=True)
    number: Mapped[int]
    pouring: Mapped[terms.Pouring] = mapped_column(String(6))
    warm_up: Mapped[bool] = mapped_column(default=False)
    is_control: Mapped[bool] = mapped_column(default=False)
    cups: Mapped[str] = mapped_column(String(4))
    codes: Mapped[str] = mapped_column(String(20), default="")
    brewed_first: Mapped[terms.Letter | None] = mapped_column(String(1))
    drawn_at: Mapped[datetime]
    claimed_at: Mapped[datetime | None]
    poured_by: Mapped[str | None] = mapped_column(String(64))
    served_at: Mapped[datetime | None]
    answered_at: Mapped[datetime | None]
    answered_by: Mapped[str | None] = mapped_column(String(64))
    answer: Mapped[int | None]
    sure: Mapped[bool | None]
    lifted: Mapped[terms.Mark | None] = mapped_column(String(1))
    seen_at: Mapped[datetime | None]
    note: Mapped[Note]
    voided_at: Mapped[datetime | None]
    void_reason: Mapped[str] = mapped_column(String(WORDS_CHARS), default="")
    poured_from: Mapped[str | None] = mapped_column(String(ADDRESS_CHARS))
    answered_from: Mapped[str | None] = mapped_column(String(ADDRESS_CHARS))


class TrialBrew(Base):
    """A brew that a finished trial was poured from, as cup A or as cup B."""

    __tablename__ = "trial_brew"
    __table_args__ = (one_of("cup", terms.LETTERS),)

    trial_id: Mapped[int] = mapped_column(ForeignKey("trial.id"), primary_key=True)
    brew_id: Mapped[int] = mapped_column(ForeignKey("brew.id"), primary_key=True, index=True)
    cup: Mapped[terms.Letter] = mapped_column(String(1))
