"""Counting what is up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from sqlalchemy.orm import Session

from core.errors import CountAboveLater, CountFalls, CountTooHigh
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing
from core.group.sowing_counts import emergence_over
from core.group.standing import Standing
from core.handlers.aim import choose, sowings_meant
from core.handlers.doers import doer, named
from core.handlers.losses import resow_until
from core.handlers.sowing import day_of
from core.records import snapshot
from core.records.acts import Entry, write_act
from core.replies.base import Choice, Reply
from core.replies.reports import CountRecorded
from core.report_kinds import ReportKind
from core.requests import Up
from core.scene import Scene
from core.shown.windows import said_window
from core.trade.crops.standards import standard
from core.trade.crops.table import crop_by_id
from core.trade.statistics.germination_standard import Verdict, compare_with_standard
from core.trade.statistics.intervals import wilson_interval


def up(request: Up, scene: Scene, session: Session) -> Reply:
    """Record how many seedlings show.

    Raises NoSuchSowing, CountFalls, CountAboveLater, CountTooHigh, DateInFuture, DateTooOld.
    """
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    aimed = _awaited(garden, request)
    if isinstance(aimed, Choice):
        return aimed
    sowing, growing = aimed
    on = day_of(request, scene, earliest=sowing.sown_on, what=sowing.code)
    total = request.count or 0
    if request.all_up:
        total = len(sowing.cells)
    if request.more:
        total += growing.up
    if total > sowing.seeds:
        raise CountTooHigh(sowing=sowing.code, given=total, most=sowing.seeds, of="seeds")
    before = [count for day, count in growing.counts if day <= on]
    if before and total < before[-1]:
        raise CountFalls(sowing=sowing.code, last=before[-1], given=total)
    later = [(day, count) for day, count in growing.counts if day > on and count < total]
    if later:
        raise CountAboveLater(sowing=sowing.code, given=total, stands=later[0][1], on=later[0][0])
    did, for_name = doer(garden, request.for_whom)
    act = write_act(
        session,
        scene,
        ReportKind.UP,
        (Entry(kind=ReportKind.UP, on=on, values={"total": total}, sowing=sowing.id),),
        did=did,
        for_name=for_name,
        summary={"sowing": sowing.code, "crop": sowing.crop, "total": total},
    )
    interval = wilson_interval(total, sowing.seeds)
    crop = crop_by_id(sowing.crop)
    minimum = standard(crop.standard).min_percent / 100 if crop.standard else None
    verdict = None
    if minimum is not None and total:
        verdict = compare_with_standard(total, sowing.seeds, minimum).verdict
        if verdict is Verdict.BELOW and _still_coming(garden, sowing, growing, on, total):
            verdict = None  # too soon to judge a lot
    few = verdict is Verdict.BELOW
    again = few and not any(day < on and seen for day, seen in growing.counts)
    if again:  # one look cannot tell slow seed from poor seed
        verdict, few = None, False
    return CountRecorded(
        act=act.number,
        for_name=for_name or named(garden, did),
        sowing=sowing.code,
        crop=sowing.crop,
        tray=growing.tray,
        up=total,
        seeds=sowing.seeds,
        on=on,
        low=interval.low,
        high=interval.high,
        first=total > 0 and growing.first_up_on is None,
        standard=minimum,
        verdict=verdict.value if verdict else None,
        again=again,
        window=said_window(garden, sowing, scene.today) if total == 0 else None,
        give_up_on=outlook.emergence(garden, sowing, scene.today).p90_on if few else None,
        resow_by=resow_until(garden, sowing, scene.today)[0] if few else None,
    )


def _awaited(garden: Garden, request: Up) -> Standing | Choice:
    """Of several sowings that fit, the only one that nothing shows of yet is meant by a first
    count in a tray; otherwise the member is asked."""
    found = sowings_meant(garden, request.where)
    if len(found) > 1 and request.where.empty:
        found = [pair for pair in found if pair[1].potted_on is None] or found
    if len(found) == 1:
        return found[0]
    return choose(request, found)


def _still_coming(garden: Garden, sowing: SowingOf, growing: Growing, on: date, up: int) -> bool:
    counted = replace(growing, counts=(*growing.counts, (on, up)), up=up)
    return not emergence_over(garden, sowing, counted, on)
