"""Reminders of a group, of a tray or to a member rest until a day.

Revision: 0009; after: 0008
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for name in ("groups", "trays", "members"):
        with op.batch_alter_table(name) as table:
            table.add_column(sa.Column("paused_until", sa.Date(), nullable=True))
