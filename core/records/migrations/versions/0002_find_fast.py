"""Indexes for what is looked up however large the database has grown.

Revision: 0002; after: 0001
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index("ix_sowings_act_id", "sowings", ["act_id"])
    _create_partly("ix_sowings_speed", "sowings", ["group_id", "number"], "speed_ratio IS NOT NULL")
    _create_partly("ix_chats_nobodys", "chats", ["id"], "private AND person_id IS NULL")
    op.drop_index("ix_outbox_state_chat_id", "outbox")
    op.create_index("ix_outbox_chat_id_state", "outbox", ["chat_id", "state", "id"])


def _create_partly(name: str, table: str, columns: list[str], where: str) -> None:
    op.create_index(
        name, table, columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where)
    )
