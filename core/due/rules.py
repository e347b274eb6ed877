"""One function a kind of work: what of it is open in a garden on a day."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from typing import Any

from core.due.asked_for import asked_for
from core.due.beds import cover, settle_in
from core.due.beside import look_beside
from core.due.closures import back, before_closure, eve, uncovered
from core.due.items import Item, Work
from core.due.once import last_resow, warm_spell
from core.group import outlook
from core.group.coming_up import watched
from core.group.frames import low_felt
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, Stage
from core.group.parts import Place
from core.group.standing import standing
from core.scene import local_date
from core.trade.crops.hardiness import timing_days
from core.trade.crops.table import crop_by_id
from core.trade.emergence.forecast import Forecast
from core.trade.emergence.watch import Watch
from core.trade.hardening.course import Hold
from core.trade.hardening.plan import lowest_safe

THIN_AFTER = timedelta(days=10)
"""From the first seedling: about the first true leaf (LINN-MG, stage; from memory, days)."""

FEED_AFTER = timedelta(days=14)
"""From the first seedling, in a mix with a starter charge; from memory."""

FEED_EVERY = timedelta(days=7)
"""Weekly at the first true leaves and on (USU-TPE once or twice a week)."""


GIVE_UP_DAYS = 45
"""Overdue and never counted: stop saying it after so long; common practice."""

Rule = Callable[[Garden, date], Iterator[Item]]


def item(kind: Work, since: date, sowing: SowingOf, growing: Growing, **values: Any) -> Item:
    """Return a piece of work on one sowing."""
    return Item(
        kind=kind,
        since=since,
        tray=growing.tray,
        sowing=sowing.code,
        crop=sowing.crop,
        variety=sowing.variety,
        values=values,
    )


def water(garden: Garden, today: date) -> Iterator[Item]:
    """Trays whose next look is today or was due before."""
    for code, tray in garden.trays.items():
        check_on = outlook.tray_check_on(garden, code, today)
        if check_on is not None and check_on <= today:
            watered = outlook.waterings(garden, code)
            since = local_date(watered[-1], garden.site.zone) if watered else check_on
            yield Item(
                kind=Work.WATER,
                since=check_on,
                tray=code,
                shelf=tray.shelf,
                values={"days": (today - since).days},
            )


def come_up(garden: Garden, today: date) -> Iterator[Item]:
    """Sowings in their window (count them) and past it (check the temperature first)."""
    for sowing, growing in standing(garden):
        if growing.first_up_on is not None:
            continue
        forecast = outlook.emergence(garden, sowing, today)
        match watched(garden, sowing, growing, today):
            case Watch.DUE:
                if forecast.p50_on is not None and today >= forecast.p50_on:
                    yield item(Work.COUNT, forecast.p50_on, sowing, growing)
            case Watch.OVERDUE:
                assert forecast.p90_on is not None
                since = forecast.p90_on + timedelta(days=1)
                if (today - since).days <= GIVE_UP_DAYS:
                    yield item(
                        Work.OVERDUE,
                        since,
                        sowing,
                        growing,
                        days=(today - sowing.sown_on).days,
                        by=forecast.p90_on,
                        temp_c=forecast.basis.ahead_temp_c,
                        temp_logged=_read_days(forecast),
                    )
            case Watch.WILL_NOT_COME:
                yield item(
                    Work.OVERDUE,
                    sowing.sown_on + timedelta(days=3),
                    sowing,
                    growing,
                    days=(today - sowing.sown_on).days,
                    by=None,
                    temp_c=forecast.basis.ahead_temp_c,
                    temp_logged=_read_days(forecast),
                )
            case _:
                pass


def _read_days(forecast: Forecast) -> int:
    """Return days whose readings bear on a window; none where it is the catalogue's range."""
    return forecast.basis.days_logged if forecast.basis.ahead_temp_c is not None else 0


def sown_in_clumps(sowing: SowingOf) -> bool:
    """Whether a crop that is grown on as clumps was sown as one: such cells are not thinned."""
    least = crop_by_id(sowing.crop).multi_sown_min
    return least is not None and sowing.seeds_per_cell >= least


def thin(garden: Garden, today: date) -> Iterator[Item]:
    """Cells sown with more than one seed, once the true leaves show."""
    for sowing, growing in standing(garden):
        if sowing.seeds_per_cell < 2 or growing.first_up_on is None:
            continue
        if growing.place is not Place.CELLS or sown_in_clumps(sowing):
            continue
        if growing.thinned_on or growing.potted_on or growing.up <= len(sowing.cells):
            continue
        since = growing.first_up_on + THIN_AFTER
        if since <= today:
            yield item(Work.THIN, since, sowing, growing, per_cell=1)


def pot_up(garden: Garden, today: date) -> Iterator[Item]:
    """Crops that want a bigger pot before they go out, when there is time to root in."""
    for sowing, growing in standing(garden):
        crop = crop_by_id(sowing.crop)
        if not crop.pot_up or growing.first_up_on is None or growing.potted_on:
            continue
        if growing.alive == 0:
            continue
        if growing.stage is Stage.HARDENING:
            continue
        since = growing.first_up_on + timedelta(days=timing_days("pot_up_after_emergence"))
        out_on = outlook.plant_out_on(garden, sowing, today)
        if out_on is not None:
            begin = out_on - timedelta(days=outlook.harden_days(garden, crop))
            if since > begin - timedelta(days=timing_days("pot_up_before_hardening")):
                continue
        if since <= today:
            yield item(Work.POT_UP, since, sowing, growing, count=growing.alive)


def last_fed(garden: Garden, sowing: SowingOf, growing: Growing) -> date | None:
    """Return when a sowing's seedlings were last fed, with their tray of that time or alone."""
    up_on, moved_on = growing.first_up_on, growing.potted_on
    if up_on is None:
        return None
    fed = [growing.fed_on] if growing.fed_on else []
    here = growing.tray == sowing.tray
    trays = {sowing.tray: (up_on, date.max if here else moved_on or date.max)}
    if moved_on is not None and not here:
        trays[growing.tray or ""] = (moved_on, date.max)
    for code, (first, last) in trays.items():
        fed += [
            report.on
            for report in garden.tray_reports.get(code, ())
            if report.kind == "fed" and first <= report.on <= last
        ]
    return max(fed, default=None)


def feed(garden: Garden, today: date) -> Iterator[Item]:
    """A week since the last feed, from the true leaves until hardening off."""
    for sowing, growing in standing(garden):
        if growing.first_up_on is None or growing.stage is Stage.HARDENING:
            continue
        if growing.alive == 0:
            continue
        fed = last_fed(garden, sowing, growing)
        since = fed + FEED_EVERY if fed else growing.first_up_on + FEED_AFTER
        if since <= today:
            yield item(Work.FEED, since, sowing, growing, first=fed is None)


def outdoors(garden: Garden, today: date) -> Iterator[Item]:
    """Start hardening, the day n of N, and planting out when it is done."""
    for sowing, growing in standing(garden):
        if growing.first_up_on is None or growing.alive == 0:
            continue
        course = outlook.hardening(garden, sowing, growing, today)
        if course is None:
            continue
        out_on = outlook.plant_out_on(garden, sowing, today)
        if course.done >= course.of:
            yield item(
                Work.PLANT,
                course.ready_on,
                sowing,
                growing,
                count=growing.alive,
                planned=out_on,
                late=course.days_late,
            )
            continue
        if not course.coming or course.coming[0].day > today:
            continue  # today's hours are in, or it has not begun
        coming = course.coming[0]
        if not growing.outings and growing.begun_on is None:
            since = course.past[0].day if course.past else coming.day
            yield item(
                Work.HARDEN,
                since,
                sowing,
                growing,
                of=course.of,
                hours=coming.plan.hours,
                exposure=coming.plan.exposure.value,
                limit_c=coming.plan.lowest_safe_c,
                held=coming.hold.value if coming.hold else None,
                plant_out=course.ready_on,
            )
            continue
        yield item(
            Work.OUT,
            today,
            sowing,
            growing,
            number=coming.plan.number,
            of=course.of,
            hours=coming.hours,
            exposure=coming.plan.exposure.value,
            night_out=coming.night_out,
            limit_c=coming.plan.lowest_safe_c,
            held=coming.hold.value if coming.hold and coming.hold is not Hold.COLD_NIGHT else None,
            ready_on=course.ready_on,
        )


def frost(garden: Garden, today: date) -> Iterator[Item]:
    """Plants outside or in a cold frame that must come in: the low is under their limit."""
    lows = [
        temp.low_c
        for temp in outlook.outdoor_temps(garden)
        if temp.day == today and temp.low_c is not None
    ]
    if not lows:
        return
    for sowing, growing in standing(garden):
        felt = low_felt(garden, growing, lows[-1])
        if felt is None:
            continue
        crop = crop_by_id(sowing.crop)
        limit = lowest_safe(crop.hardiness_class.value, crop.id).limit_c
        if felt < limit:
            yield item(Work.FROST, today, sowing, growing, low_c=lows[-1], limit_c=limit)


def sow(garden: Garden, today: date) -> Iterator[Item]:
    """What the accepted plan says to sow, until it is sown."""
    plan: Mapping[str, Any] = garden.plan or {}
    for entry in plan.get("sowings", ()):
        sow_on = date.fromisoformat(entry["sow_on"])
        if entry["id"] in garden.sown_items or not sow_on <= today <= sow_on + timedelta(days=28):
            continue
        yield Item(
            kind=Work.SOW,
            since=sow_on,
            crop=entry["crop"],
            variety=entry.get("variety"),
            sowing=None,
            shelf=entry.get("shelf"),
            values={
                "id": entry["id"],
                "cells": entry.get("cells"),
                "seeds_per_cell": entry.get("seeds_per_cell"),
                "trays": entry.get("trays"),
                "latest": entry.get("latest"),
            },
        )


def light(garden: Garden, today: date) -> Iterator[Item]:
    """Shelves with seedlings whose lamp is known to burn too few hours."""
    shortest = 12.0  # UMN19, 12-14 h; the lower edge of what home growers are told
    for code, shelf in garden.shelves.items():
        if shelf.lamp in (None, "window"):
            continue
        hours = outlook.shelf_hours(garden, code)
        up = [
            growing.first_up_on
            for sowing, growing in standing(garden)
            if growing.first_up_on is not None and outlook.shelf_of(garden, growing.tray) is shelf
        ]
        if not up or hours is None or hours >= shortest:
            continue
        yield Item(
            kind=Work.LIGHT,
            since=min(up),
            shelf=code,
            values={"hours": hours, "wanted": 14.0},
        )


RULES: tuple[Rule, ...] = (
    frost,
    cover,
    settle_in,
    water,
    come_up,
    thin,
    pot_up,
    feed,
    outdoors,
    look_beside,
    last_resow,
    sow,
    light,
    warm_spell,
    before_closure,
    eve,
    back,
    uncovered,
    asked_for,
)
