"""The group's place, zone, units, language, hours and name."""

from __future__ import annotations

from dataclasses import replace

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from core.apart import apart
from core.handlers import first_minute as fm
from core.handlers import frost
from core.handlers.start import look_again
from core.languages import EACH, LANGUAGES
from core.records import models as m
from core.records import snapshot
from core.replies.base import Option, Reply
from core.replies.site import PlacesFound, SiteSaid
from core.requests import SetSite
from core.scene import Scene
from core.set_up_errors import LanguageUnknown, PlaceUnknown, ZoneUnknown
from core.trade.places import Place, find_place, zone_named

MOST_OPTIONS = 6
LONGEST_NAME = 60


def set_site(request: SetSite, scene: Scene, session: Session) -> Reply:
    """Change what is given, and say what stands.

    A place brings its zone unless one is named too. Local dates already recorded stay as they
    are. Raises PlaceUnknown, ZoneUnknown, LanguageUnknown.
    """
    assert scene.group_id is not None
    group = session.get_one(m.Group, scene.group_id)
    zone = _zone(request)
    place: Place | None = None
    if request.place is not None:
        found = apart(scene, find_place, request.place)
        if not found.places:
            raise PlaceUnknown(place=request.place, nearest=found.nearest)
        if len(found.places) > 1:
            return _which(request, found.places)
        place = found.places[0]
    if request.language is not None and request.language not in (*LANGUAGES, EACH):
        raise LanguageUnknown(language=request.language, known=LANGUAGES)
    before = group.zone
    changed = _write(group, request, place, zone)
    if {"zone", "round", "quiet", "place", "channel"} & set(changed):
        look_again(group, scene)
    return _said(session, scene, group, changed, before)


def _zone(request: SetSite) -> str | None:
    if request.zone is None:
        return None
    zone, nearest = zone_named(request.zone)
    if zone is None:
        raise ZoneUnknown(zone=request.zone, nearest=nearest)
    return zone


def _which(request: SetSite, places: tuple[Place, ...]) -> PlacesFound:
    return PlacesFound(
        question="place",
        options=tuple(
            Option(
                kind="place",
                request=replace(request, place=place.text),
                values={
                    "name": place.name,
                    "region": place.region,
                    "country": place.country,
                    "people": place.people,
                },
            )
            for place in places[:MOST_OPTIONS]
        ),
        values={"name": request.place, "more": max(0, len(places) - MOST_OPTIONS)},
    )


def _write(
    group: m.Group, request: SetSite, place: Place | None, zone: str | None
) -> tuple[str, ...]:
    changed: list[str] = []
    if place is not None:
        group.place = place.short
        group.latitude, group.longitude = place.latitude, place.longitude
        group.zone = place.zone
        if group.frost is not None:
            group.frost = frost.at_place(group.frost, place.latitude, place.longitude)
        changed.append("place")
    if zone is not None:
        group.zone = zone
        changed.append("zone")
    if request.language is not None:
        group.each_language = request.language == EACH
        if request.language != EACH:
            group.language = request.language
        changed.append("language")
    if request.fahrenheit is not None or request.inches is not None:
        if request.fahrenheit is not None:
            group.fahrenheit = request.fahrenheit
        if request.inches is not None:
            group.inches = request.inches
        changed.append("units")
    if request.round_at is not None:
        group.round_at = request.round_at
        changed.append("round")
    if request.quiet_from is not None or request.quiet_to is not None:
        group.quiet_from = request.quiet_from or group.quiet_from
        group.quiet_to = request.quiet_to or group.quiet_to
        changed.append("quiet")
    if request.channel is not None:
        group.channel = request.channel
        changed.append("channel")
    if request.brief is not None:
        group.brief = request.brief
        changed.append("brief")
    if request.name is not None:
        group.name = " ".join(request.name.split())[:LONGEST_NAME] or group.name
        changed.append("name")
    return tuple(changed)


def _said(
    session: Session, scene: Scene, group: m.Group, changed: tuple[str, ...], before: str
) -> SiteSaid:
    from core.due.hours import is_quiet

    site = snapshot.site_of(group)
    missing = list(fm.unanswered(session, group, passed=True))
    if "zone" in missing and group.zone != "UTC":
        missing.remove("zone")

    def count(model: type[m.Shelf] | type[m.Tray], *where: object) -> int:
        query = select(func.count()).where(model.group_id == group.id, *where)  # type: ignore[arg-type]
        return session.scalar(query) or 0

    return SiteSaid(
        site=site,
        changed=changed,
        local_time=fm.local_time(scene.now, group.zone),
        shelves=count(m.Shelf),
        trays=count(m.Tray, m.Tray.retired_on.is_(None)),
        frost=group.frost is not None,
        missing=tuple(missing),
        round_in_quiet="round" in changed and is_quiet(site, group.round_at),
        zone_before=before if before != group.zone else None,
    )
