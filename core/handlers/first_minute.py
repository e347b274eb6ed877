"""The first minute of a group: which question comes next, kept so that it outlives a restart.

`groups.set_up` holds `guide` (questions follow answers), `done`, `skipped` and `open` (steps).
The question asked last stands in the dialogues table, so that typed words answer it.
"""

from __future__ import annotations

from datetime import datetime, time
from zoneinfo import ZoneInfo

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from core import requests as r
from core.records import models as m
from core.replies.base import Choice, Reply
from core.replies.start import Followed, SetUpDone, SetUpQuestion
from core.scene import Scene

STEPS = ("place", "zone", "units", "language", "frost", "shelf", "tray")

KIND = "first_minute"

PREFIXES = {
    "place": '/site place "',
    "zone": "/site ",
    "units": "/site ",
    "language": "/site language ",
    "frost": "/frost ",
    "shelf": "/shelf add A ",
    "tray": "/tray add T1 ",
}
"""Command words that a typed answer completes."""

SUFFIXES = {"place": '"'}


def steps_of(request: r.Request) -> tuple[str, ...]:
    """Return the steps that a request answers."""
    match request:
        case r.SetSite():
            units = request.fahrenheit is not None or request.inches is not None
            found = (
                ("place", request.place is not None),
                ("zone", request.zone is not None),
                ("units", units),
                ("language", request.language is not None),
            )
            return tuple(step for step, said in found if said)
        case r.SetFrost():
            return ("frost",)
        case r.SetShelf():
            return ("shelf",) if request.code is not None else ()
        case r.SetTray():
            return () if request.retired else ("tray",)
    return ()


def mark(group: m.Group, state: str, *steps: str) -> None:
    """Put steps under `done`, `skipped` or `open`, and nowhere else."""
    kept = dict(group.set_up or {})
    for name in ("done", "skipped", "open"):
        held = [step for step in kept.get(name, ()) if step not in steps]
        kept[name] = [*held, *steps] if name == state else held
    group.set_up = kept


def guide(group: m.Group, on: bool, *, again: bool = False) -> None:
    """Turn the guided questions on or off; `again`: what was passed over is asked once more."""
    kept = {**(group.set_up or {}), "guide": on}
    if again:
        kept["skipped"] = []
        kept["open"] = []
    group.set_up = kept


def guided(group: m.Group) -> bool:
    """Whether questions follow answers."""
    return bool((group.set_up or {}).get("guide"))


def unanswered(session: Session, group: m.Group, *, passed: bool = False) -> tuple[str, ...]:
    """Return the steps still to be asked, in order; `passed`: those passed over count too."""
    kept = group.set_up or {}
    answered = set(kept.get("done", ()))
    if not passed:
        answered |= set(kept.get("skipped", ())) | set(kept.get("open", ()))
    if group.place:
        answered.add("place")
    if group.frost:
        answered.add("frost")
    for step, model in (("shelf", m.Shelf), ("tray", m.Tray)):
        if session.scalar(select(func.count()).where(model.group_id == group.id)):
            answered.add(step)
    return tuple(step for step in STEPS if step not in answered)


def ask_next(session: Session, scene: Scene, group: m.Group) -> SetUpQuestion | SetUpDone:
    """Return the next question and remember it as asked; or say that all is done."""
    left = unanswered(session, group)
    _close(session, scene)
    if not left:
        guide(group, False)
        tray = session.scalars(
            select(m.Tray.code).where(m.Tray.group_id == group.id).order_by(m.Tray.id).limit(1)
        ).first()
        return SetUpDone(left=unanswered(session, group, passed=True), tray=tray)
    step = left[0]
    shelf = session.scalars(
        select(m.Shelf.code).where(m.Shelf.group_id == group.id).order_by(m.Shelf.id).limit(1)
    ).first()
    prefix = PREFIXES[step]
    if step == "tray" and shelf is not None:
        prefix += f"shelf {shelf} "
    if scene.person_id is not None:
        session.add(
            m.Dialogue(
                chat_id=scene.chat_id,
                person_id=scene.person_id,
                group_id=group.id,
                kind=KIND,
                state={
                    "prefix": prefix,
                    "suffix": SUFFIXES.get(step, ""),
                    "step": step,
                },
                asked_at=scene.now,
                ended_at=None,
            )
        )
    return SetUpQuestion(
        step=step,
        number=STEPS.index(step) + 1,
        of=len(STEPS),
        place=group.place,
        zone=group.zone,
        local_time=local_time(scene.now, group.zone),
        code={"shelf": "A", "tray": "T1"}.get(step, ""),
        shelf=shelf if step == "tray" else None,
    )


def local_time(now: datetime, zone: str) -> time:
    """Return what the clocks of a zone show."""
    return now.astimezone(ZoneInfo(zone)).time().replace(second=0, microsecond=0)


def pause(session: Session, scene: Scene, group: m.Group) -> tuple[str, ...]:
    """Stop asking; return what is left."""
    _close(session, scene)
    guide(group, False)
    return unanswered(session, group, passed=True)


def _close(session: Session, scene: Scene) -> None:
    rows = session.scalars(
        select(m.Dialogue).where(
            m.Dialogue.chat_id == scene.chat_id,
            m.Dialogue.person_id == scene.person_id,
            m.Dialogue.kind == KIND,
            m.Dialogue.ended_at.is_(None),
        )
    )
    for row in rows:
        row.ended_at = scene.now


def followed(request: r.Request, reply: Reply, scene: Scene, session: Session) -> Reply:
    """Return a set-up reply with the next question, while the first minute runs."""
    steps = steps_of(request)
    if not steps or scene.group_id is None or isinstance(reply, Choice):
        return reply
    group = session.get_one(m.Group, scene.group_id)
    mark(group, "done", *steps)
    if not guided(group):
        return reply
    following = ask_next(session, scene, group)
    return Followed(
        reply=reply,
        following=following,
        language=group.language,
        fahrenheit=group.fahrenheit,
        inches=group.inches,
    )
