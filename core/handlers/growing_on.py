"""Thinning; what a sowing that came up teaches about the site."""

from __future__ import annotations

from sqlalchemy.orm import Session

from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import follow
from core.group.parts import Place
from core.handlers.aim import choose, source_values, sowings_meant
from core.handlers.doers import doer, named
from core.handlers.sowing import day_of
from core.records import models as m
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Reply
from core.replies.reports import CareRecorded
from core.report_kinds import ReportKind
from core.requests import Thinned
from core.scene import Scene


def thinned(request: Thinned, scene: Scene, session: Session) -> Reply:
    """Record thinning of every sowing named."""
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    meant = sowings_meant(garden, request.where)
    found = [p for p in meant if p[1].up > 0] or meant
    found = [p for p in found if p[1].place is Place.CELLS] or found
    if request.where.empty:
        many = [p for p in found if p[0].seeds_per_cell > 1 and p[1].thinned_on is None]
        found = many or found
        if len(found) > 1:
            return choose(request, found)
    on = day_of(request, scene, earliest=max(s.sown_on for s, _ in found), what="")
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.THINNED,
        tuple(
            Entry(
                kind=ReportKind.THINNED,
                on=on,
                values={
                    "per_cell": request.per_cell,
                    **source_values(garden, growing, request.where),
                },
                sowing=sowing.id,
            )
            for sowing, growing in found
        ),
        did=did,
        for_name=for_name,
        summary={"targets": [sowing.code for sowing, _ in found]},
    )
    for sowing, _ in found:
        learn(session, garden, sowing)
    return CareRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        kind="thinned",
        targets=tuple(sowing.code for sowing, _ in found),
        on=on,
        values={"per_cell": request.per_cell},
    )


def learn(session: Session, garden: Garden, sowing: SowingOf) -> None:
    """Keep how fast a sowing came up, now that its emergence is over."""
    speed = outlook.speed_of(garden, sowing, follow(sowing))
    row = session.get_one(m.Sowing, sowing.id)
    row.speed_ratio, row.speed_seeds = speed if speed is not None else (None, None)
