"""blind tests that count under a question

When a test was put there is noted from now on; it stays empty for those put there before. A test
that is taken away after it was answered still counts, so it is remembered.
"""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "question_left_test",
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.Column("tied_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["question_id"], ["question.id"], name=op.f("fk_question_left_test_question_id")
        ),
        sa.ForeignKeyConstraint(
            ["test_id"], ["blind_test.id"], name=op.f("fk_question_left_test_test_id")
        ),
        sa.PrimaryKeyConstraint("question_id", "test_id", name=op.f("pk_question_left_test")),
    )
    with op.batch_alter_table("question_left_test", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_question_left_test_test_id"), ["test_id"], unique=False
        )
    with op.batch_alter_table("question_blind_test", schema=None) as batch_op:
        batch_op.add_column(sa.Column("tied_at", sa.DateTime(timezone=True), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("question_blind_test", schema=None) as batch_op:
        batch_op.drop_column("tied_at")
    op.drop_table("question_left_test")
