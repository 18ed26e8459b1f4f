"""tastings in the bin"""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:

    with op.batch_alter_table("tasting", schema=None) as batch_op:
        batch_op.create_index("ix_tasting_binned_at", ["binned_at"], unique=False)


def downgrade() -> None:

    with op.batch_alter_table("tasting", schema=None) as batch_op:
        batch_op.drop_index("ix_tasting_binned_at")
