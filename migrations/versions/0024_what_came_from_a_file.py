"""what came from a file

An import, the rows it added and what they became here, so that it can be taken back as one; which
journal this is, so that a copy of it is known again; trials whose key stayed behind in another
copy.
"""

import sqlalchemy as sa
from alembic import op

revision = "0024"
down_revision = "0023"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "journal_identity",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("uuid", sa.String(length=36), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_journal_identity_one_row")),
        sa.CheckConstraint(
            "length(trim(uuid)) >= 1 AND length(uuid) <= 36",
            name=op.f("ck_journal_identity_uuid_filled"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_journal_identity")),
    )
    op.create_table(
        "journal_import",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=7), nullable=False),
        sa.Column("file_name", sa.String(length=300), nullable=False),
        sa.Column("imported_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("device", sa.String(length=120), nullable=False),
        sa.Column("counts", sa.JSON(), nullable=False),
        sa.Column("taken_back_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "kind IN ('package', 'sheet')", name=op.f("ck_journal_import_kind_word")
        ),
        sa.CheckConstraint("length(device) <= 120", name=op.f("ck_journal_import_device_length")),
        sa.CheckConstraint(
            "length(trim(file_name)) >= 1 AND length(file_name) <= 300",
            name=op.f("ck_journal_import_file_name_filled"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_journal_import")),
    )
    op.create_table(
        "import_link",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("origin", sa.String(length=36), nullable=False),
        sa.Column("table_name", sa.String(length=60), nullable=False),
        sa.Column("their_id", sa.Integer(), nullable=False),
        sa.Column("our_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "length(trim(origin)) >= 1 AND length(origin) <= 36",
            name=op.f("ck_import_link_origin_filled"),
        ),
        sa.CheckConstraint(
            "length(trim(table_name)) >= 1 AND length(table_name) <= 60",
            name=op.f("ck_import_link_table_name_filled"),
        ),
        sa.ForeignKeyConstraint(
            ["import_id"], ["journal_import.id"], name=op.f("fk_import_link_import_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_import_link")),
        sa.UniqueConstraint(
            "origin",
            "table_name",
            "their_id",
            name=op.f("uq_import_link_origin_table_name_their_id"),
        ),
    )
    with op.batch_alter_table("import_link", schema=None) as batch_op:
        batch_op.create_index("ix_import_link_import_id", ["import_id"], unique=False)

    op.create_table(
        "imported_rows",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.String(length=60), nullable=False),
        sa.Column("columns", sa.JSON(), nullable=False),
        sa.Column("keys", sa.JSON(), nullable=False),
        sa.Column("digests", sa.JSON(), nullable=False),
        sa.Column("before", sa.JSON(), nullable=True),
        sa.CheckConstraint(
            "length(trim(table_name)) >= 1 AND length(table_name) <= 60",
            name=op.f("ck_imported_rows_table_name_filled"),
        ),
        sa.ForeignKeyConstraint(
            ["import_id"], ["journal_import.id"], name=op.f("fk_imported_rows_import_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_imported_rows")),
    )
    with op.batch_alter_table("imported_rows", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_imported_rows_import_id"), ["import_id"], unique=False)

    op.create_table(
        "left_trial",
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("taster_id", sa.Integer(), nullable=False),
        sa.Column("drawn_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("served_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("voided_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("void_reason", sa.String(length=300), nullable=False),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_left_trial_note_length")),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_left_trial_taster_id")),
        sa.ForeignKeyConstraint(["test_id"], ["blind_test.id"], name=op.f("fk_left_trial_test_id")),
        sa.PrimaryKeyConstraint("test_id", "number", name=op.f("pk_left_trial")),
    )
    with op.batch_alter_table("left_trial", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_left_trial_taster_id"), ["taster_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("left_trial", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_left_trial_taster_id"))

    op.drop_table("left_trial")
    with op.batch_alter_table("imported_rows", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_imported_rows_import_id"))

    op.drop_table("imported_rows")
    with op.batch_alter_table("import_link", schema=None) as batch_op:
        batch_op.drop_index("ix_import_link_import_id")

    op.drop_table("import_link")
    op.drop_table("journal_import")
    op.drop_table("journal_identity")
