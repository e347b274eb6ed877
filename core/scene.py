"""Who speaks, where and when: handed to every handler beside the request."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo


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
        coordinator: may set up.
        zone: the site's IANA zone name.
        inbox_id: the stored update this came from, so that a reply has a natural key.
        language: the speaker's language as the messenger gives it, ISO 639-1.
    """

    now: datetime
    group_id: int | None
    member_id: int | None
    person_id: int | None
    chat_id: int
    private: bool
    coordinator: bool
    zone: str = "UTC"
    inbox_id: int | None = None
    language: str | None = None

    @property
    def today(self) -> date:
        """The site's local date."""
        return local_date(self.now, self.zone)


def local_date(instant: datetime, zone: str) -> date:
    """Return the date a clock on the wall shows at an aware instant."""
    return instant.astimezone(ZoneInfo(zone)).date()
