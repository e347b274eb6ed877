"""Who speaks, where and when: handed to every handler beside the request."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any
from zoneinfo import ZoneInfo


class Standing(StrEnum):
    """What the messenger says of the speaker's standing in the group's chat."""

    RECORDED = "recorded"  # there is nobody to ask: the records decide
    OLD = "old"  # what is on record was said some time ago
    ADMIN = "admin"
    PLAIN = "plain"
    UNKNOWN = "unknown"  # asked, and not told


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """The occasion of one request.

    Attributes:
        now: aware UTC instant.
        group_id: the group spoken of; None before there is one.
        member_id: the speaker's membership there; None for a stranger.
        person_id: the speaker's account.
        chat_id: row of the chat it was said in.
        private: said in a private chat.
        coordinator: may set up, as far as known.
        appointed: may, whatever the messenger says of them.
        standing: what the messenger says of them.
        zone: the site's IANA zone name.
        inbox_id: the stored update this came from, so that a reply has a natural key.
        line: which line of its message this is, from 0.
        worked: what was worked out for it beforehand (core/apart.py); None = work it out here.
        language: the speaker's language as the messenger gives it, ISO 639-1.
    """

    now: datetime
    group_id: int | None
    member_id: int | None
    person_id: int | None
    chat_id: int
    private: bool
    coordinator: bool
    appointed: bool = False
    standing: Standing = Standing.RECORDED
    zone: str = "UTC"
    inbox_id: int | None = None
    line: int = 0
    worked: Mapping[str, Any] | None = None
    language: str | None = None

    @property
    def today(self) -> date:
        """The site's local date."""
        return local_date(self.now, self.zone)


def local_date(instant: datetime, zone: str) -> date:
    """Return the date a clock on the wall shows at an aware instant."""
    return instant.astimezone(ZoneInfo(zone)).date()
