"""Read a group for what is drawn or printed, and how to speak to whoever gets it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from sqlalchemy.orm import Session

from bot.wording.voice import Voice
from core.group.garden import Garden
from core.records import models as m
from core.records import snapshot
from core.scene import local_date

Values = Mapping[str, Any]


def read(session: Session, values: Values, now: datetime) -> tuple[Garden, Voice]:
    """Return the group's records and how to speak: as `values` say, else as the group does."""
    group_id = int(values["group_id"])
    row = snapshot.garden(session, group_id, _day(session, group_id, values, now))
    site = row.site
    return row, Voice(
        today=_day(session, group_id, values, now),
        language=str(values.get("language", site.language)),
        fahrenheit=bool(values.get("fahrenheit", site.fahrenheit)),
        inches=bool(values.get("inches", site.inches)),
        zone=site.zone,
        people={number: member.name for number, member in row.members.items()},
        bot_name=str(values.get("bot_name", "")),
    )


def _day(session: Session, group_id: int, values: Values, now: datetime) -> date:
    if values.get("on"):
        return date.fromisoformat(str(values["on"]))
    group = session.get(m.Group, group_id)
    if group is None:
        raise LookupError(group_id)
    return local_date(now, group.zone)
