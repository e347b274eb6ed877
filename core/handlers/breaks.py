"""What to do before a closure, and what to look at after it."""

from __future__ import annotations

from sqlalchemy.orm import Session

from core.group import outlook
from core.group.breaks import after_checks, break_plan, coming_break, past_break
from core.records import snapshot
from core.replies.base import Reply
from core.replies.breaks import BreakAhead, BreakOver, NoBreakAhead
from core.requests import Break
from core.scene import Scene


def before_or_after(request: Break, scene: Scene, session: Session) -> Reply:
    """Return what the next break needs, or the check list after the last one."""
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    if request.after:
        mats = [
            code
            for code, shelf in garden.shelves.items()
            if shelf.heat_mat
            and any(
                not growing.up
                for tray, held in garden.trays.items()
                if held.shelf == code
                for _, growing in outlook.in_tray(garden, tray)
            )
        ]
        return BreakOver(
            stretch=past_break(garden, scene.today),
            checks=after_checks(garden, scene.today),
            mats=tuple(mats),
        )
    stretch = coming_break(garden, scene.today)
    if stretch is None:
        return NoBreakAhead()
    return BreakAhead(
        plan=break_plan(garden, stretch, scene.today), begun=stretch.first <= scene.today
    )
