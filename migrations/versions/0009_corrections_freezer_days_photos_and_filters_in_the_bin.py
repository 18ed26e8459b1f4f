"""corrections, freezer days, photos and filters in the bin

A brew may have several photos from now on, of which one is shown and the others are in the bin.
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

SHOWN = "binned_at IS NULL"
NEWEST = (
    "SELECT id FROM brew_photo_numbered AS other WHERE other.brew_id = numbered.brew_id"
    " ORDER BY binned_at IS NOT NULL, binned_at DESC, id DESC LIMIT 1"
)


def upgrade() -> None:
    for table in ("bag_correction", "filter", "frozen_span"):
        with op.batch_alter_table(table, schema=None) as batch_op:
            batch_op.add_column(sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True))
    _put_aside("brew_photo_of_each")
    op.create_table(
        "brew_photo",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        *_picture(),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_brew_photo_brew_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_brew_photo")),
    )
    op.execute(
        "INSERT INTO brew_photo (brew_id, alt, jpeg)"
        " SELECT brew_id, alt, jpeg FROM brew_photo_of_each ORDER BY brew_id"
    )
    op.drop_table("brew_photo_of_each")
    with op.batch_alter_table("brew_photo", schema=None) as batch_op:
        batch_op.create_index(
            "ix_brew_photo_binned_at",
            ["binned_at"],
            unique=False,
            sqlite_where=sa.text("binned_at IS NOT NULL"),
        )
        batch_op.create_index(batch_op.f("ix_brew_photo_brew_id"), ["brew_id"], unique=False)
        batch_op.create_index(
            "uq_brew_photo_one_shown",
            ["brew_id"],
            unique=True,
            sqlite_where=sa.text(SHOWN),
            postgresql_where=sa.text(SHOWN),
        )


def _picture() -> tuple[sa.Column[int], sa.Column[str], sa.Column[bytes]]:
    return (
        sa.Column("brew_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("alt", sa.String(length=120), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
    )


def _put_aside(name: str) -> None:
    """Make room for a table of photos; no other table or trigger refers to it."""
    op.rename_table("brew_photo", name)
    if op.get_bind().dialect.name == "postgresql":  # where this name is taken in every table
        op.drop_constraint("pk_brew_photo", name, type_="primary")


def downgrade() -> None:
    """A brew keeps the photo that is shown, or else the last one put in the bin. What else was in
    the bin of these tables counts again."""
    _put_aside("brew_photo_numbered")
    op.create_table(
        "brew_photo",
        *_picture(),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_brew_photo_brew_id")),
        sa.PrimaryKeyConstraint("brew_id", name=op.f("pk_brew_photo")),
    )
    op.execute(
        "INSERT INTO brew_photo (brew_id, alt, jpeg) SELECT brew_id, alt, jpeg"  # noqa: S608
        f" FROM brew_photo_numbered AS numbered WHERE id = ({NEWEST})"
    )
    op.drop_table("brew_photo_numbered")
    for table in ("frozen_span", "filter", "bag_correction"):
        with op.batch_alter_table(table, schema=None) as batch_op:
            batch_op.drop_column("binned_at")
