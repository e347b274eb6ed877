"""Set or show the site's frost dates: one date, dates by chance, or a file of daily minima.

The group's row keeps them as JSON: `last` and `first` (core/trade/frost/store.py), `given`
(the dates as a member gave them), `file` (what was read and set aside) and `hemisphere` with
what told it.
"""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from core.apart import apart
from core.errors import (
    FrostDateOffSeason,
    FrostDatesOrder,
    HemisphereUnknown,
    NoFrostYet,
    NoSeasonsInRecord,
)
from core.group.garden import Garden
from core.handlers.frost_stands import LEVELS, frost_said, moved
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.requests import SetFrost
from core.scene import Scene
from core.trade.frost.dates import FrostBasis, FrostDates
from core.trade.frost.estimate import (
    dates_from_levels,
    dates_from_record,
    dates_from_typical,
)
from core.trade.frost.file import DailyMinima, read_minima
from core.trade.frost.headers import TempUnit
from core.trade.frost.seasons import (
    FrostSide,
    Hemisphere,
    frost_record,
    hemisphere_at,
    hemisphere_shown,
    season_day,
)
from core.trade.frost.spread import spread_days
from core.trade.frost.store import frost_values

OFF_SEASON_DAYS = 120
"""A last frost in the first four months of the cold season, or a first frost in its last four,
is taken for a slip: it would be an autumn, or a spring, date. Own choice."""
MOST_ABSURD = 5

Stored = dict[str, Any]


def set_frost(request: SetFrost, scene: Scene, session: Session) -> Reply:
    """Keep the frost dates given, or show those that stand.

    Raises the errors of core/trade/frost/file.py and core/trade/frost/estimate.py,
    FrostDateOffSeason, HemisphereUnknown, and NoFrostYet when there is nothing to show.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    before = dict(garden.site.frost or {})
    if request.file_text is not None:
        stored, against = _of_file(request, garden, scene)
    elif _dates(request):
        stored, against = _of_dates(request, garden, before), False
    else:
        if not before:
            raise NoFrostYet()
        return frost_said(garden, scene.today, changed=False)
    dropped = "first" in before and "first" not in stored
    group = session.get_one(m.Group, scene.group_id)
    group.frost = stored
    session.flush()
    after = replace(garden, site=replace(garden.site, frost=stored))
    return replace(
        frost_said(after, scene.today, changed=True),
        against_place=against,
        first_dropped=dropped,
        moved=moved(garden, after, scene.today),
        put_back=_put_back(before),
        or_first=_or_first(request, stored),
    )


def _dates(request: SetFrost) -> bool:
    every = (request.typical, request.late, request.middle, request.early, request.first)
    return any(day is not None for day in every)


# --- a file -------------------------------------------------------------------------------


def _of_file(request: SetFrost, garden: Garden, scene: Scene) -> tuple[Stored, bool]:
    """Return what to keep of a file, and whether its winter contradicts the place."""
    unit = {None: None, True: TempUnit.FAHRENHEIT, False: TempUnit.CELSIUS}[request.fahrenheit]
    minima = apart(scene, read_minima, request.file_text or "", unit=unit)
    by_place = _hemisphere_of_place(garden)
    try:
        hemisphere, told_by = hemisphere_shown(minima.days), "file"
    except HemisphereUnknown:
        if by_place is None:
            raise
        hemisphere, told_by = by_place, "place"
    record = frost_record(minima.days, hemisphere)
    stored: Stored = {
        "last": frost_values(
            dates_from_record(record, FrostSide.LAST, sd_days=_sd_days(garden, FrostSide.LAST))
        ),
        "file": _file_values(minima, request.file_name or ""),
        "hemisphere": {"is": hemisphere.value, "told_by": told_by},
    }
    with contextlib.suppress(NoSeasonsInRecord):  # springs enough, but no complete autumn
        stored["first"] = frost_values(
            dates_from_record(record, FrostSide.FIRST, sd_days=_sd_days(garden, FrostSide.FIRST))
        )
    return stored, by_place not in (None, hemisphere)


def _file_values(minima: DailyMinima, name: str) -> Stored:
    return {
        "name": name[:80],
        "first_on": minima.days[0][0].isoformat(),
        "last_on": minima.days[-1][0].isoformat(),
        "unit": minima.unit_read.value,
        "unit_told_by": minima.unit_basis.value,
        "absurd": [
            [found.day.isoformat(), found.min_c, found.rule.value]
            for found in minima.absurd[:MOST_ABSURD]
        ],
        "absurd_count": len(minima.absurd),
        "days_missing": minima.missing_days,
        "rows_doubled": minima.duplicates,
        "rows_unreadable": minima.unreadable_rows,
    }


# --- dates --------------------------------------------------------------------------------


def _of_dates(request: SetFrost, garden: Garden, before: Mapping[str, Any]) -> Stored:
    """Return what to keep of dates; the side not spoken of stays as it was."""
    hemisphere, told_by = _hemisphere(request, garden, before)
    stored = _kept(before, hemisphere)
    given: Stored = dict(stored.get("given", {}))
    levels = _levels(request)
    if levels:
        for day in levels.values():
            _check_season(day, FrostSide.LAST, hemisphere)
        stored["last"] = frost_values(_last(levels, hemisphere, _sd_days(garden, FrostSide.LAST)))
        for name in ("typical", "late", "middle", "early"):
            given.pop(name, None)
            day = getattr(request, name)
            if day is not None:
                given[name] = day.isoformat()
    if request.first is not None:
        _check_season(request.first, FrostSide.FIRST, hemisphere)
        stored["first"] = frost_values(
            dates_from_typical(
                request.first,
                FrostSide.FIRST,
                hemisphere,
                sd_days=_sd_days(garden, FrostSide.FIRST),
            )
        )
        given["first"] = request.first.isoformat()
    stored["given"] = given
    stored["hemisphere"] = {"is": hemisphere.value, "told_by": told_by}
    sides = [stored[side] for side in ("last", "first") if side in stored]
    if not any(side["basis"] == "record" for side in sides):
        stored.pop("file", None)
    return stored


def _kept(before: Mapping[str, Any], hemisphere: Hemisphere) -> Stored:
    """Return what stood, less what was reckoned for the other hemisphere."""
    sides = {
        side: before[side]
        for side in ("last", "first")
        if side in before and before[side]["hemisphere"] == hemisphere.value
    }
    kept = {name: before[name] for name in ("given", "file") if sides and name in before}
    return {**kept, **sides}


def _levels(request: SetFrost) -> dict[float, date]:
    """Return the last-frost dates by level; raise FrostDatesOrder for two even chances."""
    middle = request.middle or request.typical
    if request.typical is not None and request.middle not in (None, request.typical):
        both = ((0.5, request.typical), (0.5, request.middle or request.typical))
        raise FrostDatesOrder(side=FrostSide.LAST.value, given=both)
    found = zip(LEVELS, (request.late, middle, request.early), strict=True)
    return {level: day for level, day in found if day is not None}


def _sd_days(garden: Garden, side: FrostSide) -> float:
    return spread_days(side, garden.site.latitude, garden.site.longitude)


def at_place(stored: Mapping[str, Any], latitude_deg: float, longitude_deg: float) -> Stored:
    """Return what is kept, with the spread of a place where single dates left it open.

    The place was named after the dates; dates of its other hemisphere stay as they are.
    """
    moved = dict(stored)
    given = stored.get("given", {})
    names = {"last": ("late", "middle", "early", "typical"), "first": ("first",)}
    for side in FrostSide:
        kept = stored.get(side.value)
        told = [name for name in names[side.value] if name in given]
        if kept is None or kept["basis"] != FrostBasis.TYPICAL_DATE or len(told) != 1:
            continue
        level = {"late": 0.1, "early": 0.9}.get(told[0], 0.5)
        moved[side.value] = frost_values(
            dates_from_typical(
                date.fromisoformat(given[told[0]]),
                side,
                Hemisphere(kept["hemisphere"]),
                level=level,
                sd_days=spread_days(side, latitude_deg, longitude_deg),
            )
        )
    return moved


def _last(levels: Mapping[float, date], hemisphere: Hemisphere, sd_days: float) -> FrostDates:
    if len(levels) > 1:
        return dates_from_levels(levels, FrostSide.LAST, hemisphere)
    ((level, day),) = levels.items()
    return dates_from_typical(day, FrostSide.LAST, hemisphere, level=level, sd_days=sd_days)


def _hemisphere_of_place(garden: Garden) -> Hemisphere | None:
    latitude = garden.site.latitude
    return None if latitude is None else hemisphere_at(latitude)


def _hemisphere(
    request: SetFrost, garden: Garden, before: Mapping[str, Any]
) -> tuple[Hemisphere, str]:
    """Return the hemisphere and what told it: the place, else what stands, else the dates.

    A last frost from August to December is a southern spring; a first frost from February to
    July a southern autumn.
    """
    by_place = _hemisphere_of_place(garden)
    if by_place is not None:
        return by_place, "place"
    levels = _levels(request)
    if not levels and request.first is not None and "last" in before:
        stood = Hemisphere(before["hemisphere"]["is"])
        by_dates = before["hemisphere"]["told_by"] == "dates"
        if not (by_dates and _off_season(request.first, FrostSide.FIRST, stood)):
            return stood, str(before["hemisphere"]["told_by"])
    if levels:
        south = next(iter(levels.values())).month >= 8
    else:
        south = request.first is not None and 2 <= request.first.month <= 7
    return (Hemisphere.SOUTH if south else Hemisphere.NORTH), "dates"


def _check_season(day: date, side: FrostSide, hemisphere: Hemisphere) -> None:
    if _off_season(day, side, hemisphere):
        raise FrostDateOffSeason(side=side.value, given=day)


def _off_season(day: date, side: FrostSide, hemisphere: Hemisphere) -> bool:
    number = season_day(day, hemisphere)
    if side is FrostSide.LAST:
        return number < OFF_SEASON_DAYS
    return number >= 365 - OFF_SEASON_DAYS


def _or_first(request: SetFrost, stored: Mapping[str, Any]) -> SetFrost | None:
    """Return the other reading of a lone date in a northern autumn, where no place decides."""
    alone = request == SetFrost(typical=request.typical)
    south = stored["hemisphere"] == {"is": Hemisphere.SOUTH.value, "told_by": "dates"}
    return SetFrost(first=request.typical) if alone and south else None


def _put_back(before: Mapping[str, Any]) -> SetFrost | None:
    """Return the request that gives the same dates again; None where a file gave some."""
    sides = [before[side] for side in ("last", "first") if side in before]
    if not sides or any(side["basis"] == "record" for side in sides):
        return None
    given = {name: date.fromisoformat(day) for name, day in before.get("given", {}).items()}
    return SetFrost(
        typical=given.get("typical"),
        late=given.get("late"),
        middle=given.get("middle"),
        early=given.get("early"),
        first=given.get("first"),
    )
