"""names that are one

A taster can turn out to be another one, and changes of names are noted, so that each can be taken
back as one. No taster of an earlier journal is another before somebody says so.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0026"
down_revision = "0025"
branch_labels = None
depends_on = None


def _steady() -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table("taster", sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    return table


def upgrade() -> None:
    with op.batch_alter_table("taster", copy_from=_steady()) as batch_op:
        batch_op.add_column(sa.Column("same_as_id", sa.Integer(), nullable=True))
        batch_op.create_index(batch_op.f("ix_taster_same_as_id"), ["same_as_id"], unique=False)
        batch_op.create_foreign_key(
            batch_op.f("fk_taster_same_as_id"), "taster", ["same_as_id"], ["id"]
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_taster_same_as_another"), "same_as_id <> id"
        )
    op.create_table(
        "name_change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=7), nullable=False),
        sa.Column("what", sa.String(length=7), nullable=False),
        sa.Column("old_name", sa.String(length=120), nullable=False),
        sa.Column("new_name", sa.String(length=120), nullable=False),
        sa.Column("from_id", sa.Integer(), nullable=True),
        sa.Column("into_id", sa.Integer(), nullable=True),
        sa.Column("moved", sa.JSON(), nullable=False),
        sa.Column("followed", sa.JSON(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("device", sa.String(length=120), nullable=False),
        sa.Column("taken_back_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "kind IN ('taster', 'bean', 'roaster')", name=op.f("ck_name_change_kind_word")
        ),
        sa.CheckConstraint("what IN ('renamed', 'merged')", name=op.f("ck_name_change_what_word")),
        sa.CheckConstraint(
            "length(trim(old_name)) >= 1 AND length(old_name) <= 120",
            name=op.f("ck_name_change_old_name_filled"),
        ),
        sa.CheckConstraint(
            "length(trim(new_name)) >= 1 AND length(new_name) <= 120",
            name=op.f("ck_name_change_new_name_filled"),
        ),
        sa.CheckConstraint("length(device) <= 120", name=op.f("ck_name_change_device_length")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_name_change")),
    )


def downgrade() -> None:
    """Tasters that were made one stand apart again by name; tastings that went over stay there."""
    op.drop_table("name_change")
    with op.batch_alter_table("taster", copy_from=_steady()) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_taster_same_as_another"), type_="check")
        batch_op.drop_constraint(batch_op.f("fk_taster_same_as_id"), type_="foreignkey")
        batch_op.drop_index(batch_op.f("ix_taster_same_as_id"))
        batch_op.drop_column("same_as_id")
