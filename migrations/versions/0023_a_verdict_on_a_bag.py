"""a verdict on a bag

Whether one would buy it again, and why. Tastings are found by their liking.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0023"
down_revision = "0022"
branch_labels = None
depends_on = None

BEST = "ix_tasting_liking_tasted_at"


def _steady() -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table("bag", sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    table.indexes = OrderedSet(sorted(table.indexes, key=lambda one: str(one.name)))
    return table


def upgrade() -> None:
    with op.batch_alter_table("bag", copy_from=_steady()) as batch_op:
        batch_op.add_column(sa.Column("buy_again", sa.String(6), nullable=False, server_default=""))
        batch_op.add_column(
            sa.Column("buy_again_note", sa.String(4000), nullable=False, server_default="")
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_bag_buy_again_note_length"), "length(buy_again_note) <= 4000"
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_bag_buy_again_word"), "buy_again IN ('', 'yes', 'unsure', 'no')"
        )
    with op.batch_alter_table("bag", copy_from=_steady()) as batch_op:
        batch_op.alter_column("buy_again", server_default=None)
        batch_op.alter_column("buy_again_note", server_default=None)
    op.create_index(BEST, "tasting", ["liking", "tasted_at", "id"])


def downgrade() -> None:
    """The verdicts are forgotten."""
    op.drop_index(BEST, table_name="tasting")
    with op.batch_alter_table("bag", copy_from=_steady()) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_bag_buy_again_word"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_bag_buy_again_note_length"), type_="check")
        batch_op.drop_column("buy_again_note")
        batch_op.drop_column("buy_again")
