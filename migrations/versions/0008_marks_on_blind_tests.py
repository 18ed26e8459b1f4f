"""marks on blind tests

A test keeps that its journal was put back while it was open, and which use of its filters its
brews were; a trial keeps from which network addresses it was poured and answered. The database
refuses a trial of a test that has ended. A trial left open in one is void, since nothing can be
known from it any more.
"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

ENDED = "EXISTS (SELECT 1 FROM blind_test WHERE id = NEW.test_id AND ended IS NOT NULL)"
ENDED_SAYS = "A blind test that has ended gets no more trials."
MARK_SAYS = "A mark of a blind test stays."
FROM_SAYS = "Where a trial was poured and answered stays."
LEFT_OPEN = (
    "UPDATE trial SET voided_at = (SELECT stopped_at FROM blind_test WHERE id = trial.test_id),"
    " void_reason = 'Its test had ended before it was answered.'"
    " WHERE answered_at IS NULL AND voided_at IS NULL"
    " AND test_id IN (SELECT id FROM blind_test WHERE ended IS NOT NULL)"
)


def _from_changed(differs: str) -> str:
    return " OR ".join(
        f"(OLD.{name} IS NOT NULL AND NEW.{name} {differs} OLD.{name})"
        for name in ("poured_from", "answered_from")
    )


def upgrade() -> None:
    op.create_table(
        "blind_test_mark",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.Column("put_back_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["test_id"], ["blind_test.id"], name=op.f("fk_blind_test_mark_test_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blind_test_mark")),
        sa.UniqueConstraint(
            "test_id", "put_back_at", name=op.f("uq_blind_test_mark_test_id_put_back_at")
        ),
    )
    op.create_table(
        "blind_test_use",
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.Column("brew_id", sa.Integer(), nullable=False),
        sa.Column("filter_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_blind_test_use_brew_id")),
        sa.ForeignKeyConstraint(
            ["filter_id"], ["filter.id"], name=op.f("fk_blind_test_use_filter_id")
        ),
        sa.ForeignKeyConstraint(
            ["test_id"], ["blind_test.id"], name=op.f("fk_blind_test_use_test_id")
        ),
        sa.PrimaryKeyConstraint("test_id", "brew_id", "filter_id", name=op.f("pk_blind_test_use")),
    )
    # Added, not rebuilt, so that the triggers of the table stay.
    for name in ("poured_from", "answered_from"):
        op.add_column("trial", sa.Column(name, sa.String(length=45), nullable=True))
    op.execute(LEFT_OPEN)
    if op.get_bind().dialect.name == "sqlite":
        _refuse_on_sqlite()
    else:
        _refuse_on_postgresql()


def _refuse_on_sqlite() -> None:
    for name, moment, when, says in (
        ("trial_before_end", "INSERT ON trial", ENDED, ENDED_SAYS),
        ("trial_from_kept", "UPDATE ON trial", _from_changed("IS NOT"), FROM_SAYS),
        ("blind_test_mark_kept", "UPDATE ON blind_test_mark", "1", MARK_SAYS),
        ("blind_test_mark_not_deleted", "DELETE ON blind_test_mark", "1", MARK_SAYS),
    ):
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {moment} WHEN {when} "
            f"BEGIN SELECT RAISE(ABORT, '{says}'); END"
        )


def _refuse_on_postgresql() -> None:
    # Whoever ends the test at this moment is waited for.
    waited = "PERFORM 1 FROM blind_test WHERE id = NEW.test_id FOR SHARE;"
    changed = _from_changed("IS DISTINCT FROM")
    for name, moment, first, when, says in (
        ("trial_before_end", "INSERT ON trial", waited, ENDED, ENDED_SAYS),
        ("trial_from_kept", "UPDATE ON trial", "", changed, FROM_SAYS),
        ("blind_test_mark_kept", "UPDATE OR DELETE ON blind_test_mark", "", "true", MARK_SAYS),
    ):
        op.execute(
            f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN {first} "
            f"IF {when} THEN "
            f"RAISE EXCEPTION '{says}' USING ERRCODE = 'integrity_constraint_violation'; "
            f"END IF; RETURN NEW; END $$"
        )
        op.execute(f"CREATE TRIGGER {name} BEFORE {moment} FOR EACH ROW EXECUTE FUNCTION {name}()")


def downgrade() -> None:
    names = ["trial_before_end", "trial_from_kept", "blind_test_mark_kept"]
    if op.get_bind().dialect.name == "sqlite":
        for name in (*names, "blind_test_mark_not_deleted"):
            op.execute(f"DROP TRIGGER {name}")
    else:
        for name in names:  # the trigger goes with its function
            op.execute(f"DROP FUNCTION {name}() CASCADE")
    for name in ("answered_from", "poured_from"):
        op.drop_column("trial", name)
    op.drop_table("blind_test_use")
    op.drop_table("blind_test_mark")
