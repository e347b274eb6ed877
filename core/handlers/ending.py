"""The end of a group: all of it is deleted, once a coordinator has said so twice."""

from __future__ import annotations

from sqlalchemy.orm import Session

from core.handlers.rights import coordinators_only
from core.records import group_end, snapshot
from core.records import models as m
from core.records.export import counts
from core.replies.base import Reply
from core.replies.people import GroupEndAsked, GroupEnded
from core.requests import EndGroup
from core.scene import Scene


def end_group(request: EndGroup, scene: Scene, session: Session) -> Reply:
    """Say what would go, or delete it. Raises CoordinatorsOnly and RightsUnknown."""
    assert scene.group_id is not None
    coordinators_only(scene, session)
    group = session.get_one(m.Group, scene.group_id)
    if not request.sure:
        sowings, reports = counts(session, group.id, None)
        members = snapshot.members(session, group.id)
        return GroupEndAsked(
            group=group.name, members=len(members), sowings=sowings, reports=reports
        )
    group_end.delete_group(session, group.id)
    return GroupEnded()
