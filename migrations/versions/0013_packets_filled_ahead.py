"""packets filled ahead

For A – not A a helper may fill and code several doses, filters or bottles on one day; each later
trial takes one. What was drawn for a packet stays, as the key of a trial does.
"""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

KEPT = ("id", "test_id", "code", "cup", "packed_at", "packed_by", "packed_from")
KEPT_ONCE_SET = ("covered_at", "trial_id")
SAYS = "What a packet holds, and which trial took it, stays."
THERE = "EXISTS (SELECT 1 FROM blind_packet WHERE id = NEW.id)"


def _changed(differs: str) -> str:
    always = [f"NEW.{name} {differs} OLD.{name}" for name in KEPT]
    once = [
        f"(OLD.{name} IS NOT NULL AND NEW.{name} {differs} OLD.{name})" for name in KEPT_ONCE_SET
    ]
    return " OR ".join([*always, *once])


def upgrade() -> None:
    op.create_table(
        "blind_packet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=3), nullable=False),
        sa.Column("cup", sa.String(length=1), nullable=False),
        sa.Column("packed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("packed_by", sa.String(length=64), nullable=False),
        sa.Column("packed_from", sa.String(length=45), nullable=False),
        sa.Column("covered_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("trial_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("cup IN ('A', 'B')", name=op.f("ck_blind_packet_cup_word")),
        sa.CheckConstraint(
            "length(trim(code)) >= 1 AND length(code) <= 3",
            name=op.f("ck_blind_packet_code_filled"),
        ),
        sa.CheckConstraint(
            "trial_id IS NULL OR covered_at IS NOT NULL",
            name=op.f("ck_blind_packet_covered_before_use"),
        ),
        sa.ForeignKeyConstraint(
            ["test_id"], ["blind_test.id"], name=op.f("fk_blind_packet_test_id")
        ),
        sa.ForeignKeyConstraint(["trial_id"], ["trial.id"], name=op.f("fk_blind_packet_trial_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blind_packet")),
        sa.UniqueConstraint("trial_id", name=op.f("uq_blind_packet_trial_id")),
    )
    with op.batch_alter_table("blind_packet", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_blind_packet_test_id"), ["test_id"], unique=False)
    if op.get_bind().dialect.name == "sqlite":
        _keep_on_sqlite()
    else:
        _keep_on_postgresql()


def _keep_on_sqlite() -> None:
    # A row put in the place of another (INSERT OR REPLACE) deletes it without a delete trigger.
    for name, moment, when in (
        ("blind_packet_kept", "UPDATE", _changed("IS NOT")),
        ("blind_packet_not_deleted", "DELETE", "1"),
        ("blind_packet_not_replaced", "INSERT", THERE),
    ):
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {moment} ON blind_packet WHEN {when} "
            f"BEGIN SELECT RAISE(ABORT, '{SAYS}'); END"
        )


def _keep_on_postgresql() -> None:
    for name, moment, when, goes_on in (
        ("blind_packet_kept", "UPDATE", _changed("IS DISTINCT FROM"), "NEW"),
        ("blind_packet_not_deleted", "DELETE", "true", "OLD"),
    ):
        op.execute(
            f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN IF {when} THEN "
            f"RAISE EXCEPTION '{SAYS}' USING ERRCODE = 'integrity_constraint_violation'; "
            f"END IF; RETURN {goes_on}; END $$"
        )
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {moment} ON blind_packet FOR EACH ROW "
            f"EXECUTE FUNCTION {name}()"
        )


def downgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        for name in ("kept", "not_deleted", "not_replaced"):
            op.execute(f"DROP TRIGGER blind_packet_{name}")
    else:
        for name in ("kept", "not_deleted"):  # the trigger goes with its function
            op.execute(f"DROP FUNCTION blind_packet_{name}() CASCADE")
    with op.batch_alter_table("blind_packet", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_blind_packet_test_id"))
    op.drop_table("blind_packet")
