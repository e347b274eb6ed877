"""Who may set up. The messenger is asked again before somebody does who runs the chat by it."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.errors import CoordinatorsOnly, RightsUnknown
from core.records import models as m
from core.records import people
from core.scene import Scene, Standing


class RightsWanted(Exception):
    """Whether the speaker runs the chat must be asked of the messenger first.

    Attributes:
        chat: the messenger's id of the group's chat.
    """

    def __init__(self, chat: str) -> None:
        super().__init__()
        self.chat = chat


def coordinates(scene: Scene, session: Session) -> bool:
    """Return whether the speaker coordinates; raise RightsWanted where that may be over."""
    if scene.coordinator:
        _ask(scene, session)
    return scene.coordinator


def coordinators_only(scene: Scene, session: Session) -> None:
    """Raise CoordinatorsOnly, RightsUnknown, or RightsWanted for one who may run the chat now."""
    _ask(scene, session)
    if scene.coordinator:
        return
    if scene.standing is Standing.UNKNOWN:
        raise RightsUnknown()
    raise CoordinatorsOnly(coordinators=coordinators(session, scene.group_id or 0))


def ask_first(scene: Scene, session: Session) -> None:
    """Raise RightsWanted unless the messenger has just been asked, or there is none to ask."""
    _ask(scene, session)


def _ask(scene: Scene, session: Session) -> None:
    if scene.standing is not Standing.OLD or scene.appointed:
        return
    chat = session.get_one(m.Chat, scene.chat_id)
    if scene.group_id is not None:
        chat = people.group_chat(session, scene.group_id) or chat
    raise RightsWanted(chat.platform_chat)


def coordinators(session: Session, group_id: int) -> tuple[str, ...]:
    """Return the names of a group's coordinators."""
    return tuple(
        session.scalars(
            select(m.Member.name)
            .where(m.Member.group_id == group_id, m.Member.coordinates, m.Member.left_at.is_(None))
            .order_by(m.Member.id)
        )
    )
