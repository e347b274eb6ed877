"""Sheets for the wall and tags to take home."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy.orm import Session

from core.errors import NoSuchSowing
from core.group.calendar_dates import dates
from core.group.expected import expected
from core.group.paper import paper_of
from core.group.to_sow import to_sow
from core.handlers.tags import tags_of
from core.records import snapshot
from core.records.chats import platforms_of
from core.replies.base import Reply
from core.replies.sheets import SheetReady, TagsReady
from core.requests import Sheet, Tags
from core.scene import Scene
from core.trade.label_grids import Paper

WEEK_DAYS = 14
ROTA_DAYS = 28


def sheet(request: Sheet, scene: Scene, session: Session) -> Reply:
    """Return what a sheet for the wall holds; raise NoPlan for a season without one."""
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    last = scene.today + timedelta(days=(ROTA_DAYS if request.kind == "rota" else WEEK_DAYS) - 1)
    count = 0
    match request.kind:
        case "sowing":
            count = len(to_sow(garden, scene.today, last))
        case "season":
            from core.handlers import plans
            from core.requests import Season

            plans.season(Season(), scene, session)
        case "rota":
            days = (scene.today + timedelta(days=n) for n in range(ROTA_DAYS))
            count = sum(1 for day in days if not garden.closed(day) and garden.on_duty(day))
        case _:
            count = len(expected(garden, dates(garden, scene.today), scene.today, WEEK_DAYS))
    return SheetReady(
        group_id=scene.group_id,
        kind=request.kind,
        paper=_paper(request.letter_paper, paper_of(garden.site)),
        last=last,
        count=count,
        platforms=platforms_of(session, scene.group_id),
    )


def tags(request: Tags, scene: Scene, session: Session) -> Reply:
    """Return which tags there will be; raise NoSuchSowing when there is nothing to give."""
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    found = tags_of(session, garden, scene.now, scene.today, request.crop)
    if not found:
        raise NoSuchSowing(crop=request.crop)
    return TagsReady(
        group_id=scene.group_id,
        crop=request.crop,
        tags=len(found),
        homes=len({tag.name for tag in found if tag.name}),
        paper=_paper(request.letter_paper, paper_of(garden.site)),
        platforms=platforms_of(session, scene.group_id),
    )


def _paper(letter: bool | None, usual: Paper) -> str:
    if letter is None:
        return usual.value
    return (Paper.LETTER if letter else Paper.A4).value
