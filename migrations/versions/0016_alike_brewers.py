"""alike brewers

Several brewers can be alike, and then count as one. No brewer of an earlier journal is alike to
another before somebody says so, and no brew is touched.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def _steady() -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table("brewer", sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    return table


def upgrade() -> None:
    with op.batch_alter_table("brewer", copy_from=_steady()) as batch_op:
        batch_op.add_column(sa.Column("alike_to_id", sa.Integer(), nullable=True))
        batch_op.create_index(batch_op.f("ix_brewer_alike_to_id"), ["alike_to_id"], unique=False)
        batch_op.create_foreign_key(
            batch_op.f("fk_brewer_alike_to_id"), "brewer", ["alike_to_id"], ["id"]
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_brewer_alike_to_an_earlier_one"), "alike_to_id < id"
        )


def downgrade() -> None:
    """Each brewer stands alone again; its brews stay its own."""
    with op.batch_alter_table("brewer", copy_from=_steady()) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_brewer_alike_to_an_earlier_one"), type_="check")
        batch_op.drop_constraint(batch_op.f("fk_brewer_alike_to_id"), type_="foreignkey")
        batch_op.drop_index(batch_op.f("ix_brewer_alike_to_id"))
        batch_op.drop_column("alike_to_id")
