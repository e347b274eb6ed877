"""Members, one's own settings, the records as files, and being forgotten."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

from core.group.garden import MemberOf
from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class MembersListed(Reply):
    """Everybody in the group, oldest first."""

    members: tuple[MemberOf, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberSaid(Reply):
    """One member as they stand.

    Attributes:
        was: the name before, where it changed.
        changed: `name`, `coordinator`; empty = only looked at.
        cautions: ids of core/data/cautions.toml.
    """

    member: MemberOf
    changed: tuple[str, ...] = ()
    was: str | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberRemoved(Reply):
    """A member was taken out; what they reported stays. `duties` ended with it."""

    name: str
    duties: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MeSaid(Reply):
    """One's own settings; None = the group's hold.

    Attributes:
        changed: parts just set: `name`, `language`, `units`, `reminders`, `hour`, `quiet`,
            `thanks`, `group`.
        groups: (id, name, the member's name there) of each group.
        about: id of the group private messages are about; None = not said.
        cautions: ids of core/data/cautions.toml.
    """

    name: str
    language: str | None
    fahrenheit: bool | None
    inches: bool | None
    reminders: bool
    quiet_from: time | None
    quiet_to: time | None
    groups: tuple[tuple[int, str, str], ...]
    about: int | None
    remind_at: time | None = None
    thanks: bool = False
    changed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgetAsked(Reply):
    """Asked before anything is taken out.

    Attributes:
        groups: names of the groups the speaker belongs to.
        reports: acts said or done by them; count.
    """

    groups: tuple[str, ...]
    reports: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Forgotten(Reply):
    """Name and account are out of the records; `reports` stay without a name; count."""

    reports: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupEndAsked(Reply):
    """Asked before a group is deleted: what would go with it; counts."""

    group: str
    members: int
    sowings: int
    reports: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupEnded(Reply):
    """A group is deleted with all its records."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported(Reply):
    """Records ready as files.

    Attributes:
        own: the speaker's own only.
        sowings, reports: rows in the files; counts.
    """

    group_id: int
    group: str
    member_id: int | None
    own: bool
    sowings: int
    reports: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ExportInPrivate(Reply):
    """Asked in the group: the files hold names, so they come in private only."""
