"""Draw what a message carries: pictures, labels, files.

A message in the outbox names its attachments; they are drawn when they are sent, from the records
as they then are, for the day the message speaks of. The same records and day give the same bytes,
so that a messenger's own name of a file sent before can be used again.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from bot.wording.voice import Voice
from core.garden import Garden
from core.records import snapshot
from core.records.database import Database
from core.scene import local_date

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from bot.pictures.model import Drawing

Values = Mapping[str, Any]

PICTURES = ("tray", "curve", "season", "space", "log")
PAPERS = ("labels", "report", "export", "calendar")


def content(database: Database, attachment: Mapping[str, Any], now: datetime) -> bytes:
    """Return the bytes of an attachment of a message's body: a PNG, PDF, ZIP or calendar.

    Args:
        attachment: `what`, and `values` as JSON values; see bot.message.Attachment.
        now: aware UTC instant; the day drawn is `values["on"]`, else the site's date then.

    Raises ValueError for a drawing nobody knows, LookupError for a group that is gone, and
    UserError (TrayUnknown ...) when what is to be drawn is gone.
    """
    what, values = str(attachment["what"]), attachment.get("values", {})
    if what in PICTURES:
        from bot.pictures.render import png

        return png(drawing(database, what, values, now))
    match what:
        case "labels":
            from bot.papers import labels

            return labels.content(database, values, now)
        case "report":
            from bot.papers import report

            return report.content(database, values, now)
        case "calendar":
            from bot.papers import calendar

            return calendar.content(database, values, now)
        case "export":
            from bot.papers.export import export_zip

            with database.transaction() as session:
                return export_zip(session, values, now)
        case _:
            raise ValueError(what)


def caption(database: Database, attachment: Mapping[str, Any], now: datetime) -> str:
    """Return what a picture shows, in words; empty for a file. Raises as `content` does."""
    what = str(attachment["what"])
    if what not in PICTURES:
        return ""
    return drawing(database, what, attachment.get("values", {}), now).caption


def drawing(database: Database, what: str, values: Values, now: datetime) -> Drawing:
    """Return one of PICTURES before it is painted; raises as `content` does.

    Records are read in one short transaction and drawn after it.
    """
    with database.transaction() as session:
        garden, voice = read(session, values, now)
        if what == "tray":
            more: Any = None
        else:
            raise ValueError(what)
    match what:
        case "tray":
            from bot.pictures import tray

            return tray.drawing(garden, str(values["tray"]), voice)
        case _:
            raise ValueError(what, more)


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
    from core.records import models as m

    if values.get("on"):
        return date.fromisoformat(str(values["on"]))
    group = session.get(m.Group, group_id)
    if group is None:
        raise LookupError(group_id)
    return local_date(now, group.zone)
