"""Where a group hears of its work, and a person's own hour for it.

Revision: 0005; after: 0004
"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "groups", sa.Column("channel", sa.String(8), nullable=False, server_default="both")
    )
    op.add_column("people", sa.Column("remind_at", sa.Time(), nullable=True))
