"""blind tests

Triggers keep what was drawn and answered: a trial's key and answer, and a plan once it has a
trial, are refused any change or deletion, from whatever program it comes. A later migration that
rebuilds one of these tables has to put its triggers back.
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

STILL_OPEN = "voided_at IS NULL AND (answered_at IS NULL OR (pouring = 'solo' AND lifted IS NULL))"
KEPT = (
    "id, test_id, taster_id, number, pouring, warm_up, is_control, cups, codes, brewed_first, "
    "drawn_at"
)
KEPT_ONCE_SET = (
    "claimed_at, poured_by, served_at, answered_at, answered_by, answer, sure, lifted, seen_at, "
    "voided_at"
)
KEPT_ONCE_SERVED = "claimed_at, poured_by"
KEPT_ONCE_ANSWERED = "answered_by, sure"
KEPT_ONCE_VOIDED = (
    "claimed_at, poured_by, served_at, answered_at, answered_by, answer, sure, lifted, seen_at, "
    "void_reason"
)
PLAN = (
    "a_words, a_brew_id, a_revision_id, a_filter_id, a_filter_use, b_words, b_brew_id, "
    "b_revision_id, b_filter_id, b_filter_use, claim, brewing, method, attribute, more, rule, "
    "p_d, fixed_trials, alpha, beta, control_in, several_tasters, balanced, made_at, entry_key"
)
STOPPED = "ended, stopped_at, stopped_why"
HAS_TRIALS = "EXISTS (SELECT 1 FROM trial WHERE test_id = OLD.id)"
TRIAL_THERE = (
    "EXISTS (SELECT 1 FROM trial WHERE id = NEW.id"
    " OR (test_id = NEW.test_id AND number = NEW.number)"
    " OR (test_id = NEW.test_id AND taster_id = NEW.taster_id AND voided_at IS NULL"
    " AND (answered_at IS NULL OR (pouring = 'solo' AND lifted IS NULL))))"
)
TEST_THERE = "EXISTS (SELECT 1 FROM blind_test WHERE id = NEW.id OR entry_key = NEW.entry_key)"

TRIAL_STAYS = "A trial's key and answer stay as they were."
TRIAL_COUNTS = "A trial that was drawn counts and cannot be deleted."
PLAN_STAYS = "The plan of a blind test stays as it was once a trial has been drawn."
TEST_COUNTS = "A blind test with trials cannot be deleted."


def _changed(columns: str, differs: str) -> str:
    return " OR ".join(f"NEW.{name} {differs} OLD.{name}" for name in columns.split(", "))


def _trial_changed(differs: str) -> str:
    once_set = " OR ".join(
        f"(OLD.{name} IS NOT NULL AND NEW.{name} {differs} OLD.{name})"
        for name in KEPT_ONCE_SET.split(", ")
    )
    return (
        f"{_changed(KEPT, differs)} OR {once_set}"
        f" OR (OLD.served_at IS NOT NULL AND ({_changed(KEPT_ONCE_SERVED, differs)}))"
        f" OR (OLD.answered_at IS NOT NULL AND ({_changed(KEPT_ONCE_ANSWERED, differs)}))"
        f" OR (OLD.voided_at IS NOT NULL AND ({_changed(KEPT_ONCE_VOIDED, differs)}))"
    )


def _plan_changed(differs: str) -> str:
    return (
        f"(({_changed(PLAN, differs)}) AND {HAS_TRIALS}) OR NEW.id <> OLD.id"
        f" OR (OLD.stopped_at IS NOT NULL AND ({_changed(STOPPED, differs)}))"
    )


def _keep_on_sqlite() -> None:
    # A row put in the place of another (INSERT OR REPLACE) deletes it without a delete trigger.
    for name, moment, when, says in (
        ("trial_kept", "UPDATE ON trial", _trial_changed("IS NOT"), TRIAL_STAYS),
        ("trial_not_deleted", "DELETE ON trial", "1", TRIAL_COUNTS),
        ("trial_not_replaced", "INSERT ON trial", TRIAL_THERE, TRIAL_COUNTS),
        ("blind_test_kept", "UPDATE ON blind_test", _plan_changed("IS NOT"), PLAN_STAYS),
        ("blind_test_not_deleted", "DELETE ON blind_test", HAS_TRIALS, TEST_COUNTS),
        ("blind_test_not_replaced", "INSERT ON blind_test", TEST_THERE, TEST_COUNTS),
    ):
        quoted = says.replace("'", "''")
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {moment} WHEN {when} "
            f"BEGIN SELECT RAISE(ABORT, '{quoted}'); END"
        )


def _keep_on_postgresql() -> None:
    for name, moment, when, says in (
        ("trial_kept", "UPDATE ON trial", _trial_changed("IS DISTINCT FROM"), TRIAL_STAYS),
        ("trial_not_deleted", "DELETE ON trial", "true", TRIAL_COUNTS),
        ("blind_test_kept", "UPDATE ON blind_test", _plan_changed("IS DISTINCT FROM"), PLAN_STAYS),
        ("blind_test_not_deleted", "DELETE ON blind_test", HAS_TRIALS, TEST_COUNTS),
    ):
        goes_on = "NEW" if moment.startswith("UPDATE") else "OLD"
        _refuse_on_postgresql(name, f"{moment} FOR EACH ROW", when, says, goes_on)
    _refuse_on_postgresql(
        "trial_not_truncated", "TRUNCATE ON trial FOR EACH STATEMENT", "true", TRIAL_COUNTS, "NULL"
    )


def _refuse_on_postgresql(name: str, moment: str, when: str, says: str, goes_on: str) -> None:
    quoted = says.replace("'", "''")
    op.execute(
        f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN IF {when} THEN "
        f"RAISE EXCEPTION '{quoted}' USING ERRCODE = 'integrity_constraint_violation'; "
        f"END IF; RETURN {goes_on}; END $$"
    )
    op.execute(f"CREATE TRIGGER {name} BEFORE {moment} EXECUTE FUNCTION {name}()")


def _let_go() -> None:
    kept = ["trial_kept", "trial_not_deleted", "blind_test_kept", "blind_test_not_deleted"]
    if op.get_bind().dialect.name == "sqlite":
        for name in (*kept, "trial_not_replaced", "blind_test_not_replaced"):
            op.execute(f"DROP TRIGGER {name}")
        return
    for name in (*kept, "trial_not_truncated"):  # the trigger goes with its function
        op.execute(f"DROP FUNCTION {name}() CASCADE")


def upgrade() -> None:
    _make_tables()
    if op.get_bind().dialect.name == "sqlite":
        _keep_on_sqlite()
    else:
        _keep_on_postgresql()


def _make_tables() -> None:
    op.create_table(
        "question",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(length=300), nullable=False),
        sa.Column("factor", sa.String(length=120), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("state", sa.String(length=8), nullable=False),
        sa.Column("answer", sa.String(length=4000), nullable=False),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "(state = 'answered') = (answered_at IS NOT NULL)",
            name=op.f("ck_question_answered_has_time"),
        ),
        sa.CheckConstraint(
            "state = 'open' OR length(trim(answer)) >= 1",
            name=op.f("ck_question_answered_in_words"),
        ),
        sa.CheckConstraint("state IN ('open', 'answered')", name=op.f("ck_question_state_word")),
        sa.CheckConstraint("length(answer) <= 4000", name=op.f("ck_question_answer_length")),
        sa.CheckConstraint("length(factor) <= 120", name=op.f("ck_question_factor_length")),
        sa.CheckConstraint(
            "length(trim(text)) >= 1 AND length(text) <= 300", name=op.f("ck_question_text_filled")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_question")),
    )
    with op.batch_alter_table("question", schema=None) as batch_op:
        batch_op.create_index("ix_question_asked_at_id", ["asked_at", "id"], unique=False)

    op.create_table(
        "blind_test",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_key", sa.String(length=36), nullable=False),
        sa.Column("title", sa.String(length=120), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("a_words", sa.String(length=300), nullable=False),
        sa.Column("a_brew_id", sa.Integer(), nullable=True),
        sa.Column("a_revision_id", sa.Integer(), nullable=True),
        sa.Column("a_filter_id", sa.Integer(), nullable=True),
        sa.Column("a_filter_use", sa.Integer(), nullable=True),
        sa.Column("b_words", sa.String(length=300), nullable=False),
        sa.Column("b_brew_id", sa.Integer(), nullable=True),
        sa.Column("b_revision_id", sa.Integer(), nullable=True),
        sa.Column("b_filter_id", sa.Integer(), nullable=True),
        sa.Column("b_filter_use", sa.Integer(), nullable=True),
        sa.Column("claim", sa.String(length=21), nullable=False),
        sa.Column("brewing", sa.String(length=21), nullable=False),
        sa.Column("method", sa.String(length=10), nullable=False),
        sa.Column("attribute", sa.String(length=120), nullable=False),
        sa.Column("more", sa.String(length=1), nullable=True),
        sa.Column("pouring", sa.String(length=6), nullable=False),
        sa.Column("rule", sa.String(length=13), nullable=False),
        sa.Column("p_d", sa.Double(), nullable=False),
        sa.Column("fixed_trials", sa.Integer(), nullable=True),
        sa.Column("alpha", sa.Double(), nullable=True),
        sa.Column("beta", sa.Double(), nullable=True),
        sa.Column("control_in", sa.Integer(), nullable=False),
        sa.Column("several_tasters", sa.Boolean(), nullable=False),
        sa.Column("balanced", sa.Boolean(), nullable=False),
        sa.Column("ended", sa.String(length=12), nullable=True),
        sa.Column("stopped_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("stopped_why", sa.String(length=300), nullable=False),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "(method IN ('paired', 'three-cup')) = (attribute <> '') "
            "AND (attribute <> '') = (more IS NOT NULL)",
            name=op.f("ck_blind_test_directed_names_attribute"),
        ),
        sa.CheckConstraint(
            "(rule = 'fixed number') = (fixed_trials IS NOT NULL)",
            name=op.f("ck_blind_test_fixed_has_number"),
        ),
        sa.CheckConstraint(
            "(rule = 'step by step') = (alpha IS NOT NULL) AND (alpha IS NULL) = (beta IS NULL)",
            name=op.f("ck_blind_test_step_by_step_has_risks"),
        ),
        sa.CheckConstraint(
            "NOT (claim = 'these ways of brewing' AND brewing = 'one pair')",
            name=op.f("ck_blind_test_claim_holds"),
        ),
        sa.CheckConstraint(
            "brewing IN ('one pair', 'fresh pair each trial', 'every cup its own')",
            name=op.f("ck_blind_test_brewing_word"),
        ),
        sa.CheckConstraint(
            "claim IN ('these cups', 'these ways of brewing')",
            name=op.f("ck_blind_test_claim_word"),
        ),
        sa.CheckConstraint(
            "method <> 'preference' OR rule <> 'step by step'",
            name=op.f("ck_blind_test_preference_rule"),
        ),
        sa.CheckConstraint(
            "method IN ('triangle', 'tetrad', 'three-cup', 'duo-trio', 'paired', 'preference')",
            name=op.f("ck_blind_test_method_word"),
        ),
        sa.CheckConstraint("more IN ('A', 'B')", name=op.f("ck_blind_test_more_word")),
        sa.CheckConstraint(
            "pouring IN ('helper', 'solo', 'coded')", name=op.f("ck_blind_test_pouring_word")
        ),
        sa.CheckConstraint(
            "rule IN ('every morning', 'fixed number', 'step by step')",
            name=op.f("ck_blind_test_rule_word"),
        ),
        sa.CheckConstraint(
            "ended IN ('shown', 'close enough', 'undecided', 'stopped')",
            name=op.f("ck_blind_test_ended_word"),
        ),
        sa.CheckConstraint(
            "(ended IS NULL) = (stopped_at IS NULL)", name=op.f("ck_blind_test_ended_has_time")
        ),
        sa.CheckConstraint(
            "stopped_why = '' OR ended = 'stopped'", name=op.f("ck_blind_test_why_when_stopped")
        ),
        sa.CheckConstraint(
            "(a_filter_id IS NULL) = (a_filter_use IS NULL) "
            "AND (b_filter_id IS NULL) = (b_filter_use IS NULL)",
            name=op.f("ck_blind_test_filter_at_a_use"),
        ),
        sa.CheckConstraint(
            "NOT balanced OR several_tasters", name=op.f("ck_blind_test_balanced_for_several")
        ),
        sa.CheckConstraint(
            "a_filter_use BETWEEN 1 AND 100000", name=op.f("ck_blind_test_a_filter_use_range")
        ),
        sa.CheckConstraint("alpha BETWEEN 0.001 AND 0.3", name=op.f("ck_blind_test_alpha_range")),
        sa.CheckConstraint(
            "b_filter_use BETWEEN 1 AND 100000", name=op.f("ck_blind_test_b_filter_use_range")
        ),
        sa.CheckConstraint("beta BETWEEN 0.01 AND 0.5", name=op.f("ck_blind_test_beta_range")),
        sa.CheckConstraint("control_in <> 1", name=op.f("ck_blind_test_not_only_controls")),
        sa.CheckConstraint(
            "control_in BETWEEN 0 AND 10", name=op.f("ck_blind_test_control_in_range")
        ),
        sa.CheckConstraint(
            "fixed_trials BETWEEN 6 AND 200", name=op.f("ck_blind_test_fixed_trials_range")
        ),
        sa.CheckConstraint("length(attribute) <= 120", name=op.f("ck_blind_test_attribute_length")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_blind_test_note_length")),
        sa.CheckConstraint(
            "length(stopped_why) <= 300", name=op.f("ck_blind_test_stopped_why_length")
        ),
        sa.CheckConstraint(
            "length(trim(a_words)) >= 1 AND length(a_words) <= 300",
            name=op.f("ck_blind_test_a_words_filled"),
        ),
        sa.CheckConstraint(
            "length(trim(b_words)) >= 1 AND length(b_words) <= 300",
            name=op.f("ck_blind_test_b_words_filled"),
        ),
        sa.CheckConstraint(
            "length(trim(title)) >= 1 AND length(title) <= 120",
            name=op.f("ck_blind_test_title_filled"),
        ),
        sa.CheckConstraint("p_d BETWEEN 0.05 AND 0.95", name=op.f("ck_blind_test_p_d_range")),
        sa.ForeignKeyConstraint(["a_brew_id"], ["brew.id"], name=op.f("fk_blind_test_a_brew_id")),
        sa.ForeignKeyConstraint(
            ["a_filter_id"], ["filter.id"], name=op.f("fk_blind_test_a_filter_id")
        ),
        sa.ForeignKeyConstraint(
            ["a_revision_id"], ["recipe_revision.id"], name=op.f("fk_blind_test_a_revision_id")
        ),
        sa.ForeignKeyConstraint(["b_brew_id"], ["brew.id"], name=op.f("fk_blind_test_b_brew_id")),
        sa.ForeignKeyConstraint(
            ["b_filter_id"], ["filter.id"], name=op.f("fk_blind_test_b_filter_id")
        ),
        sa.ForeignKeyConstraint(
            ["b_revision_id"], ["recipe_revision.id"], name=op.f("fk_blind_test_b_revision_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blind_test")),
        sa.UniqueConstraint("entry_key", name=op.f("uq_blind_test_entry_key")),
    )
    with op.batch_alter_table("blind_test", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_blind_test_a_brew_id"), ["a_brew_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_blind_test_a_filter_id"), ["a_filter_id"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_blind_test_a_revision_id"), ["a_revision_id"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_blind_test_b_brew_id"), ["b_brew_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_blind_test_b_filter_id"), ["b_filter_id"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_blind_test_b_revision_id"), ["b_revision_id"], unique=False
        )
        batch_op.create_index("ix_blind_test_made_at_id", ["made_at", "id"], unique=False)

    op.create_table(
        "question_brew",
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("brew_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_question_brew_brew_id")),
        sa.ForeignKeyConstraint(
            ["question_id"], ["question.id"], name=op.f("fk_question_brew_question_id")
        ),
        sa.PrimaryKeyConstraint("question_id", "brew_id", name=op.f("pk_question_brew")),
    )
    with op.batch_alter_table("question_brew", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_question_brew_brew_id"), ["brew_id"], unique=False)

    op.create_table(
        "blind_taster",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.Column("taster_id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=True),
        sa.Column("joined_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["taster_id"], ["taster.id"], name=op.f("fk_blind_taster_taster_id")
        ),
        sa.ForeignKeyConstraint(
            ["test_id"], ["blind_test.id"], name=op.f("fk_blind_taster_test_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blind_taster")),
        sa.UniqueConstraint("test_id", "taster_id", name=op.f("uq_blind_taster_test_id_taster_id")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_blind_taster_token_hash")),
    )
    with op.batch_alter_table("blind_taster", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_blind_taster_taster_id"), ["taster_id"], unique=False)

    op.create_table(
        "device",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("paired_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("unpaired_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("guest_of_test_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120", name=op.f("ck_device_name_filled")
        ),
        sa.ForeignKeyConstraint(
            ["guest_of_test_id"], ["blind_test.id"], name=op.f("fk_device_guest_of_test_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_device_token_hash")),
    )
    with op.batch_alter_table("device", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_device_guest_of_test_id"), ["guest_of_test_id"], unique=False
        )

    op.create_table(
        "pairing_code",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code_hash", sa.String(length=64), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("guest_of_test_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["guest_of_test_id"], ["blind_test.id"], name=op.f("fk_pairing_code_guest_of_test_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pairing_code")),
        sa.UniqueConstraint("code_hash", name=op.f("uq_pairing_code_code_hash")),
    )
    with op.batch_alter_table("pairing_code", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_pairing_code_guest_of_test_id"), ["guest_of_test_id"], unique=False
        )

    op.create_table(
        "question_blind_test",
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["question_id"], ["question.id"], name=op.f("fk_question_blind_test_question_id")
        ),
        sa.ForeignKeyConstraint(
            ["test_id"], ["blind_test.id"], name=op.f("fk_question_blind_test_test_id")
        ),
        sa.PrimaryKeyConstraint("question_id", "test_id", name=op.f("pk_question_blind_test")),
    )
    with op.batch_alter_table("question_blind_test", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_question_blind_test_test_id"), ["test_id"], unique=False
        )

    op.create_table(
        "question_side_by_side",
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("side_by_side_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["question_id"], ["question.id"], name=op.f("fk_question_side_by_side_question_id")
        ),
        sa.ForeignKeyConstraint(
            ["side_by_side_id"],
            ["side_by_side.id"],
            name=op.f("fk_question_side_by_side_side_by_side_id"),
        ),
        sa.PrimaryKeyConstraint(
            "question_id", "side_by_side_id", name=op.f("pk_question_side_by_side")
        ),
    )
    with op.batch_alter_table("question_side_by_side", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_question_side_by_side_side_by_side_id"),
            ["side_by_side_id"],
            unique=False,
        )

    op.create_table(
        "trial",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.Column("taster_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("pouring", sa.String(length=6), nullable=False),
        sa.Column("warm_up", sa.Boolean(), nullable=False),
        sa.Column("is_control", sa.Boolean(), nullable=False),
        sa.Column("cups", sa.String(length=4), nullable=False),
        sa.Column("codes", sa.String(length=20), nullable=False),
        sa.Column("brewed_first", sa.String(length=1), nullable=True),
        sa.Column("drawn_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("claimed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("poured_by", sa.String(length=64), nullable=True),
        sa.Column("served_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("answered_by", sa.String(length=64), nullable=True),
        sa.Column("answer", sa.Integer(), nullable=True),
        sa.Column("sure", sa.Boolean(), nullable=True),
        sa.Column("lifted", sa.String(length=1), nullable=True),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("voided_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("void_reason", sa.String(length=300), nullable=False),
        sa.Column("brew_a_id", sa.Integer(), nullable=True),
        sa.Column("brew_b_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "(voided_at IS NULL AND void_reason = '') "
            "OR (voided_at IS NOT NULL AND length(trim(void_reason)) >= 1)",
            name=op.f("ck_trial_void_has_reason"),
        ),
        sa.CheckConstraint(
            "NOT is_control OR pouring <> 'solo'", name=op.f("ck_trial_control_unknown")
        ),
        sa.CheckConstraint("brewed_first IN ('A', 'B')", name=op.f("ck_trial_brewed_first_word")),
        sa.CheckConstraint(
            "length(replace(replace(cups, 'A', ''), 'B', '')) = 0",
            name=op.f("ck_trial_cups_of_a_and_b"),
        ),
        sa.CheckConstraint("lifted IN ('0', '1', '2', '3')", name=op.f("ck_trial_lifted_word")),
        sa.CheckConstraint(
            "pouring <> 'solo' OR length(cups) <= 3", name=op.f("ck_trial_solo_on_a_tray")
        ),
        sa.CheckConstraint("lifted IS NULL OR pouring = 'solo'", name=op.f("ck_trial_lifted_solo")),
        sa.CheckConstraint(
            "pouring IN ('helper', 'solo', 'coded')", name=op.f("ck_trial_pouring_word")
        ),
        sa.CheckConstraint(
            "(answer IS NULL) = (answered_at IS NULL)", name=op.f("ck_trial_answer_has_time")
        ),
        sa.CheckConstraint(
            "(claimed_at IS NULL) = (poured_by IS NULL)", name=op.f("ck_trial_claimed_by_one")
        ),
        sa.CheckConstraint("NOT (is_control AND warm_up)", name=op.f("ck_trial_control_counts")),
        sa.CheckConstraint("answer <= length(cups)", name=op.f("ck_trial_answer_is_a_place")),
        sa.CheckConstraint("answer BETWEEN 0 AND 4", name=op.f("ck_trial_answer_range")),
        sa.CheckConstraint(
            "answered_at IS NOT NULL OR (seen_at IS NULL AND lifted IS NULL)",
            name=op.f("ck_trial_answered_before_key"),
        ),
        sa.CheckConstraint(
            "answered_at IS NOT NULL OR sure IS NULL", name=op.f("ck_trial_sure_of_an_answer")
        ),
        sa.CheckConstraint("length(cups) BETWEEN 2 AND 4", name=op.f("ck_trial_cups_length")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_trial_note_length")),
        sa.CheckConstraint("length(void_reason) <= 300", name=op.f("ck_trial_void_reason_length")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_trial_number_from_one")),
        sa.CheckConstraint(
            "served_at IS NOT NULL OR answered_at IS NULL", name=op.f("ck_trial_served_first")
        ),
        sa.CheckConstraint(
            "voided_at IS NULL OR answered_at IS NULL", name=op.f("ck_trial_void_before_answer")
        ),
        sa.ForeignKeyConstraint(["brew_a_id"], ["brew.id"], name=op.f("fk_trial_brew_a_id")),
        sa.ForeignKeyConstraint(["brew_b_id"], ["brew.id"], name=op.f("fk_trial_brew_b_id")),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_trial_taster_id")),
        sa.ForeignKeyConstraint(
            ["test_id", "taster_id"],
            ["blind_taster.test_id", "blind_taster.taster_id"],
            name=op.f("fk_trial_test_id_taster_id"),
        ),
        sa.ForeignKeyConstraint(["test_id"], ["blind_test.id"], name=op.f("fk_trial_test_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_trial")),
        sa.UniqueConstraint("test_id", "number", name=op.f("uq_trial_test_id_number")),
    )
    with op.batch_alter_table("trial", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_trial_brew_a_id"), ["brew_a_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_trial_brew_b_id"), ["brew_b_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_trial_taster_id"), ["taster_id"], unique=False)
        batch_op.create_index(
            "uq_trial_one_open_a_taster",
            ["test_id", "taster_id"],
            unique=True,
            sqlite_where=sa.text(STILL_OPEN),
            postgresql_where=sa.text(STILL_OPEN),
        )


def downgrade() -> None:
    _let_go()

    with op.batch_alter_table("trial", schema=None) as batch_op:
        batch_op.drop_index(
            "uq_trial_one_open_a_taster",
            sqlite_where=sa.text(STILL_OPEN),
            postgresql_where=sa.text(STILL_OPEN),
        )
        batch_op.drop_index(batch_op.f("ix_trial_taster_id"))
        batch_op.drop_index(batch_op.f("ix_trial_brew_b_id"))
        batch_op.drop_index(batch_op.f("ix_trial_brew_a_id"))

    op.drop_table("trial")
    with op.batch_alter_table("question_side_by_side", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_question_side_by_side_side_by_side_id"))

    op.drop_table("question_side_by_side")
    with op.batch_alter_table("question_blind_test", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_question_blind_test_test_id"))

    op.drop_table("question_blind_test")
    with op.batch_alter_table("pairing_code", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_pairing_code_guest_of_test_id"))

    op.drop_table("pairing_code")
    with op.batch_alter_table("device", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_device_guest_of_test_id"))

    op.drop_table("device")
    with op.batch_alter_table("blind_taster", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_blind_taster_taster_id"))

    op.drop_table("blind_taster")
    with op.batch_alter_table("question_brew", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_question_brew_brew_id"))

    op.drop_table("question_brew")
    with op.batch_alter_table("blind_test", schema=None) as batch_op:
        batch_op.drop_index("ix_blind_test_made_at_id")
        batch_op.drop_index(batch_op.f("ix_blind_test_b_revision_id"))
        batch_op.drop_index(batch_op.f("ix_blind_test_b_filter_id"))
        batch_op.drop_index(batch_op.f("ix_blind_test_b_brew_id"))
        batch_op.drop_index(batch_op.f("ix_blind_test_a_revision_id"))
        batch_op.drop_index(batch_op.f("ix_blind_test_a_filter_id"))
        batch_op.drop_index(batch_op.f("ix_blind_test_a_brew_id"))

    op.drop_table("blind_test")
    with op.batch_alter_table("question", schema=None) as batch_op:
        batch_op.drop_index("ix_question_asked_at_id")

    op.drop_table("question")
