"""A sowing closes with the last plant that leaves the trays; what was made for it goes too."""

from __future__ import annotations

from dataclasses import replace

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.group.garden import Happening, SowingOf
from core.group.growing import Growing, Stage, follow
from core.records import models as m
from core.records.acts import Entry
from core.scene import Scene


def close_if_gone(session: Session, sowing: SowingOf, entry: Entry, scene: Scene) -> Growing:
    """Close a sowing of which a report just written left nothing indoors.

    Returns where it stands after that report.
    """
    fresh = Happening(
        id=1 << 62, act=0, kind=entry.kind, on=entry.on, at=scene.now, values=entry.values
    )
    reports = sorted((*sowing.happenings, fresh), key=lambda report: (report.on, report.id))
    after = follow(replace(sowing, happenings=tuple(reports)))
    if after.stage is Stage.FINISHED:
        session.get_one(m.Sowing, sowing.id).closed_on = entry.on
    return after


def retire_emptied(session: Session, group_id: int, act_id: int, scene: Scene) -> None:
    """Take trays of pots out of use that a potting up made which was taken back."""
    rows = session.scalars(
        select(m.Tray).where(m.Tray.group_id == group_id, m.Tray.act_id == act_id)
    )
    for row in rows:
        row.retired_on = scene.today
