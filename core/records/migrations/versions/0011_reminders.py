"""What members ask to be reminded of on a day.

Revision: 0011; after: 0010
"""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None
BIG = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "reminders",
        sa.Column("id", BIG, nullable=False),
        sa.Column("group_id", BIG, nullable=False),
        sa.Column("asked_by_id", BIG, nullable=True),
        sa.Column("member_id", BIG, nullable=True),
        sa.Column("on_day", sa.Date(), nullable=False),
        sa.Column("text", sa.String(length=200), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("done_by_id", BIG, nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name="fk_reminders_group_id"),
        sa.ForeignKeyConstraint(["asked_by_id"], ["members.id"], name="fk_reminders_asked_by_id"),
        sa.ForeignKeyConstraint(["member_id"], ["members.id"], name="fk_reminders_member_id"),
        sa.ForeignKeyConstraint(["done_by_id"], ["members.id"], name="fk_reminders_done_by_id"),
        sa.PrimaryKeyConstraint("id", name="pk_reminders"),
    )
    with op.batch_alter_table("reminders") as table:
        table.create_index("ix_reminders_group_id_on_day", ["group_id", "on_day"])
