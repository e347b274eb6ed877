"""Indexes that leave out the rows in which their column is empty; one that nothing used goes.

Revision: 0003; after: 0002
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.drop_index("ix_reports_tray_id_on_day", "reports")
    for table, column in (
        ("reports", "sowing_id"),
        ("chats", "group_id"),
        ("chats", "person_id"),
    ):
        where = sa.text(f"{column} IS NOT NULL")
        op.drop_index(f"ix_{table}_{column}", table)
        op.create_index(
            f"ix_{table}_{column}", table, [column], sqlite_where=where, postgresql_where=where
        )
