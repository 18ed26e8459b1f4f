"""after the reveal

What is said of a trial once its key was shown: a preference, a note, and tastings of its cups. All
three are kept apart from the answer, and a tasting says so.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None

AFTER = sa.text("after_trial_id IS NOT NULL")


def _steady() -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table("tasting", sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    table.indexes = OrderedSet(sorted(table.indexes, key=lambda one: str(one.name)))
    return table


def upgrade() -> None:
    op.create_table(
        "afterthought",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("noted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("preference", sa.String(length=7), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.CheckConstraint(
            "preference IN ('a', 'b', 'neither')", name=op.f("ck_afterthought_preference_word")
        ),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_afterthought_note_length")),
        sa.ForeignKeyConstraint(["id"], ["trial.id"], name=op.f("fk_afterthought_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_afterthought")),
    )
    with op.batch_alter_table("tasting", copy_from=_steady()) as batch_op:
        batch_op.add_column(sa.Column("after_trial_id", sa.Integer(), nullable=True))
        batch_op.create_index(
            "ix_tasting_after_trial_id", ["after_trial_id"], unique=False, sqlite_where=AFTER
        )
        batch_op.create_foreign_key(
            batch_op.f("fk_tasting_after_trial_id"), "trial", ["after_trial_id"], ["id"]
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_tasting_after_the_key_is_sighted"), "after_trial_id IS NULL OR NOT blind"
        )


def downgrade() -> None:
    """The tastings stay, as sighted ones; which trial they came after is forgotten."""
    with op.batch_alter_table("tasting", copy_from=_steady()) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_tasting_after_the_key_is_sighted"), type_="check")
        batch_op.drop_constraint(batch_op.f("fk_tasting_after_trial_id"), type_="foreignkey")
        batch_op.drop_index("ix_tasting_after_trial_id", sqlite_where=AFTER)
        batch_op.drop_column("after_trial_id")
    op.drop_table("afterthought")
