"""A press belongs to a chat, under a key nobody can guess; who runs a chat is noted apart.

A member's earlier names are known until they ask to be forgotten, so that all of them go.

Buttons sent before with a number work no more; they say so.

Revision: 0007; after: 0006
"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    integer = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    op.drop_table("presses")
    op.create_table(
        "presses",
        sa.Column("key", sa.String(32), nullable=False),
        sa.Column("chat_id", integer, nullable=False),
        sa.Column("command", sa.Text(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["chat_id"], ["chats.id"], name=op.f("fk_presses_chat_id")),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_presses")),
    )
    op.create_index("ix_presses_chat_id", "presses", ["chat_id"])
    op.create_index("ix_presses_made_at", "presses", ["made_at"])
    with op.batch_alter_table("members") as members:
        members.add_column(
            sa.Column("runs_chat", sa.Boolean(), nullable=False, server_default=sa.false())
        )
        members.add_column(
            sa.Column("former_names", sa.JSON(), nullable=False, server_default="[]")
        )
