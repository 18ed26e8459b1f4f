"""sittings

The plan of a sitting: its questions and cups, its lines in order, and what each of them made.
"""

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0020"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "sitting",
        sa.Column("entry_key", sa.String(length=36), nullable=False),
        sa.Column("planned_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sitting")),
        sa.UniqueConstraint("entry_key", name=op.f("uq_sitting_entry_key")),
    )
    op.create_index(op.f("ix_sitting_planned_at_id"), "sitting", ["planned_at", "id"])

    op.create_table(
        "sitting_tick",
        sa.Column("sitting_id", sa.Integer(), nullable=False),
        sa.Column("need", sa.String(length=60), nullable=False),
        sa.Column("ticked_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "length(trim(need)) >= 1 AND length(need) <= 60",
            name=op.f("ck_sitting_tick_need_filled"),
        ),
        sa.ForeignKeyConstraint(
            ["sitting_id"], ["sitting.id"], name=op.f("fk_sitting_tick_sitting_id")
        ),
        sa.PrimaryKeyConstraint("sitting_id", "need", name=op.f("pk_sitting_tick")),
    )
    op.create_table(
        "sitting_question",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sitting_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("pair", sa.Boolean(), nullable=False),
        sa.Column("test_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("place >= 1", name=op.f("ck_sitting_question_place_counts")),
        sa.ForeignKeyConstraint(
            ["question_id"], ["question.id"], name=op.f("fk_sitting_question_question_id")
        ),
        sa.ForeignKeyConstraint(
            ["sitting_id"], ["sitting.id"], name=op.f("fk_sitting_question_sitting_id")
        ),
        sa.ForeignKeyConstraint(
            ["test_id"], ["blind_test.id"], name=op.f("fk_sitting_question_test_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sitting_question")),
        sa.UniqueConstraint(
            "sitting_id", "place", name=op.f("uq_sitting_question_sitting_id_place")
        ),
        sa.UniqueConstraint(
            "sitting_id", "question_id", name=op.f("uq_sitting_question_sitting_id_question_id")
        ),
    )
    op.create_index(op.f("ix_sitting_question_question_id"), "sitting_question", ["question_id"])
    op.create_index(op.f("ix_sitting_question_test_id"), "sitting_question", ["test_id"])

    op.create_table(
        "sitting_cup",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sitting_question_id", sa.Integer(), nullable=False),
        sa.Column("letter", sa.String(length=1), nullable=False),
        sa.Column("like_id", sa.Integer(), nullable=False),
        sa.Column("changes", sa.JSON(), nullable=False),
        sa.CheckConstraint("letter IN ('A', 'B')", name=op.f("ck_sitting_cup_letter_word")),
        sa.ForeignKeyConstraint(["like_id"], ["brew.id"], name=op.f("fk_sitting_cup_like_id")),
        sa.ForeignKeyConstraint(
            ["sitting_question_id"],
            ["sitting_question.id"],
            name=op.f("fk_sitting_cup_sitting_question_id"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sitting_cup")),
        sa.UniqueConstraint(
            "sitting_question_id", "letter", name=op.f("uq_sitting_cup_sitting_question_id_letter")
        ),
    )
    op.create_index(op.f("ix_sitting_cup_like_id"), "sitting_cup", ["like_id"])

    op.create_table(
        "sitting_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sitting_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("sitting_question_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=5), nullable=False),
        sa.Column("lasts_s", sa.Integer(), nullable=False),
        sa.Column("of_place", sa.Integer(), nullable=True),
        sa.Column("trial", sa.Integer(), nullable=True),
        sa.Column("cups", sa.Integer(), nullable=False),
        sa.Column("says", sa.String(length=300), nullable=False),
        sa.Column("ticked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("skipped_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("skipped_why", sa.String(length=300), nullable=False),
        sa.CheckConstraint(
            "(kind = 'trial') = (trial IS NOT NULL)", name=op.f("ck_sitting_line_trial_is_counted")
        ),
        sa.CheckConstraint(
            "(skipped_at IS NULL) = (skipped_why = '')",
            name=op.f("ck_sitting_line_skipped_with_reason"),
        ),
        sa.CheckConstraint(
            "kind IN ('brew', 'cool', 'taste', 'trial', 'rest')",
            name=op.f("ck_sitting_line_kind_word"),
        ),
        sa.CheckConstraint("cups BETWEEN 0 AND 100", name=op.f("ck_sitting_line_cups_range")),
        sa.CheckConstraint(
            "lasts_s BETWEEN 0 AND 86400", name=op.f("ck_sitting_line_lasts_s_range")
        ),
        sa.CheckConstraint("length(says) <= 300", name=op.f("ck_sitting_line_says_length")),
        sa.CheckConstraint(
            "length(skipped_why) <= 300", name=op.f("ck_sitting_line_skipped_why_length")
        ),
        sa.CheckConstraint("of_place < place", name=op.f("ck_sitting_line_of_an_earlier")),
        sa.CheckConstraint("place >= 1", name=op.f("ck_sitting_line_place_counts")),
        sa.CheckConstraint("trial BETWEEN 1 AND 100", name=op.f("ck_sitting_line_trial_range")),
        sa.ForeignKeyConstraint(
            ["sitting_id"], ["sitting.id"], name=op.f("fk_sitting_line_sitting_id")
        ),
        sa.ForeignKeyConstraint(
            ["sitting_question_id"],
            ["sitting_question.id"],
            name=op.f("fk_sitting_line_sitting_question_id"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sitting_line")),
        sa.UniqueConstraint("sitting_id", "place", name=op.f("uq_sitting_line_sitting_id_place")),
    )
    op.create_index(
        op.f("ix_sitting_line_sitting_question_id"), "sitting_line", ["sitting_question_id"]
    )

    op.create_table(
        "sitting_brew",
        sa.Column("line_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("letter", sa.String(length=1), nullable=True),
        sa.Column("brew_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("letter IN ('A', 'B')", name=op.f("ck_sitting_brew_letter_word")),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "(brew_id IS NULL) = (made_at IS NULL)", name=op.f("ck_sitting_brew_made_has_time")
        ),
        sa.CheckConstraint(
            "letter IS NOT NULL OR brew_id IS NULL", name=op.f("ck_sitting_brew_by_lot_is_not_told")
        ),
        sa.CheckConstraint("place BETWEEN 1 AND 2", name=op.f("ck_sitting_brew_place_range")),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_sitting_brew_brew_id")),
        sa.ForeignKeyConstraint(
            ["line_id"], ["sitting_line.id"], name=op.f("fk_sitting_brew_line_id")
        ),
        sa.PrimaryKeyConstraint("line_id", "place", name=op.f("pk_sitting_brew")),
    )
    op.create_index(op.f("ix_sitting_brew_brew_id"), "sitting_brew", ["brew_id"])

    op.create_table(
        "sitting_filter",
        sa.Column("cup_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("pack_id", sa.Integer(), nullable=False),
        sa.Column("use_number", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "position BETWEEN 1 AND 3", name=op.f("ck_sitting_filter_position_range")
        ),
        sa.CheckConstraint("use_number >= 1", name=op.f("ck_sitting_filter_use_counts")),
        sa.ForeignKeyConstraint(
            ["cup_id"], ["sitting_cup.id"], name=op.f("fk_sitting_filter_cup_id")
        ),
        sa.ForeignKeyConstraint(
            ["pack_id"], ["filter_pack.id"], name=op.f("fk_sitting_filter_pack_id")
        ),
        sa.PrimaryKeyConstraint("cup_id", "position", name=op.f("pk_sitting_filter")),
    )
    op.create_index(op.f("ix_sitting_filter_pack_id"), "sitting_filter", ["pack_id"])


def downgrade() -> None:
    for table in (
        "sitting_filter",
        "sitting_brew",
        "sitting_line",
        "sitting_cup",
        "sitting_question",
        "sitting_tick",
        "sitting",
    ):
        op.drop_table(table)
