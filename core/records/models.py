"""The tables. Instants are aware UTC; local dates are the site's; amounts are SI.

Reports are append-only: an act (one member's message line) holds its reports, and undoing marks
the act, never erases. A notice is what was due; an outbox row is one message to one chat.
"""

from __future__ import annotations

from datetime import date, datetime, time

from sqlalchemy import (
    JSON,
    ColumnElement,
    ForeignKey,
    Index,
    String,
    UniqueConstraint,
    false,
    or_,
    text,
    true,
)
from sqlalchemy.ext.hybrid import hybrid_property
from sqlalchemy.orm import Mapped, mapped_column

from core.records.columns import Base, BigId, Instant, Json, partly
from core.records.traffic import (
    Dialogue,
    Inbox,
    Lease,
    Mark,
    Notice,
    Outbox,
    Press,
    SentFile,
)

__all__ = [
    "Absence",
    "Act",
    "Base",
    "BigId",
    "Chat",
    "Closure",
    "Dialogue",
    "Duty",
    "Group",
    "Inbox",
    "Instant",
    "Json",
    "Lease",
    "Lot",
    "Mark",
    "Member",
    "Notice",
    "Outbox",
    "Person",
    "Plan",
    "Press",
    "Reminder",
    "Report",
    "SentFile",
    "Shelf",
    "Sowing",
    "Tray",
    "Wish",
]


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
    each_language: Mapped[bool] = mapped_column(server_default=false())  # answered as it is asked
    brief: Mapped[bool] = mapped_column(server_default=false())  # plain reports get a mark
    fahrenheit: Mapped[bool] = mapped_column(server_default=false())
    inches: Mapped[bool] = mapped_column(server_default=false())
    round_at: Mapped[time] = mapped_column(server_default=text("'07:30:00'"))
    quiet_from: Mapped[time] = mapped_column(server_default=text("'21:00:00'"))
    quiet_to: Mapped[time] = mapped_column(server_default=text("'07:00:00'"))
    channel: Mapped[str] = mapped_column(String(8), server_default="both")  # of reminders
    paused_until: Mapped[date | None]  # reminders rest until this day; core/group/pauses.py
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
    paused_until: Mapped[date | None]  # reminders rest until this day; core/group/pauses.py

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
        partly("ix_chats_group_id", "group_id", where="group_id IS NOT NULL"),
        partly("ix_chats_person_id", "person_id", where="person_id IS NOT NULL"),
        partly("ix_chats_nobodys", "id", where="private AND person_id IS NULL"),
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
    paused_until: Mapped[date | None]  # reminders rest until this day; core/group/pauses.py
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
    seeds: Mapped[int | None]  # told, and what had been sown by then: sowings are taken off it
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
        partly("ix_sowings_speed", "group_id", "number", where="speed_ratio IS NOT NULL"),
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
        partly("ix_reports_sowing_id", "sowing_id", where="sowing_id IS NOT NULL"),
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


class Reminder(Base):
    """What a member asked to be reminded of; `member_id` empty = whoever is on duty that day."""

    __tablename__ = "reminders"
    __table_args__ = (Index("ix_reminders_group_id_on_day", "group_id", "on_day"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    group_id: Mapped[int] = mapped_column(ForeignKey("groups.id"))
    asked_by_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))
    member_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))
    on_day: Mapped[date]
    text: Mapped[str] = mapped_column(String(200))
    ended_at: Mapped[datetime | None]  # done or taken back
    done_by_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))


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
