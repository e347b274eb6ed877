"""Outgoing rows carry their topic, what they answer, their rank and how long they matter.

Ids of a platform may be 255 characters, and a topic is a text: not every messenger numbers them.

Revision: 0004; after: 0003
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    integer = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    with op.batch_alter_table("outbox") as outbox:
        outbox.add_column(sa.Column("thread", sa.String(64), nullable=True))
        outbox.add_column(sa.Column("reply_to", sa.String(255), nullable=True))
        outbox.add_column(sa.Column("asker", sa.String(100), nullable=True))
        outbox.add_column(sa.Column("rank", integer, nullable=False, server_default="0"))
        outbox.add_column(
            sa.Column("silent", sa.Boolean(), nullable=False, server_default=sa.false())
        )
        outbox.add_column(sa.Column("stale_at", sa.DateTime(timezone=True), nullable=True))
        outbox.add_column(sa.Column("edit_of", sa.String(120), nullable=True))
        outbox.alter_column("platform_message", type_=sa.String(255), existing_nullable=True)
        outbox.drop_index("ix_outbox_state_due_at")
        outbox.create_index("ix_outbox_state_rank", ["state", "rank", "due_at", "id"])
    op.execute("UPDATE outbox SET rank = 1 WHERE notice_id IS NOT NULL")
    with op.batch_alter_table("chats") as chats:
        chats.alter_column("platform_chat", type_=sa.String(255), existing_nullable=False)
        chats.alter_column(
            "thread",
            type_=sa.String(64),
            existing_nullable=True,
            postgresql_using="thread::varchar",
        )
    with op.batch_alter_table("people") as people:
        people.alter_column("platform_user", type_=sa.String(255), existing_nullable=False)
    with op.batch_alter_table("inbox") as inbox:
        inbox.alter_column("chat", type_=sa.String(255), existing_nullable=False)
