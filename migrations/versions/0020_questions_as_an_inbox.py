"""questions as an inbox

Who asks something is kept as an ask, in their own words, until it is gathered under a question. A
question may be about several things, and may be set aside. Each question there is was asked once.
"""

import sqlalchemy as sa
from alembic import op
from sqlalchemy.util import OrderedSet

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None

QUESTION = sa.table(
    "question",
    sa.column("id", sa.Integer),
    sa.column("text", sa.String),
    sa.column("state", sa.String),
    sa.column("asked_at", sa.DateTime(timezone=True)),
    sa.column("factor", sa.String),
    sa.column("factors", sa.JSON),
)
ASK = sa.table(
    "ask",
    sa.column("text", sa.String),
    sa.column("asked_on", sa.Date),
    sa.column("source", sa.String),
    sa.column("noted_at", sa.DateTime(timezone=True)),
    sa.column("question_id", sa.Integer),
)
WORD, LENGTH, ANSWERED = "ck_question_state_word", "ck_question_factor_length", "answered_in_words"


def _steady() -> sa.Table:
    """The table with its constraints in a steady order: a rebuild writes them as they come."""
    table = sa.Table("question", sa.MetaData(), autoload_with=op.get_bind())
    table.constraints = OrderedSet(sorted(table.constraints, key=lambda one: str(one.name)))
    table.indexes = OrderedSet(sorted(table.indexes, key=lambda one: str(one.name)))
    return table


def upgrade() -> None:
    op.create_table(
        "ask",
        sa.Column("text", sa.String(length=1000), nullable=False),
        sa.Column("asked_on", sa.Date(), nullable=False),
        sa.Column("source", sa.String(length=120), nullable=False),
        sa.Column("noted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("question_id", sa.Integer(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(text) <= 1000", name=op.f("ck_ask_text_length")),
        sa.CheckConstraint("length(source) <= 120", name=op.f("ck_ask_source_length")),
        sa.CheckConstraint(
            "question_id IS NOT NULL OR length(trim(text)) >= 1", name=op.f("ck_ask_in_words")
        ),
        sa.ForeignKeyConstraint(["question_id"], ["question.id"], name=op.f("fk_ask_question_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ask")),
    )
    with op.batch_alter_table("ask", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_ask_question_id"), ["question_id"], unique=False)
    with op.batch_alter_table("question", copy_from=_steady()) as batch_op:
        batch_op.add_column(sa.Column("factors", sa.JSON(), nullable=False, server_default="[]"))
        batch_op.alter_column(
            "state", existing_type=sa.String(8), type_=sa.String(9), existing_nullable=False
        )
        batch_op.drop_constraint(batch_op.f(WORD), type_="check")
        batch_op.create_check_constraint(
            batch_op.f(WORD), "state IN ('open', 'answered', 'set aside')"
        )
        batch_op.drop_constraint(batch_op.f(f"ck_question_{ANSWERED}"), type_="check")
        batch_op.create_check_constraint(
            batch_op.f(f"ck_question_{ANSWERED}"),
            "state <> 'answered' OR length(trim(answer)) >= 1",
        )
    _each_is_about_a_list_and_was_asked_once()
    with op.batch_alter_table("question", copy_from=_steady()) as batch_op:
        batch_op.alter_column("factors", server_default=None)
        batch_op.drop_constraint(batch_op.f(LENGTH), type_="check")
        batch_op.drop_column("factor")


def _each_is_about_a_list_and_was_asked_once() -> None:
    connection = op.get_bind()
    columns = (QUESTION.c.id, QUESTION.c.text, QUESTION.c.factor, QUESTION.c.asked_at)
    for row in connection.execute(sa.select(*columns).order_by(QUESTION.c.id)).all():
        about = [row.factor] if row.factor else []
        one = QUESTION.update().where(QUESTION.c.id == row.id)
        connection.execute(one.values(factors=about))
        asked = {"text": row.text, "asked_on": row.asked_at.date(), "source": ""}
        connection.execute(ASK.insert().values(**asked, noted_at=row.asked_at, question_id=row.id))


def downgrade() -> None:
    """The older tables know one thing a question is about, and none that is set aside; who asked is
    forgotten."""
    with op.batch_alter_table("question", copy_from=_steady()) as batch_op:
        batch_op.add_column(
            sa.Column("factor", sa.String(length=120), nullable=False, server_default="")
        )
    connection = op.get_bind()
    for row in connection.execute(sa.select(QUESTION.c.id, QUESTION.c.factors)).all():
        about = row.factors[0] if len(row.factors) == 1 else ""
        one = QUESTION.update().where(QUESTION.c.id == row.id)
        connection.execute(one.values(factor=about))
    aside = QUESTION.update().where(QUESTION.c.state == "set aside")
    connection.execute(aside.values(state="open"))
    with op.batch_alter_table("question", copy_from=_steady()) as batch_op:
        batch_op.alter_column("factor", server_default=None)
        batch_op.create_check_constraint(batch_op.f(LENGTH), "length(factor) <= 120")
        batch_op.drop_constraint(batch_op.f(WORD), type_="check")
        batch_op.create_check_constraint(batch_op.f(WORD), "state IN ('open', 'answered')")
        batch_op.drop_constraint(batch_op.f(f"ck_question_{ANSWERED}"), type_="check")
        batch_op.create_check_constraint(
            batch_op.f(f"ck_question_{ANSWERED}"), "state = 'open' OR length(trim(answer)) >= 1"
        )
        batch_op.alter_column(
            "state", existing_type=sa.String(9), type_=sa.String(8), existing_nullable=False
        )
        batch_op.drop_column("factors")
    op.drop_index("ix_ask_question_id", table_name="ask")
    op.drop_table("ask")
