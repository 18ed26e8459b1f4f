"""tastings in the bin"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:

    with op.batch_alter_table("tasting", schema=None) as batch_op:
        batch_op.create_index(
            "ix_tasting_binned_at",
            ["binned_at"],
            unique=False,
            sqlite_where=sa.text("binned_at IS NOT NULL"),
        )


def downgrade() -> None:

    with op.batch_alter_table("tasting", schema=None) as batch_op:
        batch_op.drop_index("ix_tasting_binned_at")
