"""a grind nobody noted

A brew and a recipe may have no grind. The first steps on the first page can be waved away.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None

MADE = ("brew", "recipe_revision")
GRINDS = "'fine', 'medium-fine', 'medium', 'medium-coarse', 'coarse'"


def _steady(name: str) -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table(name, sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    table.indexes = OrderedSet(sorted(table.indexes, key=lambda one: str(one.name)))
    return table


def _allow(grinds: str) -> None:
    for table in MADE:
        name = f"ck_{table}_grind_word"
        with op.batch_alter_table(table, copy_from=_steady(table)) as batch_op:
            batch_op.drop_constraint(batch_op.f(name), type_="check")
            batch_op.create_check_constraint(batch_op.f(name), f"grind IN ({grinds})")


def upgrade() -> None:
    _allow(f"'', {GRINDS}")
    with op.batch_alter_table("settings", copy_from=_steady("settings")) as batch_op:
        batch_op.add_column(
            sa.Column("first_steps", sa.Boolean(), nullable=False, server_default=sa.true())
        )
    with op.batch_alter_table("settings", copy_from=_steady("settings")) as batch_op:
        batch_op.alter_column("first_steps", server_default=None)


def downgrade() -> None:
    """The older tables have no brew without a grind, and take medium for it."""
    for table in MADE:
        made = sa.table(table, sa.column("grind"))
        op.execute(made.update().where(made.c.grind == "").values(grind="medium"))
    _allow(GRINDS)
    with op.batch_alter_table("settings", copy_from=_steady("settings")) as batch_op:
        batch_op.drop_column("first_steps")
