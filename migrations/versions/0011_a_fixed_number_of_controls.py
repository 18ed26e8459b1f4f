"""a fixed number of controls

A plan fixes how many trials of A against A are mixed in. Older plans drew them by odds, and keep
theirs.
"""

from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

TABLE = "blind_test"
RANGE = "controls BETWEEN 0 AND 200"
COUNTED = (
    "controls = 0 OR (rule = 'fixed number' AND control_in = 0 AND NOT balanced "
    "AND method NOT IN ('A-not-A', 'same-different', 'preference'))"
)
DIFFERS = {"sqlite": "IS NOT", "postgresql": "IS DISTINCT FROM"}


def upgrade() -> None:
    with _without_triggers():
        with op.batch_alter_table(TABLE, copy_from=_steady()) as batch_op:
            column = sa.Column("controls", sa.Integer(), nullable=False, server_default="0")
            batch_op.add_column(column)
        with op.batch_alter_table(TABLE, copy_from=_steady()) as batch_op:
            batch_op.alter_column("controls", server_default=None)
            batch_op.create_check_constraint(batch_op.f("ck_blind_test_controls_range"), RANGE)
            batch_op.create_check_constraint(
                batch_op.f("ck_blind_test_controls_are_counted"), COUNTED
            )
    before = _kept("control_in")
    _keep(before, f"{before} OR {_kept('controls')}")


def _kept(column: str) -> str:
    """What the trigger that keeps a plan says of a column."""
    return f"NEW.{column} {DIFFERS[op.get_bind().dialect.name]} OLD.{column}"


def _keep(said: str, says: str) -> None:
    """Change what the trigger that keeps a plan looks at."""
    bind = op.get_bind()
    if bind.dialect.name == "sqlite":
        kept = "SELECT sql FROM sqlite_master WHERE name = 'blind_test_kept'"
        trigger = bind.exec_driver_sql(kept).scalar_one()
        bind.exec_driver_sql("DROP TRIGGER blind_test_kept")
    else:
        kept = "SELECT pg_get_functiondef('blind_test_kept'::regproc)"
        trigger = bind.exec_driver_sql(kept).scalar_one()
    bind.exec_driver_sql(trigger.replace(said, says))


def _steady() -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table(TABLE, sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    table.indexes = OrderedSet(sorted(table.indexes, key=lambda one: str(one.name)))
    return table


@contextmanager
def _without_triggers() -> Iterator[None]:
    """SQLite drops a table's triggers with it, and others' that name it stop the rebuild."""
    bind = op.get_bind()
    if bind.dialect.name != "sqlite":
        yield
        return
    kept = bind.execute(
        sa.text("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    ).fetchall()
    for name, _ in kept:
        bind.exec_driver_sql(f"DROP TRIGGER {name}")
    yield
    for _, sql in kept:
        bind.exec_driver_sql(sql)


def downgrade() -> None:
    _keep(f" OR {_kept('controls')}", "")
    with _without_triggers(), op.batch_alter_table(TABLE, copy_from=_steady()) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_blind_test_controls_are_counted"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_blind_test_controls_range"), type_="check")
        batch_op.drop_column("controls")
