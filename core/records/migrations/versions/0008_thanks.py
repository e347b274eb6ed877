"""A person says whether their name may stand under the thanks of a printed report.

Revision: 0008; after: 0007
"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("people") as people:
        people.add_column(
            sa.Column("thanks", sa.Boolean(), nullable=False, server_default=sa.false())
        )
