"""history and forms saved once"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

COLUMNS = "key, content, address, change_address, saved_at"
# Forms that may still lie open in a browser; what they held is not known.
SAVED_BEFORE = (
    ("brew", "brewed_at", "'/brews/' || id"),
    ("tasting", "tasted_at", "'/tastings/' || id || '/edit'"),
    ("blind_test", "made_at", "'/blind/' || id"),
)


def upgrade() -> None:
    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("thing", sa.String(length=20), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("device", sa.String(length=120), nullable=False),
        sa.Column("what", sa.String(length=120), nullable=False),
        sa.Column("before", sa.JSON(), nullable=False),
        sa.Column("after", sa.JSON(), nullable=False),
        sa.CheckConstraint("length(device) <= 120", name=op.f("ck_change_device_length")),
        sa.CheckConstraint(
            "length(trim(thing)) >= 1 AND length(thing) <= 20", name=op.f("ck_change_thing_filled")
        ),
        sa.CheckConstraint("length(what) <= 120", name=op.f("ck_change_what_length")),
        sa.CheckConstraint("number >= 1", name=op.f("ck_change_number_counts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_change")),
        sa.UniqueConstraint(
            "thing", "row_id", "number", name=op.f("uq_change_thing_row_id_number")
        ),
    )
    op.create_table(
        "saved_form",
        sa.Column("key", sa.String(length=36), nullable=False),
        sa.Column("content", sa.String(length=64), nullable=False),
        sa.Column("address", sa.String(length=300), nullable=False),
        sa.Column("change_address", sa.String(length=300), nullable=False),
        sa.Column("saved_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("length(address) <= 300", name=op.f("ck_saved_form_address_length")),
        sa.CheckConstraint(
            "length(change_address) <= 300", name=op.f("ck_saved_form_change_address_length")
        ),
        sa.CheckConstraint("length(content) <= 64", name=op.f("ck_saved_form_content_length")),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_saved_form")),
    )
    for table, moment, page in SAVED_BEFORE:
        columns = f"entry_key, '', {page}, '', {moment}"
        known = f"SELECT {columns} FROM {table} WHERE length(entry_key) <= 36"  # noqa: S608
        op.execute(
            f"INSERT INTO saved_form (key, content, address, change_address, saved_at) {known}"
        )


def downgrade() -> None:
    op.drop_table("saved_form")
    op.drop_table("change")
