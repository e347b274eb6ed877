"""The first schema.

Revision: 0001; after:
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "groups",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), server_default="UTC", nullable=False),
        sa.Column("place", sa.Text(), nullable=True),
        sa.Column("latitude", sa.Double(), nullable=True),
        sa.Column("longitude", sa.Double(), nullable=True),
        sa.Column("language", sa.String(length=8), server_default="en", nullable=False),
        sa.Column("fahrenheit", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.Column("inches", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.Column("round_at", sa.Time(), server_default=sa.text("'07:30:00'"), nullable=False),
        sa.Column("quiet_from", sa.Time(), server_default=sa.text("'21:00:00'"), nullable=False),
        sa.Column("quiet_to", sa.Time(), server_default=sa.text("'07:00:00'"), nullable=False),
        sa.Column("demo", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.Column("frost", sa.JSON(), nullable=True),
        sa.Column("set_up", sa.JSON(), server_default="{}", nullable=False),
        sa.Column(
            "next_sowing",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            server_default="1",
            nullable=False,
        ),
        sa.Column(
            "next_act",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            server_default="1",
            nullable=False,
        ),
        sa.Column(
            "next_lot",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            server_default="1",
            nullable=False,
        ),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("next_look_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("looked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_groups")),
    )
    with op.batch_alter_table("groups", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_groups_next_look_at"), ["next_look_at"], unique=False)

    op.create_table(
        "inbox",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("platform", sa.String(length=16), nullable=False),
        sa.Column("update_key", sa.String(length=80), nullable=False),
        sa.Column("chat", sa.String(length=64), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=8), server_default="new", nullable=False),
        sa.Column(
            "tries",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            server_default="0",
            nullable=False,
        ),
        sa.Column("lease_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("lease_by", sa.String(length=40), nullable=True),
        sa.Column("error", sa.Text(), nullable=True),
        sa.Column("handled_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_inbox")),
        sa.UniqueConstraint("platform", "update_key", name=op.f("uq_inbox_platform_update_key")),
    )
    with op.batch_alter_table("inbox", schema=None) as batch_op:
        batch_op.create_index("ix_inbox_state_chat_id", ["state", "chat", "id"], unique=False)
        batch_op.create_index("ix_inbox_state_id", ["state", "id"], unique=False)

    op.create_table(
        "leases",
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("holder", sa.String(length=60), nullable=True),
        sa.Column("until", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_leases")),
    )
    op.create_table(
        "marks",
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_marks")),
    )
    op.create_table(
        "presses",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("command", sa.Text(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_presses")),
        sa.UniqueConstraint("command", name=op.f("uq_presses_command")),
    )
    op.create_table(
        "sent_files",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("platform", sa.String(length=16), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("file_ref", sa.Text(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sent_files")),
        sa.UniqueConstraint("platform", "digest", name=op.f("uq_sent_files_platform_digest")),
    )
    op.create_table(
        "closures",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("first_on", sa.Date(), nullable=True),
        sa.Column("last_on", sa.Date(), nullable=True),
        sa.Column("weekday", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("label", sa.Text(), nullable=True),
        sa.Column("uid", sa.Text(), nullable=True),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_closures_group_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_closures")),
    )
    with op.batch_alter_table("closures", schema=None) as batch_op:
        batch_op.create_index("ix_closures_group_id", ["group_id"], unique=False)

    op.create_table(
        "lots",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("code", sa.String(length=16), nullable=False),
        sa.Column("crop", sa.String(length=40), nullable=False),
        sa.Column("variety", sa.Text(), nullable=True),
        sa.Column(
            "packed_for", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True
        ),
        sa.Column("tested_up", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("tested_of", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("tested_on", sa.Date(), nullable=True),
        sa.Column("label_percent", sa.Double(), nullable=True),
        sa.Column("treated", sa.Boolean(), nullable=True),
        sa.Column("used_up_on", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_lots_group_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lots")),
        sa.UniqueConstraint("group_id", "code", name=op.f("uq_lots_group_id_code")),
    )
    op.create_table(
        "people",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("platform", sa.String(length=16), nullable=False),
        sa.Column("platform_user", sa.String(length=64), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("username", sa.Text(), nullable=True),
        sa.Column("language", sa.String(length=8), nullable=True),
        sa.Column("fahrenheit", sa.Boolean(), nullable=True),
        sa.Column("inches", sa.Boolean(), nullable=True),
        sa.Column("reminders", sa.Boolean(), server_default=sa.true(), nullable=False),
        sa.Column("quiet_from", sa.Time(), nullable=True),
        sa.Column("quiet_to", sa.Time(), nullable=True),
        sa.Column(
            "private_group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True
        ),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["private_group_id"], ["groups.id"], name=op.f("fk_people_private_group_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_people")),
        sa.UniqueConstraint(
            "platform", "platform_user", name=op.f("uq_people_platform_platform_user")
        ),
    )
    op.create_table(
        "plans",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("accepted_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("dropped_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_plans_group_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plans")),
    )
    with op.batch_alter_table("plans", schema=None) as batch_op:
        batch_op.create_index("ix_plans_group_id", ["group_id"], unique=False)

    op.create_table(
        "shelves",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("code", sa.String(length=16), nullable=False),
        sa.Column("lamp", sa.Text(), nullable=True),
        sa.Column("tubes", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("height_mm", sa.Double(), nullable=True),
        sa.Column("on_at", sa.Time(), nullable=True),
        sa.Column("off_at", sa.Time(), nullable=True),
        sa.Column("places", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("heat_mat", sa.Boolean(), nullable=True),
        sa.Column("timer", sa.Boolean(), nullable=True),
        sa.Column("usual_temp_c", sa.Double(), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_shelves_group_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shelves")),
        sa.UniqueConstraint("group_id", "code", name=op.f("uq_shelves_group_id_code")),
    )
    op.create_table(
        "chats",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("platform", sa.String(length=16), nullable=False),
        sa.Column("platform_chat", sa.String(length=64), nullable=False),
        sa.Column("private", sa.Boolean(), nullable=False),
        sa.Column("title", sa.Text(), nullable=True),
        sa.Column("thread", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("person_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("dead_since", sa.DateTime(timezone=True), nullable=True),
        sa.Column("dead_because", sa.Text(), nullable=True),
        sa.Column("paused_until", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_chats_group_id")),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_chats_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_chats")),
        sa.UniqueConstraint(
            "platform", "platform_chat", name=op.f("uq_chats_platform_platform_chat")
        ),
    )
    with op.batch_alter_table("chats", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_chats_group_id"), ["group_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_chats_person_id"), ["person_id"], unique=False)

    op.create_table(
        "members",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("person_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("coordinator", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.Column("joined_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("left_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_members_group_id")),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_members_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_members")),
        sa.UniqueConstraint("group_id", "person_id", name=op.f("uq_members_group_id_person_id")),
    )
    with op.batch_alter_table("members", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_members_person_id"), ["person_id"], unique=False)

    op.create_table(
        "trays",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("code", sa.String(length=16), nullable=False),
        sa.Column("rows", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("cols", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("cell_ml", sa.Double(), nullable=True),
        sa.Column("shelf_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("retired_on", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_trays_group_id")),
        sa.ForeignKeyConstraint(["shelf_id"], ["shelves.id"], name=op.f("fk_trays_shelf_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_trays")),
        sa.UniqueConstraint("group_id", "code", name=op.f("uq_trays_group_id_code")),
    )
    op.create_table(
        "absences",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column(
            "member_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False
        ),
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_absences_group_id")),
        sa.ForeignKeyConstraint(["member_id"], ["members.id"], name=op.f("fk_absences_member_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_absences")),
    )
    with op.batch_alter_table("absences", schema=None) as batch_op:
        batch_op.create_index("ix_absences_group_id", ["group_id"], unique=False)

    op.create_table(
        "acts",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("kind", sa.String(length=24), nullable=False),
        sa.Column("by_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("did_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("for_name", sa.Text(), nullable=True),
        sa.Column("recorded_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("summary", sa.JSON(), server_default="{}", nullable=False),
        sa.Column("undone_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column(
            "undone_by_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True
        ),
        sa.ForeignKeyConstraint(["by_id"], ["members.id"], name=op.f("fk_acts_by_id")),
        sa.ForeignKeyConstraint(["did_id"], ["members.id"], name=op.f("fk_acts_did_id")),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_acts_group_id")),
        sa.ForeignKeyConstraint(
            ["undone_by_id"], ["members.id"], name=op.f("fk_acts_undone_by_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_acts")),
        sa.UniqueConstraint("group_id", "number", name=op.f("uq_acts_group_id_number")),
    )
    with op.batch_alter_table("acts", schema=None) as batch_op:
        batch_op.create_index(
            "ix_acts_group_id_recorded_at", ["group_id", "recorded_at"], unique=False
        )

    op.create_table(
        "dialogues",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("chat_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("person_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("kind", sa.String(length=24), nullable=False),
        sa.Column("state", sa.JSON(), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["chat_id"], ["chats.id"], name=op.f("fk_dialogues_chat_id")),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_dialogues_group_id")),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_dialogues_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_dialogues")),
    )
    with op.batch_alter_table("dialogues", schema=None) as batch_op:
        batch_op.create_index(
            "ix_dialogues_chat_id_person_id", ["chat_id", "person_id"], unique=False
        )

    op.create_table(
        "duties",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column(
            "member_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False
        ),
        sa.Column("weekdays", sa.String(length=7), server_default="", nullable=False),
        sa.Column("on_day", sa.Date(), nullable=True),
        sa.Column("trays", sa.Text(), server_default="", nullable=False),
        sa.Column("instead_of", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_duties_group_id")),
        sa.ForeignKeyConstraint(["member_id"], ["members.id"], name=op.f("fk_duties_member_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_duties")),
    )
    with op.batch_alter_table("duties", schema=None) as batch_op:
        batch_op.create_index("ix_duties_group_id", ["group_id"], unique=False)

    op.create_table(
        "notices",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column(
            "recipient",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            server_default="0",
            nullable=False,
        ),
        sa.Column("kind", sa.String(length=24), nullable=False),
        sa.Column("subject", sa.String(length=120), nullable=False),
        sa.Column("on_day", sa.Date(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.JSON(), server_default="{}", nullable=False),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column(
            "answered_by_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True
        ),
        sa.ForeignKeyConstraint(
            ["answered_by_id"], ["members.id"], name=op.f("fk_notices_answered_by_id")
        ),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_notices_group_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_notices")),
        sa.UniqueConstraint(
            "group_id",
            "recipient",
            "kind",
            "subject",
            "on_day",
            name=op.f("uq_notices_group_id_recipient_kind_subject_on_day"),
        ),
    )
    with op.batch_alter_table("notices", schema=None) as batch_op:
        batch_op.create_index("ix_notices_group_id_on_day", ["group_id", "on_day"], unique=False)

    op.create_table(
        "wishes",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column(
            "member_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False
        ),
        sa.Column("for_name", sa.Text(), nullable=True),
        sa.Column("crop", sa.String(length=40), nullable=False),
        sa.Column("plants", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_wishes_group_id")),
        sa.ForeignKeyConstraint(["member_id"], ["members.id"], name=op.f("fk_wishes_member_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_wishes")),
    )
    with op.batch_alter_table("wishes", schema=None) as batch_op:
        batch_op.create_index("ix_wishes_group_id", ["group_id"], unique=False)

    op.create_table(
        "outbox",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("key", sa.String(length=120), nullable=False),
        sa.Column("chat_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("notice_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.Column("due_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("state", sa.String(length=8), server_default="due", nullable=False),
        sa.Column("lease_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("lease_by", sa.String(length=40), nullable=True),
        sa.Column(
            "tries",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            server_default="0",
            nullable=False,
        ),
        sa.Column(
            "part",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            server_default="0",
            nullable=False,
        ),
        sa.Column(
            "unknowns",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            server_default="0",
            nullable=False,
        ),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("platform_message", sa.String(length=32), nullable=True),
        sa.Column("error", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["chat_id"], ["chats.id"], name=op.f("fk_outbox_chat_id")),
        sa.ForeignKeyConstraint(["notice_id"], ["notices.id"], name=op.f("fk_outbox_notice_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outbox")),
        sa.UniqueConstraint("key", name=op.f("uq_outbox_key")),
    )
    with op.batch_alter_table("outbox", schema=None) as batch_op:
        batch_op.create_index("ix_outbox_state_chat_id", ["state", "chat_id", "id"], unique=False)
        batch_op.create_index("ix_outbox_state_due_at", ["state", "due_at"], unique=False)

    op.create_table(
        "sowings",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("act_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("crop", sa.String(length=40), nullable=False),
        sa.Column("variety", sa.Text(), nullable=True),
        sa.Column("lot_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("tray_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("cells", sa.Text(), nullable=False),
        sa.Column("sown_on", sa.Date(), nullable=False),
        sa.Column(
            "seeds_per_cell", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False
        ),
        sa.Column("depth_mm", sa.Double(), nullable=True),
        sa.Column("plan_item", sa.Text(), nullable=True),
        sa.Column("speed_ratio", sa.Double(), nullable=True),
        sa.Column(
            "speed_seeds", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True
        ),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.Column("void", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=op.f("fk_sowings_act_id")),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_sowings_group_id")),
        sa.ForeignKeyConstraint(["lot_id"], ["lots.id"], name=op.f("fk_sowings_lot_id")),
        sa.ForeignKeyConstraint(["tray_id"], ["trays.id"], name=op.f("fk_sowings_tray_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sowings")),
        sa.UniqueConstraint("group_id", "number", name=op.f("uq_sowings_group_id_number")),
    )
    with op.batch_alter_table("sowings", schema=None) as batch_op:
        batch_op.create_index(
            "ix_sowings_group_id_closed_on", ["group_id", "closed_on"], unique=False
        )

    op.create_table(
        "reports",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("group_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("act_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("kind", sa.String(length=24), nullable=False),
        sa.Column("sowing_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("tray_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("shelf_id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("on_day", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("values", sa.JSON(), server_default="{}", nullable=False),
        sa.Column("undone", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=op.f("fk_reports_act_id")),
        sa.ForeignKeyConstraint(["group_id"], ["groups.id"], name=op.f("fk_reports_group_id")),
        sa.ForeignKeyConstraint(["shelf_id"], ["shelves.id"], name=op.f("fk_reports_shelf_id")),
        sa.ForeignKeyConstraint(["sowing_id"], ["sowings.id"], name=op.f("fk_reports_sowing_id")),
        sa.ForeignKeyConstraint(["tray_id"], ["trays.id"], name=op.f("fk_reports_tray_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reports")),
    )
    with op.batch_alter_table("reports", schema=None) as batch_op:
        batch_op.create_index("ix_reports_act_id", ["act_id"], unique=False)
        batch_op.create_index(
            "ix_reports_group_id_kind_on_day", ["group_id", "kind", "on_day"], unique=False
        )
        batch_op.create_index("ix_reports_sowing_id", ["sowing_id"], unique=False)
        batch_op.create_index("ix_reports_tray_id_on_day", ["tray_id", "on_day"], unique=False)
