"""small experiments

Two or three things are varied over the brews of a bag, in an order that was drawn beforehand.
"""

import sqlalchemy as sa
from alembic import op

revision = "0027"
down_revision = "0026"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "experiment",
        sa.Column("entry_key", sa.String(length=36), nullable=False),
        sa.Column("planned_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("bag_id", sa.Integer(), nullable=False),
        sa.Column("taster_id", sa.Integer(), nullable=False),
        sa.Column("like_id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=True),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["bag_id"], ["bag.id"], name=op.f("fk_experiment_bag_id")),
        sa.ForeignKeyConstraint(["like_id"], ["brew.id"], name=op.f("fk_experiment_like_id")),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["recipe_revision.id"], name=op.f("fk_experiment_revision_id")
        ),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_experiment_taster_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_experiment")),
        sa.UniqueConstraint("entry_key", name=op.f("uq_experiment_entry_key")),
    )
    with op.batch_alter_table("experiment", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_experiment_bag_id"), ["bag_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_experiment_like_id"), ["like_id"], unique=False)
        batch_op.create_index("ix_experiment_planned_at_id", ["planned_at", "id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_experiment_revision_id"), ["revision_id"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_experiment_taster_id"), ["taster_id"], unique=False)

    op.create_table(
        "experiment_factor",
        sa.Column("experiment_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("field", sa.String(length=20), nullable=False),
        sa.Column("low", sa.Double(), nullable=False),
        sa.Column("high", sa.Double(), nullable=False),
        sa.CheckConstraint(
            "length(trim(field)) >= 1 AND length(field) <= 20",
            name=op.f("ck_experiment_factor_field_filled"),
        ),
        sa.CheckConstraint("low < high", name=op.f("ck_experiment_factor_low_below_high")),
        sa.CheckConstraint("place BETWEEN 1 AND 3", name=op.f("ck_experiment_factor_place_range")),
        sa.ForeignKeyConstraint(
            ["experiment_id"], ["experiment.id"], name=op.f("fk_experiment_factor_experiment_id")
        ),
        sa.PrimaryKeyConstraint("experiment_id", "place", name=op.f("pk_experiment_factor")),
        sa.UniqueConstraint(
            "experiment_id", "field", name=op.f("uq_experiment_factor_experiment_id_field")
        ),
    )
    op.create_table(
        "experiment_run",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("experiment_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("block", sa.Integer(), nullable=False),
        sa.Column("levels", sa.JSON(), nullable=False),
        sa.Column("brew_id", sa.Integer(), nullable=True),
        sa.Column("skipped_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("block >= 1", name=op.f("ck_experiment_run_block_counts")),
        sa.CheckConstraint("place >= 1", name=op.f("ck_experiment_run_place_counts")),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_experiment_run_brew_id")),
        sa.ForeignKeyConstraint(
            ["experiment_id"], ["experiment.id"], name=op.f("fk_experiment_run_experiment_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_experiment_run")),
        sa.UniqueConstraint("brew_id", name=op.f("uq_experiment_run_brew_id")),
        sa.UniqueConstraint(
            "experiment_id", "place", name=op.f("uq_experiment_run_experiment_id_place")
        ),
    )


def downgrade() -> None:
    op.drop_table("experiment_run")
    op.drop_table("experiment_factor")
    with op.batch_alter_table("experiment", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_experiment_taster_id"))
        batch_op.drop_index(batch_op.f("ix_experiment_revision_id"))
        batch_op.drop_index("ix_experiment_planned_at_id")
        batch_op.drop_index(batch_op.f("ix_experiment_like_id"))
        batch_op.drop_index(batch_op.f("ix_experiment_bag_id"))

    op.drop_table("experiment")
