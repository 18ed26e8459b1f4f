"""two more methods of blind tests

A – not A and same–different, each answered in one of two words. A trial of A – not A has one coded
cup, and its plan may have a cup known to be A tasted first.
"""

from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

OLD_METHODS = "'triangle', 'tetrad', 'three-cup', 'duo-trio', 'paired'"
NEW_METHODS = "'A-not-A', 'same-different'"
# PostgreSQL writes a check on a column anew, in other words, when the column changes its type.
STAYS = {
    ("blind_test", "directed_names_attribute"): (
        "(method IN ('paired', 'three-cup')) = (attribute <> '') "
        "AND (attribute <> '') = (more IS NOT NULL)"
    ),
    ("blind_test", "preference_rule"): "method <> 'preference' OR rule <> 'step by step'",
}
BEFORE = {
    **STAYS,
    ("blind_test", "method_word"): f"method IN ({OLD_METHODS}, 'preference')",
    ("trial", "cups_length"): "length(cups) BETWEEN 2 AND 4",
    ("trial", "answer_is_a_place"): "answer <= length(cups)",
}
AFTER = {
    **STAYS,
    ("blind_test", "method_word"): f"method IN ({OLD_METHODS}, {NEW_METHODS}, 'preference')",
    ("blind_test", "reminder_of_a"): "NOT reminder OR method = 'A-not-A'",
    ("blind_test", "half_are_controls"): f"control_in = 0 OR method NOT IN ({NEW_METHODS})",
    ("blind_test", "pair_unknown"): "NOT (method = 'same-different' AND pouring = 'solo')",
    ("trial", "cups_length"): "length(cups) BETWEEN 1 AND 4",
    ("trial", "answer_is_a_place"): (
        "answer <= CASE length(cups) WHEN 1 THEN 2 ELSE length(cups) END"
    ),
}
OF_TEST = {
    "question_blind_test": "test_id",
    "blind_test_mark": "test_id",
    "blind_test_use": "test_id",
    "pairing_code": "guest_of_test_id",
    "device": "guest_of_test_id",
    "trial": "test_id",
    "blind_taster": "test_id",
    "blind_test": "id",
}
DIFFERS = {"sqlite": "IS NOT", "postgresql": "IS DISTINCT FROM"}


def upgrade() -> None:
    with _without_triggers():
        with op.batch_alter_table("blind_test", copy_from=_steady("blind_test")) as batch_op:
            batch_op.add_column(
                sa.Column("reminder", sa.Boolean(), nullable=False, server_default=sa.false())
            )
        with op.batch_alter_table("blind_test", copy_from=_steady("blind_test")) as batch_op:
            batch_op.alter_column("reminder", server_default=None)
        _swap(BEFORE, AFTER, 10, 14)
    _keep(_kept("method"), f"{_kept('method')} OR {_kept('reminder')}")


def downgrade() -> None:
    """The older tables know nothing of the new methods: tests by these go."""
    _keep(f" OR {_kept('reminder')}", "")
    with _without_triggers():
        _forget()
        _swap(AFTER, BEFORE, 14, 10)
        with op.batch_alter_table("blind_test", copy_from=_steady("blind_test")) as batch_op:
            batch_op.drop_column("reminder")


def _forget() -> None:
    tests = f"SELECT id FROM blind_test WHERE method IN ({NEW_METHODS})"  # noqa: S608
    trials = f"SELECT id FROM trial WHERE test_id IN ({tests})"  # noqa: S608
    op.execute(f"DELETE FROM trial_brew WHERE trial_id IN ({trials})")  # noqa: S608
    for table, column in OF_TEST.items():
        op.execute(f"DELETE FROM {table} WHERE {column} IN ({tests})")  # noqa: S608


Checks = dict[tuple[str, str], str]


def _swap(old: Checks, new: Checks, was: int, wide: int) -> None:
    """Other checks, and another length of the method's name."""
    for table in ("blind_test", "trial"):
        with op.batch_alter_table(table, copy_from=_steady(table)) as batch_op:
            for of, name in old:
                if of == table:
                    batch_op.drop_constraint(batch_op.f(f"ck_{table}_{name}"), type_="check")
            if table == "blind_test":
                batch_op.alter_column(
                    "method",
                    type_=sa.String(wide),
                    existing_type=sa.String(was),
                    existing_nullable=False,
                )
            for (of, name), says in new.items():
                if of == table:
                    batch_op.create_check_constraint(batch_op.f(f"ck_{table}_{name}"), says)


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
