"""groups of cups under a question

A comparison of two groups of cups can be put under a question.
"""

import sqlalchemy as sa
from alembic import op

revision = "0022"
down_revision = "0021"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "question_groups",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("query", sa.String(length=1000), nullable=False),
        sa.Column("words", sa.String(length=4000), nullable=False),
        sa.Column("said", sa.String(length=4000), nullable=False),
        sa.Column("tied_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("length(said) <= 4000", name=op.f("ck_question_groups_said_length")),
        sa.CheckConstraint(
            "length(trim(query)) >= 1 AND length(query) <= 1000",
            name=op.f("ck_question_groups_query_filled"),
        ),
        sa.CheckConstraint(
            "length(trim(words)) >= 1 AND length(words) <= 4000",
            name=op.f("ck_question_groups_words_filled"),
        ),
        sa.ForeignKeyConstraint(
            ["question_id"], ["question.id"], name=op.f("fk_question_groups_question_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_question_groups")),
        sa.UniqueConstraint(
            "question_id", "query", name=op.f("uq_question_groups_question_id_query")
        ),
    )


def downgrade() -> None:
    op.drop_table("question_groups")
