"""The tables of what comes in and goes out: notices, updates, messages, buttons, leases."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, String, UniqueConstraint, false
from sqlalchemy.orm import Mapped, mapped_column

from core.records.columns import Base, Json


class Notice(Base):
    """Something that was due, said once: the natural key holds that."""

    __tablename__ = "notices"
    __table_args__ = (
        UniqueConstraint("group_id", "recipient", "kind", "subject", "on_day"),
        Index("ix_notices_group_id_on_day", "group_id", "on_day"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    recipient: Mapped[int] = mapped_column(server_default="0")  # member id; 0 = the group
    kind: Mapped[str] = mapped_column(String(24))
    subject: Mapped[str] = mapped_column(String(120))
    on_day: Mapped[date]
    made_at: Mapped[datetime]
    body: Mapped[Json] = mapped_column(server_default="{}")
    answered_at: Mapped[datetime | None]
    answered_by_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))


class Inbox(Base):
    """An update of a messenger, stored before it is confirmed."""

    __tablename__ = "inbox"
    __table_args__ = (
        UniqueConstraint("platform", "update_key"),
        Index("ix_inbox_state_id", "state", "id"),
        Index("ix_inbox_state_chat_id", "state", "chat", "id"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    platform: Mapped[str] = mapped_column(String(16))
    update_key: Mapped[str] = mapped_column(String(80))
    chat: Mapped[str] = mapped_column(String(255))
    received_at: Mapped[datetime]
    body: Mapped[Json]
    state: Mapped[str] = mapped_column(String(8), server_default="new")  # new | done | parked
    tries: Mapped[int] = mapped_column(server_default="0")
    lease_until: Mapped[datetime | None]
    lease_by: Mapped[str | None] = mapped_column(String(40))
    error: Mapped[str | None]
    handled_at: Mapped[datetime | None]


class Outbox(Base):
    """One message to one chat, written with the change it speaks of."""

    __tablename__ = "outbox"
    __table_args__ = (
        UniqueConstraint("key"),
        Index("ix_outbox_state_rank", "state", "rank", "due_at", "id"),
        Index("ix_outbox_chat_id_state", "chat_id", "state", "id"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    key: Mapped[str] = mapped_column(String(120))
    chat_id: Mapped[int] = mapped_column(ForeignKey("chats.id"))
    notice_id: Mapped[int | None] = mapped_column(ForeignKey("notices.id"))
    body: Mapped[Json]
    due_at: Mapped[datetime]
    state: Mapped[str] = mapped_column(String(8), server_default="due")
    # due | sending | sent | parked | stale
    lease_until: Mapped[datetime | None]
    lease_by: Mapped[str | None] = mapped_column(String(40))
    tries: Mapped[int] = mapped_column(server_default="0")
    part: Mapped[int] = mapped_column(server_default="0")  # parts delivered, of a long one
    unknowns: Mapped[int] = mapped_column(server_default="0")  # sends whose outcome is unknown
    sent_at: Mapped[datetime | None]
    platform_message: Mapped[str | None] = mapped_column(String(255))
    thread: Mapped[str | None] = mapped_column(String(64))  # the topic it was asked in
    reply_to: Mapped[str | None] = mapped_column(String(255))  # the platform's id of the question
    asker: Mapped[str | None] = mapped_column(String(100))  # named when answers are merged
    rank: Mapped[int] = mapped_column(server_default="0")  # 0 an answer, 1 unasked
    silent: Mapped[bool] = mapped_column(server_default=false())
    stale_at: Mapped[datetime | None]  # of no use from then on
    edit_of: Mapped[str | None] = mapped_column(String(120))  # key of the row it replaces
    error: Mapped[str | None]


class Dialogue(Base):
    """A question the bot asked and waits to have answered, one a person and chat."""

    __tablename__ = "dialogues"
    __table_args__ = (Index("ix_dialogues_chat_id_person_id", "chat_id", "person_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    chat_id: Mapped[int] = mapped_column(ForeignKey("chats.id"))
    person_id: Mapped[int | None] = mapped_column(ForeignKey("people.id"))
    group_id: Mapped[int | None] = mapped_column(ForeignKey("groups.id"))
    kind: Mapped[str] = mapped_column(String(24))
    state: Mapped[Json]
    asked_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


class Press(Base):
    """A button of one chat whose command is too long for the platform's payload."""

    __tablename__ = "presses"

    key: Mapped[str] = mapped_column(String(32), primary_key=True)  # not to be guessed
    chat_id: Mapped[int] = mapped_column(ForeignKey("chats.id"), index=True)
    command: Mapped[str]
    made_at: Mapped[datetime] = mapped_column(index=True)


class SentFile(Base):
    """A file the platform already holds, by what was drawn."""

    __tablename__ = "sent_files"
    __table_args__ = (UniqueConstraint("platform", "digest"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    platform: Mapped[str] = mapped_column(String(16))
    digest: Mapped[str] = mapped_column(String(64))
    file_ref: Mapped[str]
    made_at: Mapped[datetime]


class Lease(Base):
    """One of several processes doing a job that only one may do."""

    __tablename__ = "leases"

    name: Mapped[str] = mapped_column(String(40), primary_key=True)
    holder: Mapped[str | None] = mapped_column(String(60))
    until: Mapped[datetime | None]


class Mark(Base):
    """A single remembered value, such as when the messenger was last heard."""

    __tablename__ = "marks"

    name: Mapped[str] = mapped_column(String(60), primary_key=True)
    value: Mapped[str]
    at: Mapped[datetime]
