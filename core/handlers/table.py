"""Which handler answers which request.

Each handler is imported when its request first comes, so that start-up stays short. A test holds
that every request of `core/requests` has one.
"""

from __future__ import annotations

from dataclasses import replace

from sqlalchemy.orm import Session

from core import requests as r
from core.errors import NoGroupHere, NotMember, WhoAreYou
from core.handlers.rights import coordinators_only
from core.records.acts import lock_group
from core.replies.base import NothingRecorded, Reply, Wrote
from core.scene import Scene

ANYBODY = (r.Start, r.Nothing, r.Help, r.Me, r.ForgetMe, r.CropInfo)  # answered without a group
SET_UP = (r.SetSite, r.SetFrost, r.SetShelf, r.SetTray, r.SetClosed, r.SetMember)
# set-up requests that only look are for every member


def answer(request: r.Request, scene: Scene, session: Session) -> Reply:
    """Return the reply to a request, checked for who may ask it.

    Raises NoGroupHere, NotMember, WhoAreYou, CoordinatorsOnly, and the handler's own UserErrors.
    """
    allowed(request, scene, session)
    if scene.group_id is not None and not isinstance(request, ANYBODY):
        lock_group(session, scene.group_id)  # one writer a group at a time, from the first read
    reply = _handled(request, scene, session)
    if isinstance(reply, Wrote) and reply.for_name is not None:
        from core.handlers.name_cautions import name_cautions

        cautions = name_cautions(session, scene.group_id, reply.for_name)
        reply = replace(reply, cautions=(*reply.cautions, *cautions))
    if isinstance(request, SET_UP) and changes(request):
        from core.handlers.first_minute import followed

        return followed(request, reply, scene, session)
    return reply


def allowed(request: r.Request, scene: Scene, session: Session) -> None:
    """Raise NoGroupHere, NotMember, WhoAreYou or CoordinatorsOnly where one may not ask."""
    if isinstance(request, ANYBODY):
        return
    if scene.person_id is None:
        raise WhoAreYou()
    if scene.group_id is None:
        raise NoGroupHere()
    if scene.member_id is None:
        raise NotMember()
    if isinstance(request, SET_UP) and changes(request):
        coordinators_only(scene, session)


def _handled(request: r.Request, scene: Scene, session: Session) -> Reply:
    match request:
        case r.Nothing():
            return NothingRecorded()
        case r.Instead():
            from core.handlers.undo import undo

            undo(r.Undo(report=request.report), scene, session)
            return _handled(request.what, scene, session)
        case r.Lead():
            from core.handlers.leading import lead

            return lead(request, scene, session)
        case r.Start():
            from core.handlers.start import start

            return start(request, scene, session)
        case r.SetSite():
            from core.handlers.site import set_site

            return set_site(request, scene, session)
        case r.SetFrost():
            from core.handlers.frost import set_frost

            return set_frost(request, scene, session)
        case r.SetShelf():
            from core.handlers.shelves import set_shelf

            return set_shelf(request, scene, session)
        case r.SetTray():
            from core.handlers.shelves import set_tray

            return set_tray(request, scene, session)
        case r.SetLot():
            from core.handlers.lots import set_lot

            return set_lot(request, scene, session)
        case r.SetDuty():
            from core.handlers.duty import set_duty

            return set_duty(request, scene, session)
        case r.SetAway():
            from core.handlers.duty import set_away

            return set_away(request, scene, session)
        case r.Rehearse():
            from core.handlers.rehearsal import rehearsal

            return rehearsal(request, scene, session)
        case r.SetPause():
            from core.handlers.pauses import set_pause

            return set_pause(request, scene, session)
        case r.SetReminder():
            from core.handlers.reminders import set_reminder

            return set_reminder(request, scene, session)
        case r.EndReminder():
            from core.handlers.reminders import end_reminder

            return end_reminder(request, scene, session)
        case r.SetClosed():
            from core.handlers.closures import set_closed

            return set_closed(request, scene, session)
        case r.Swap():
            from core.handlers.swaps import swap

            return swap(request, scene, session)
        case r.Break():
            from core.handlers.breaks import before_or_after

            return before_or_after(request, scene, session)
        case r.SetMember():
            from core.handlers.people import set_member

            return set_member(request, scene, session)
        case r.When():
            from core.handlers.dates import when

            return when(request, scene, session)
        case r.CropInfo():
            from core.handlers.dates import crop_info

            return crop_info(request, scene, session)
        case r.HowMany():
            from core.handlers.amounts import how_many

            return how_many(request, scene, session)
        case r.MakePlan():
            from core.handlers.plans import make_plan

            return make_plan(request, scene, session)
        case r.Season():
            from core.handlers.plans import season

            return season(request, scene, session)
        case r.Calendar():
            from core.handlers.calendar import calendar

            return calendar(request, scene, session)
        case r.Sow():
            from core.handlers.sowing import sow

            return sow(request, scene, session)
        case r.Up():
            from core.handlers.counts import up

            return up(request, scene, session)
        case r.Thinned():
            from core.handlers.growing_on import thinned

            return thinned(request, scene, session)
        case r.Potted():
            from core.handlers.potting import potted

            return potted(request, scene, session)
        case r.Move():
            from core.handlers.potting import move

            return move(request, scene, session)
        case r.Harden():
            from core.handlers.outdoors import harden

            return harden(request, scene, session)
        case r.Watered():
            from core.handlers.care import watered

            return watered(request, scene, session)
        case r.Moist():
            from core.handlers.care import moist

            return moist(request, scene, session)
        case r.Fed():
            from core.handlers.care import fed

            return fed(request, scene, session)
        case r.Note():
            from core.handlers.care import note

            return note(request, scene, session)
        case r.Temp():
            from core.handlers.readings import temp

            return temp(request, scene, session)
        case r.Light():
            from core.handlers.readings import light

            return light(request, scene, session)
        case r.Out():
            from core.handlers.outdoors import out

            return out(request, scene, session)
        case r.Planted():
            from core.handlers.outdoors import planted

            return planted(request, scene, session)
        case r.Lost():
            from core.handlers.losses import lost

            return lost(request, scene, session)
        case r.Undo():
            from core.handlers.undo import undo

            return undo(request, scene, session)
        case r.Done():
            from core.handlers.done import done

            return done(request, scene, session)
        case r.Due():
            from core.handlers.looks import due

            return due(request, scene, session)
        case r.Trays():
            from core.handlers.looks import trays

            return trays(request, scene, session)
        case r.ShowTray():
            from core.handlers.looks import tray

            return tray(request, scene, session)
        case r.ShowShelf():
            from core.handlers.looks import shelf

            return shelf(request, scene, session)
        case r.Curve():
            from core.handlers.results import curve

            return curve(request, scene, session)
        case r.Results():
            from core.handlers.results import results

            return results(request, scene, session)
        case r.Compare():
            from core.handlers.results import compare

            return compare(request, scene, session)
        case r.Ask():
            from core.handlers.trouble import ask

            return ask(request, scene, session)
        case r.Answer():
            from core.handlers.trouble import answer

            return answer(request, scene, session)
        case r.Wish():
            from core.handlers.shares import wish

            return wish(request, scene, session)
        case r.ShareOut():
            from core.handlers.shares import share

            return share(request, scene, session)
        case r.Sheet():
            from core.handlers.sheets import sheet as wall_sheet

            return wall_sheet(request, scene, session)
        case r.Tags():
            from core.handlers.sheets import tags

            return tags(request, scene, session)
        case r.Labels():
            from core.handlers.labels import sheet

            return sheet(request, scene, session)
        case r.Me():
            from core.handlers.people import me

            return me(request, scene, session)
        case r.Import():
            from core.handlers.importing import import_file

            return import_file(request, scene, session)
        case r.Export():
            from core.handlers.people import export

            return export(request, scene, session)
        case r.EndGroup():
            from core.handlers.ending import end_group

            return end_group(request, scene, session)
        case r.ForgetMe():
            from core.handlers.people import forget_me

            return forget_me(request, scene, session)
        case r.Help():
            from core.handlers.start import help_

            return help_(request, scene, session)
        case _:
            raise TypeError(f"no handler for {type(request).__name__}")


def changes(request: r.Request) -> bool:
    """Whether a set-up request changes something, rather than shows what stands."""
    return request != _shows(type(request))


def _shows(kind: type[r.Request]) -> r.Request | None:
    return None if kind is r.SetTray else kind()
