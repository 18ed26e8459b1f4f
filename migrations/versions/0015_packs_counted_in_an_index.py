"""packs counted in an index

What a pack still holds is counted from the filters taken out and not put back, for each list of
packs: without reading the filters themselves.
"""

from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("filter") as batch_op:
        batch_op.create_index("ix_filter_pack_id_binned_at", ["pack_id", "binned_at"])


def downgrade() -> None:
    with op.batch_alter_table("filter") as batch_op:
        batch_op.drop_index("ix_filter_pack_id_binned_at")
