"""Which subject answers which request. Modules are imported when first needed."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from sqlalchemy.orm import Session

from core import requests as r
from core.errors import CoordinatorsOnly, NoGroupHere, NotMember, WhoAreYou
from core.records.acts import lock_group
from core.replies.base import Reply, Wrote
from core.scene import Scene

Handler = Callable[[Any, Scene, Session], Reply]

SUBJECTS: Mapping[type[r.Request], str] = {
    r.Start: "start",
    r.SetSite: "site",
    r.SetFrost: "frost",
    r.SetShelf: "shelves",
    r.SetTray: "shelves",
    r.SetLot: "lots",
    r.SetDuty: "duty",
    r.SetAway: "duty",
    r.SetClosed: "duty",
    r.Swap: "duty",
    r.Break: "breaks",
    r.SetMember: "people",
    r.When: "dates",
    r.CropInfo: "dates",
    r.HowMany: "amounts",
    r.MakePlan: "plans",
    r.Season: "plans",
    r.Calendar: "calendar",
    r.Sow: "sowing",
    r.Up: "counts",
    r.Thinned: "growing_on",
    r.Potted: "growing_on",
    r.Watered: "care",
    r.Moist: "care",
    r.Fed: "care",
    r.Note: "care",
    r.Temp: "readings",
    r.Light: "readings",
    r.Out: "outdoors",
    r.Planted: "outdoors",
    r.Lost: "outdoors",
    r.Undo: "undo",
    r.Done: "done",
    r.Due: "looks",
    r.Trays: "looks",
    r.ShowTray: "looks",
    r.ShowShelf: "looks",
    r.Curve: "results",
    r.Results: "results",
    r.Compare: "results",
    r.Ask: "trouble",
    r.Answer: "trouble",
    r.Wish: "shares",
    r.ShareOut: "shares",
    r.Labels: "labels",
    r.Me: "people",
    r.Export: "people",
    r.ForgetMe: "people",
    r.Help: "start",
}

ANYBODY = (r.Start, r.Help, r.Me, r.ForgetMe, r.CropInfo)  # answered without a group
SET_UP = (r.SetSite, r.SetFrost, r.SetShelf, r.SetTray, r.SetClosed, r.SetMember)
# set-up requests that only look are for every member


def answer(request: r.Request, scene: Scene, session: Session) -> Reply:
    """Return the reply to a request, checked for who may ask it.

    Raises NoGroupHere, NotMember, WhoAreYou, CoordinatorsOnly, and the handler's own UserErrors.
    """
    if not isinstance(request, ANYBODY):
        if scene.person_id is None:
            raise WhoAreYou()
        if scene.group_id is None:
            raise NoGroupHere()
        if scene.member_id is None:
            raise NotMember()
        if not scene.coordinator and isinstance(request, SET_UP) and changes(request):
            raise CoordinatorsOnly(coordinators=_coordinators(session, scene.group_id))
        lock_group(session, scene.group_id)  # one writer a group at a time, from the first read
    subject = importlib.import_module(f"core.handlers.{SUBJECTS[type(request)]}")
    handlers: Mapping[type, Handler] = subject.HANDLERS
    reply = handlers[type(request)](request, scene, session)
    if isinstance(reply, Wrote) and reply.for_name is not None:
        from core.handlers.name_cautions import name_cautions

        cautions = name_cautions(session, scene.group_id, reply.for_name)
        reply = replace(reply, cautions=(*reply.cautions, *cautions))
    if isinstance(request, SET_UP) and changes(request):
        from core.handlers.first_minute import followed

        return followed(request, reply, scene, session)
    return reply


def _coordinators(session: Session, group_id: int) -> tuple[str, ...]:
    from core.records.snapshot import members

    return tuple(m.name for m in members(session, group_id).values() if m.coordinator)


def changes(request: r.Request) -> bool:
    """Whether a set-up request changes something, rather than shows what stands."""
    return request != _shows(type(request))


def _shows(kind: type[r.Request]) -> r.Request | None:
    return None if kind is r.SetTray else kind()
