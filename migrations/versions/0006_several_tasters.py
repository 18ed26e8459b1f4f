"""several tasters

A guest's device belongs to one taster, and the brews of a trial have a table of their own.
"""

from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

GUEST = "(guest_of_test_id IS NULL) = (guest_taster_id IS NULL)"


def upgrade() -> None:
    _make_trial_brew()
    with _without_triggers(), op.batch_alter_table("trial", copy_from=_steady("trial")) as batch_op:
        batch_op.drop_index(batch_op.f("ix_trial_brew_a_id"))
        batch_op.drop_index(batch_op.f("ix_trial_brew_b_id"))
        batch_op.drop_constraint(batch_op.f("fk_trial_brew_a_id"), type_="foreignkey")
        batch_op.drop_constraint(batch_op.f("fk_trial_brew_b_id"), type_="foreignkey")
        batch_op.drop_column("brew_a_id")
        batch_op.drop_column("brew_b_id")
    with op.batch_alter_table("blind_taster", copy_from=_steady("blind_taster")) as batch_op:
        batch_op.drop_constraint(batch_op.f("uq_blind_taster_token_hash"), type_="unique")
        batch_op.drop_column("token_hash")
    for table in ("device", "pairing_code"):
        _tie_guests(table)


def _make_trial_brew() -> None:
    op.create_table(
        "trial_brew",
        sa.Column("trial_id", sa.Integer(), nullable=False),
        sa.Column("brew_id", sa.Integer(), nullable=False),
        sa.Column("cup", sa.String(length=1), nullable=False),
        sa.CheckConstraint("cup IN ('A', 'B')", name=op.f("ck_trial_brew_cup_word")),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_trial_brew_brew_id")),
        sa.ForeignKeyConstraint(["trial_id"], ["trial.id"], name=op.f("fk_trial_brew_trial_id")),
        sa.PrimaryKeyConstraint("trial_id", "brew_id", name=op.f("pk_trial_brew")),
    )
    with op.batch_alter_table("trial_brew", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_trial_brew_brew_id"), ["brew_id"], unique=False)
    op.execute(
        "INSERT INTO trial_brew (trial_id, brew_id, cup) "
        "SELECT id, brew_a_id, 'A' FROM trial WHERE brew_a_id IS NOT NULL"
    )
    op.execute(
        "INSERT INTO trial_brew (trial_id, brew_id, cup) "
        "SELECT id, brew_b_id, 'B' FROM trial WHERE brew_b_id <> coalesce(brew_a_id, 0)"
    )


def _tie_guests(table: str) -> None:
    """Until now a test had one taster, whose guests these are."""
    with op.batch_alter_table(table, copy_from=_steady(table)) as batch_op:
        batch_op.add_column(sa.Column("guest_taster_id", sa.Integer(), nullable=True))
        batch_op.drop_constraint(batch_op.f(f"fk_{table}_guest_of_test_id"), type_="foreignkey")
    guests = sa.table(table, sa.column("guest_of_test_id"), sa.column("guest_taster_id"))
    tasters = sa.table("blind_taster", sa.column("test_id"), sa.column("taster_id"))
    only = sa.select(sa.func.min(tasters.c.taster_id)).where(
        tasters.c.test_id == guests.c.guest_of_test_id
    )
    op.execute(sa.update(guests).values(guest_taster_id=only.scalar_subquery()))
    with op.batch_alter_table(table, copy_from=_steady(table)) as batch_op:
        batch_op.create_foreign_key(
            batch_op.f(f"fk_{table}_guest_of_test_id_guest_taster_id"),
            "blind_taster",
            ["guest_of_test_id", "guest_taster_id"],
            ["test_id", "taster_id"],
        )
        batch_op.create_check_constraint(batch_op.f(f"ck_{table}_guest_is_a_taster"), GUEST)


def _steady(name: str) -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table(name, sa.MetaData(), autoload_with=op.get_bind())
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
    for table in ("pairing_code", "device"):
        with op.batch_alter_table(table, copy_from=_steady(table)) as batch_op:
            batch_op.drop_constraint(batch_op.f(f"ck_{table}_guest_is_a_taster"), type_="check")
            batch_op.drop_constraint(
                batch_op.f(f"fk_{table}_guest_of_test_id_guest_taster_id"), type_="foreignkey"
            )
            batch_op.create_foreign_key(
                batch_op.f(f"fk_{table}_guest_of_test_id"),
                "blind_test",
                ["guest_of_test_id"],
                ["id"],
            )
            batch_op.drop_column("guest_taster_id")
    with op.batch_alter_table("blind_taster", copy_from=_steady("blind_taster")) as batch_op:
        batch_op.add_column(sa.Column("token_hash", sa.VARCHAR(length=64), nullable=True))
        batch_op.create_unique_constraint(batch_op.f("uq_blind_taster_token_hash"), ["token_hash"])
    with _without_triggers(), op.batch_alter_table("trial", copy_from=_steady("trial")) as batch_op:
        for column in ("brew_a_id", "brew_b_id"):
            batch_op.add_column(sa.Column(column, sa.INTEGER(), nullable=True))
            batch_op.create_foreign_key(batch_op.f(f"fk_trial_{column}"), "brew", [column], ["id"])
            batch_op.create_index(batch_op.f(f"ix_trial_{column}"), [column], unique=False)
    op.execute(
        "UPDATE trial SET brew_a_id = (SELECT min(brew_id) FROM trial_brew"
        " WHERE trial_id = trial.id AND cup = 'A'), brew_b_id = (SELECT min(brew_id)"
        " FROM trial_brew WHERE trial_id = trial.id AND cup = 'B')"
    )
    with op.batch_alter_table("trial_brew", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_trial_brew_brew_id"))
    op.drop_table("trial_brew")
