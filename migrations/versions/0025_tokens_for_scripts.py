"""tokens for scripts

What a script may do with the journal, and from where. Of the token only a hash is kept.
"""

import sqlalchemy as sa
from alembic import op

revision = "0025"
down_revision = "0024"
branch_labels = None
depends_on = None


def upgrade() -> None:
    moment = sa.DateTime(timezone=True)
    op.create_table(
        "api_token",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(120), nullable=False),
        sa.Column("secret_hash", sa.String(64), nullable=False),
        sa.Column("may_read", sa.Boolean(), nullable=False),
        sa.Column("may_log_brews", sa.Boolean(), nullable=False),
        sa.Column("may_log_tastings", sa.Boolean(), nullable=False),
        sa.Column("may_read_tests", sa.Boolean(), nullable=False),
        sa.Column("from_network", sa.Boolean(), nullable=False),
        sa.Column("made_at", moment, nullable=False),
        sa.Column("expires_at", moment, nullable=True),
        sa.Column("revoked_at", moment, nullable=True),
        sa.Column("last_used_at", moment, nullable=True),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120", name=op.f("ck_api_token_name_filled")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_api_token")),
        sa.UniqueConstraint("secret_hash", name=op.f("uq_api_token_secret_hash")),
    )


def downgrade() -> None:
    """Scripts are refused."""
    op.drop_table("api_token")
