"""Draw what a message carries: pictures, labels, files.

A message in the outbox names its attachments; they are drawn when they are sent, from the records
as they then are, for the day the message speaks of. The same records and day give the same bytes,
so that a messenger's own name of a file sent before can be used again.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from bot.papers.read_group import read
from bot.wording.voice import Voice
from core.group.garden import Garden
from core.records import snapshot
from core.records.database import Database

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from bot.pictures.model import Drawing

Values = Mapping[str, Any]

PICTURES = ("tray", "curve", "season", "space", "log")
PAPERS = ("labels", "report", "export", "calendar", "sheet", "tags")


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
            from bot.papers.labels import content as labels

            return labels(database, values, now)
        case "sheet":
            from bot.papers.sheets import content as sheet

            def draw(page: int) -> Drawing:
                return drawing(database, "season", {**values, "page": page}, now)

            return sheet(database, values, now, draw)
        case "tags":
            from bot.papers.tags import content as tags

            return tags(database, values, now)
        case "report":
            from bot.papers.report import content as report

            return report(database, values, now)
        case "calendar":
            from bot.papers.calendar import content as calendar

            return calendar(database, values, now)
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
    more: Any = None
    with database.transaction() as session:
        garden, voice = read(session, values, now)
        if what == "curve":
            more = snapshot.all_sowings(session, garden.site.group_id)
        elif what == "season":
            more = _season(session, garden, now)
        elif what == "space":
            more = _space(session, garden, values.get("plan"))
    return _drawn(what, values, garden, voice, more)


def _drawn(what: str, values: Values, garden: Garden, voice: Voice, more: Any) -> Drawing:
    from bot.pictures import curve, log, season, space, tray

    match what:
        case "tray":
            return tray.drawing(garden, str(values["tray"]), voice)
        case "curve":
            return curve.drawing(garden, more, [str(c) for c in values["sowings"]], voice)
        case "season":
            return season.drawing(garden, more, voice, int(values.get("page", 1)))
        case "space":
            return space.drawing(more, voice, garden)
        case "log":
            return log.drawing(garden, str(values["shelf"]), voice)
        case _:
            raise ValueError(what)


def _season(session: Session, garden: Garden, now: datetime) -> Any:
    """Return the season in lines as `/season` answers it; raises NoPlan for an empty one."""
    from core.handlers import plans
    from core.requests import Season
    from core.scene import Scene

    scene = Scene(
        now=now,
        group_id=garden.site.group_id,
        member_id=None,
        person_id=None,
        chat_id=0,
        private=False,
        coordinator=False,
        zone=garden.site.zone,
    )
    return plans.season(Season(), scene, session)


def _space(session: Session, garden: Garden, plan_id: int | None) -> Values:
    """Return the space of a plan of the group, of the accepted one when none is named."""
    from core.records import models as m

    body = garden.plan or {}
    if plan_id is not None:
        row = session.get(m.Plan, int(plan_id))
        if row is not None and row.group_id == garden.site.group_id:
            body = row.body
    space: Values = body.get("space", {})
    return space
