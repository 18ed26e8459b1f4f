"""gear by its latest brews"""

from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:

    with op.batch_alter_table("brew", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_brew_brewer_id"))
        batch_op.drop_index(batch_op.f("ix_brew_grinder_id"))
        batch_op.drop_index(batch_op.f("ix_brew_water_id"))
        batch_op.create_index(
            "ix_brew_brewer_id_brewed_at", ["brewer_id", "brewed_at", "id"], unique=False
        )
        batch_op.create_index(
            "ix_brew_grinder_id_brewed_at", ["grinder_id", "brewed_at", "id"], unique=False
        )
        batch_op.create_index(
            "ix_brew_water_id_brewed_at", ["water_id", "brewed_at", "id"], unique=False
        )


def downgrade() -> None:

    with op.batch_alter_table("brew", schema=None) as batch_op:
        batch_op.drop_index("ix_brew_water_id_brewed_at")
        batch_op.drop_index("ix_brew_grinder_id_brewed_at")
        batch_op.drop_index("ix_brew_brewer_id_brewed_at")
        batch_op.create_index(batch_op.f("ix_brew_water_id"), ["water_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_brew_grinder_id"), ["grinder_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_brew_brewer_id"), ["brewer_id"], unique=False)
