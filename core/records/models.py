"""The tables. Instants are aware UTC; local dates are the site's; amounts are SI.

Reports are append-only: an act (one member's message line) holds its reports, and undoing marks
the act, never erases. A notice is what was due; an outbox row is one message to one chat.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from typing import Any, ClassVar

from sqlalchemy import (
    JSON,
    BigInteger,
    ColumnElement,
    Date,
    DateTime,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Text,
    Time,
    UniqueConstraint,
    false,
    or_,
    text,
    true,
)
from sqlalchemy.ext.hybrid import hybrid_property
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column
from sqlalchemy.types import TypeDecorator

Json = dict[str, Any]


class Instant(TypeDecorator[datetime]):
    """An aware UTC instant; SQLite forgets the zone, so it is put back on reading."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a naive instant")
        value = value.astimezone(UTC)
        return value.replace(tzinfo=None) if dialect.name == "sqlite" else value

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


BigId = BigInteger().with_variant(Integer, "sqlite")  # SQLite numbers only INTEGER keys itself


class Base(DeclarativeBase):
    """Names of constraints are fixed so that migrations can find them on both engines."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        datetime: Instant(),
        date: Date(),
        time: Time(),
        Json: JSON(),
        str: Text(),
        int: BigId,
    }


def _partly(name: str, *columns: str, where: str) -> Index:
    """Return an index of those rows only that a query looks for.

    A column that is NULL in most rows is indexed where it is not: SQLite else looks through all
    of its NULLs for a row with none, or takes the index for useless.
    """
    return Index(name, *columns, sqlite_where=text(where), postgresql_where=text(where))


class Group(Base):
    """People who start seeds together at one site."""

    __tablename__ = "groups"

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    zone: Mapped[str] = mapped_column(server_default="UTC")
    place: Mapped[str | None]
    latitude: Mapped[float | None]
    longitude: Mapped[float | None]
    language: Mapped[str] = mapped_column(String(8), server_default="en")
    fahrenheit: Mapped[bool] = mapped_column(server_default=false())
    inches: Mapped[bool] = mapped_column(server_default=false())
    round_at: Mapped[time] = mapped_column(server_default=text("'07:30:00'"))
    quiet_from: Mapped[time] = mapped_column(server_default=text("'21:00:00'"))
    quiet_to: Mapped[time] = mapped_column(server_default=text("'07:00:00'"))
    channel: Mapped[str] = mapped_column(String(8), server_default="both")  # of reminders
    demo: Mapped[bool] = mapped_column(server_default=false())
    frost: Mapped[Json | None]  # core/trade/frost/store.py
    set_up: Mapped[Json] = mapped_column(server_default="{}")  # steps of the first minute
    next_sowing: Mapped[int] = mapped_column(server_default="1")
    next_act: Mapped[int] = mapped_column(server_default="1")
    next_lot: Mapped[int] = mapped_column(server_default="1")
    created_at: Mapped[datetime]
    next_look_at: Mapped[datetime | None] = mapped_column(index=True)
    looked_at: Mapped[datetime | None]
    closed_at: Mapped[datetime | None]


class Person(Base):
    """One account of a messenger, with its own settings; None = the group's."""

    __tablename__ = "people"
    __table_args__ = (UniqueConstraint("platform", "platform_user"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    platform: Mapped[str] = mapped_column(String(16))
    platform_user: Mapped[str] = mapped_column(String(255))
    name: Mapped[str]
    username: Mapped[str | None]
    language: Mapped[str | None] = mapped_column(String(8))
    fahrenheit: Mapped[bool | None]
    inches: Mapped[bool | None]
    reminders: Mapped[bool] = mapped_column(server_default=true())
    quiet_from: Mapped[time | None]
    quiet_to: Mapped[time | None]
    remind_at: Mapped[time | None]  # their own hour; None = the group's
    thanks: Mapped[bool] = mapped_column(server_default=false())  # may be named on a report
    private_group_id: Mapped[int | None] = mapped_column(ForeignKey("groups.id"))
    created_at: Mapped[datetime]


class Member(Base):
    """A person's place in a group, under the name they chose there."""

    __tablename__ = "members"
    __table_args__ = (UniqueConstraint("group_id", "person_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    person_id: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    name: Mapped[str]
    coordinator: Mapped[bool] = mapped_column(server_default=false())  # made so by the group
    former_names: Mapped[list[str]] = mapped_column(JSON(), server_default="[]", default=list)
    runs_chat: Mapped[bool] = mapped_column(server_default=false())  # as the messenger last said
    joined_at: Mapped[datetime]
    left_at: Mapped[datetime | None]

    @hybrid_property
    def coordinates(self) -> bool:
        """Whether they may set up: made coordinator, or running the chat."""
        return self.coordinator or self.runs_chat

    @coordinates.inplace.expression
    @classmethod
    def _coordinates(cls) -> ColumnElement[bool]:
        return or_(cls.coordinator, cls.runs_chat)


class Chat(Base):
    """A place to talk: the group's chat, or a private one."""

    __tablename__ = "chats"
    __table_args__ = (
        UniqueConstraint("platform", "platform_chat"),
        _partly("ix_chats_group_id", "group_id", where="group_id IS NOT NULL"),
        _partly("ix_chats_person_id", "person_id", where="person_id IS NOT NULL"),
        _partly("ix_chats_nobodys", "id", where="private AND person_id IS NULL"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    platform: Mapped[str] = mapped_column(String(16))
    platform_chat: Mapped[str] = mapped_column(String(255))
    private: Mapped[bool]
    title: Mapped[str | None]
    thread: Mapped[str | None] = mapped_column(String(64))  # where notices go
    group_id: Mapped[int | None] = mapped_column(ForeignKey("groups.id"))
    person_id: Mapped[int | None] = mapped_column(ForeignKey("people.id"))
    dead_since: Mapped[datetime | None]
    dead_because: Mapped[str | None]
    paused_until: Mapped[datetime | None]  # the platform asked to wait


class Shelf(Base):
    """A rack level with its lamp and places for trays."""

    __tablename__ = "shelves"
    __table_args__ = (UniqueConstraint("group_id", "code"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    code: Mapped[str] = mapped_column(String(16))
    lamp: Mapped[str | None]
    tubes: Mapped[int | None]
    height_mm: Mapped[float | None]
    on_at: Mapped[time | None]
    off_at: Mapped[time | None]
    places: Mapped[int | None]
    heat_mat: Mapped[bool | None]
    timer: Mapped[bool | None]
    usual_temp_c: Mapped[float | None]


class Tray(Base):
    """Rows and columns of cells, standing on a shelf."""

    __tablename__ = "trays"
    __table_args__ = (UniqueConstraint("group_id", "code"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    code: Mapped[str] = mapped_column(String(16))
    rows: Mapped[int]
    cols: Mapped[int]
    cell_ml: Mapped[float | None]  # None = taken from the tray table by count
    shelf_id: Mapped[int | None] = mapped_column(ForeignKey("shelves.id"))
    retired_on: Mapped[date | None]
    pot_mm: Mapped[float | None]  # width of the pots that fill it
    act_id: Mapped[int | None]  # the potting up that made it, of acts


class Lot(Base):
    """One packet or saved batch of seed."""

    __tablename__ = "lots"
    __table_args__ = (UniqueConstraint("group_id", "code"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    code: Mapped[str] = mapped_column(String(16))
    crop: Mapped[str] = mapped_column(String(40))
    variety: Mapped[str | None]
    packed_for: Mapped[int | None]
    tested_up: Mapped[int | None]
    tested_of: Mapped[int | None]
    tested_on: Mapped[date | None]
    label_percent: Mapped[float | None]
    treated: Mapped[bool | None]
    used_up_on: Mapped[date | None]
    seeds: Mapped[int | None]  # what was there when it was told, sowings since not taken off
    grams: Mapped[float | None]
    maturity_days: Mapped[int | None]  # of the variety, as its packet says
    spacing_cm: Mapped[float | None]
    note: Mapped[str | None]
    towel: Mapped[Json | None]  # a germination test going on: set_on, of, counts


class Act(Base):
    """One line a member sent that wrote something; undone as a whole."""

    __tablename__ = "acts"
    __table_args__ = (
        UniqueConstraint("group_id", "number"),
        Index("ix_acts_group_id_recorded_at", "group_id", "recorded_at"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    number: Mapped[int]
    kind: Mapped[str] = mapped_column(String(24))
    by_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))  # who said it
    did_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))  # who did it
    for_name: Mapped[str | None]  # a helper without an account
    recorded_at: Mapped[datetime]
    summary: Mapped[Json] = mapped_column(server_default="{}")
    undone_at: Mapped[datetime | None]
    undone_by_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))


class Sowing(Base):
    """One lot or crop in some cells on one day."""

    __tablename__ = "sowings"
    __table_args__ = (
        UniqueConstraint("group_id", "number"),
        Index("ix_sowings_group_id_closed_on", "group_id", "closed_on"),
        Index("ix_sowings_act_id", "act_id"),
        _partly("ix_sowings_speed", "group_id", "number", where="speed_ratio IS NOT NULL"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    act_id: Mapped[int] = mapped_column(ForeignKey("acts.id"))
    number: Mapped[int]
    crop: Mapped[str] = mapped_column(String(40))
    variety: Mapped[str | None]
    lot_id: Mapped[int | None] = mapped_column(ForeignKey("lots.id"))
    tray_id: Mapped[int] = mapped_column(ForeignKey("trays.id"))
    cells: Mapped[str]  # labels, space separated
    sown_on: Mapped[date]
    seeds_per_cell: Mapped[int]
    depth_mm: Mapped[float | None]
    plan_item: Mapped[str | None]
    speed_ratio: Mapped[float | None]  # thermal time taken over the table's, once it is up
    speed_seeds: Mapped[int | None]  # seedlings behind it
    closed_on: Mapped[date | None]
    void: Mapped[bool] = mapped_column(server_default=false())


class Report(Base):
    """One thing that happened to one sowing, tray or shelf (or to the site: none of them)."""

    __tablename__ = "reports"
    __table_args__ = (
        _partly("ix_reports_sowing_id", "sowing_id", where="sowing_id IS NOT NULL"),
        Index("ix_reports_group_id_kind_on_day", "group_id", "kind", "on_day"),
        Index("ix_reports_act_id", "act_id"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    act_id: Mapped[int] = mapped_column(ForeignKey("acts.id"))
    kind: Mapped[str] = mapped_column(String(24))
    sowing_id: Mapped[int | None] = mapped_column(ForeignKey("sowings.id"))
    tray_id: Mapped[int | None] = mapped_column(ForeignKey("trays.id"))
    shelf_id: Mapped[int | None] = mapped_column(ForeignKey("shelves.id"))
    on_day: Mapped[date]
    at: Mapped[datetime]
    values: Mapped[Json] = mapped_column(server_default="{}")
    undone: Mapped[bool] = mapped_column(server_default=false())


class Duty(Base):
    """A member looks after trays on weekdays, or on single days."""

    __tablename__ = "duties"
    __table_args__ = (Index("ix_duties_group_id", "group_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"))
    weekdays: Mapped[str] = mapped_column(String(7), server_default="")  # "024" = Mon Wed Fri
    on_day: Mapped[date | None]
    trays: Mapped[str] = mapped_column(server_default="")  # codes, space separated; "" = all
    instead_of: Mapped[bool] = mapped_column(server_default=false())  # that day replaces the rota
    ended_at: Mapped[datetime | None]


class Absence(Base):
    """A member is away, first and last day included."""

    __tablename__ = "absences"
    __table_args__ = (Index("ix_absences_group_id", "group_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"))
    first_on: Mapped[date]
    last_on: Mapped[date]
    ended_at: Mapped[datetime | None]


class Closure(Base):
    """Days nobody can get in: dates, or a weekday every week."""

    __tablename__ = "closures"
    __table_args__ = (Index("ix_closures_group_id", "group_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    first_on: Mapped[date | None]
    last_on: Mapped[date | None]
    weekday: Mapped[int | None]
    label: Mapped[str | None]
    uid: Mapped[str | None]  # of the calendar event it came from
    ended_at: Mapped[datetime | None]


class Plan(Base):
    """A season worked out; the accepted one gives reminders."""

    __tablename__ = "plans"
    __table_args__ = (Index("ix_plans_group_id", "group_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    made_at: Mapped[datetime]
    accepted_at: Mapped[datetime | None]
    dropped_at: Mapped[datetime | None]
    body: Mapped[Json]


class Wish(Base):
    """Plants a member or family would like."""

    __tablename__ = "wishes"
    __table_args__ = (Index("ix_wishes_group_id", "group_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"))
    for_name: Mapped[str | None]
    crop: Mapped[str] = mapped_column(String(40))
    variety: Mapped[str | None]
    plants: Mapped[int]
    made_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


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
