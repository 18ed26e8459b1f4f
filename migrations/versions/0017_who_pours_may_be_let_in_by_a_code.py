"""who pours may be let in by a code

A helper's device opens the serving cards of one blind test.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None


def _steady() -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table("device", sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    table.indexes = OrderedSet(sorted(table.indexes, key=lambda one: str(one.name)))
    return table


def upgrade() -> None:
    with op.batch_alter_table("device", copy_from=_steady()) as batch_op:
        batch_op.add_column(sa.Column("helper_of_test_id", sa.Integer(), nullable=True))
        batch_op.create_index(
            batch_op.f("ix_device_helper_of_test_id"), ["helper_of_test_id"], unique=False
        )
        batch_op.create_foreign_key(
            batch_op.f("fk_device_helper_of_test_id"), "blind_test", ["helper_of_test_id"], ["id"]
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_device_guest_or_helper"),
            "helper_of_test_id IS NULL OR guest_of_test_id IS NULL",
        )


def downgrade() -> None:
    """Helpers' devices are unpaired: without the column each would open the whole journal."""
    names = ("helper_of_test_id", "unpaired_at", "last_seen_at")
    device = sa.table("device", *map(sa.column, names))
    still = (device.c.helper_of_test_id.is_not(None), device.c.unpaired_at.is_(None))
    op.execute(sa.update(device).where(*still).values(unpaired_at=device.c.last_seen_at))
    with op.batch_alter_table("device", copy_from=_steady()) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_device_guest_or_helper"), type_="check")
        batch_op.drop_constraint(batch_op.f("fk_device_helper_of_test_id"), type_="foreignkey")
        batch_op.drop_index(batch_op.f("ix_device_helper_of_test_id"))
        batch_op.drop_column("helper_of_test_id")
