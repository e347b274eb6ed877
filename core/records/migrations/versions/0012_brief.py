"""A group may have plain reports acknowledged by a mark.

Revision: 0012; after: 0011
"""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("groups") as table:
        table.add_column(
            sa.Column("brief", sa.Boolean(), server_default=sa.false(), nullable=False)
        )
