"""strength read in brix

What a meter in °Brix showed is kept beside the strength taken from it; weighed brews are found in
an index, since what the grounds hold is learned from them.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

WEIGHED = sa.text("beverage_g IS NOT NULL")


def _steady() -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table("brew", sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    table.indexes = OrderedSet(sorted(table.indexes, key=lambda one: str(one.name)))
    return table


def upgrade() -> None:
    with op.batch_alter_table("brew", copy_from=_steady()) as batch_op:
        batch_op.add_column(sa.Column("brix", sa.Double(), nullable=True))
        batch_op.create_index("ix_brew_weighed", ["brewed_at"], unique=False, sqlite_where=WEIGHED)
        batch_op.create_check_constraint(
            batch_op.f("ck_brew_brix_is_a_strength"), "brix IS NULL OR tds_pct IS NOT NULL"
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_brew_brix_range"), "brix BETWEEN 0.02 AND 35.0"
        )


def downgrade() -> None:
    """The strength stays; that it was read in °Brix is forgotten."""
    with op.batch_alter_table("brew", copy_from=_steady()) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_brew_brix_range"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_brew_brix_is_a_strength"), type_="check")
        batch_op.drop_index("ix_brew_weighed", sqlite_where=WEIGHED)
        batch_op.drop_column("brix")
