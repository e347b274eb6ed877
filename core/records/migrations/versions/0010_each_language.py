"""A group may be answered in the language of each message.

Revision: 0010; after: 0009
"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("groups") as table:
        table.add_column(
            sa.Column("each_language", sa.Boolean(), server_default=sa.false(), nullable=False)
        )
