"""how values are written"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:

    op.create_table(
        "settings",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("locale", sa.String(length=20), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("mass_unit", sa.String(length=2), nullable=False),
        sa.Column("volume_unit", sa.String(length=14), nullable=False),
        sa.Column("temp_unit", sa.String(length=2), nullable=False),
        sa.Column("kettle_efficiency_pct", sa.Double(), nullable=False),
        sa.Column("caffeine", sa.Boolean(), nullable=False),
        sa.Column("caffeine_limit", sa.String(length=22), nullable=False),
        sa.CheckConstraint(
            "caffeine_limit IN ('adult', 'pregnancy or lactation')",
            name=op.f("ck_settings_caffeine_limit_word"),
        ),
        sa.CheckConstraint("mass_unit IN ('g', 'oz')", name=op.f("ck_settings_mass_unit_word")),
        sa.CheckConstraint("temp_unit IN ('°C', '°F')", name=op.f("ck_settings_temp_unit_word")),
        sa.CheckConstraint(
            "volume_unit IN ('ml', 'US fl oz', 'imperial fl oz')",
            name=op.f("ck_settings_volume_unit_word"),
        ),
        sa.CheckConstraint("id = 1", name=op.f("ck_settings_one_row")),
        sa.CheckConstraint(
            "kettle_efficiency_pct BETWEEN 10.0 AND 100.0",
            name=op.f("ck_settings_kettle_efficiency_pct_range"),
        ),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_settings_currency_code")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_settings")),
    )


def downgrade() -> None:

    op.drop_table("settings")
