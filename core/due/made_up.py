"""Answers that are made up for a rehearsal: the work of a message is done, and all comes up."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from core.due.items import Item, Work
from core.group import outlook
from core.group.garden import Garden, Happening, SowingOf
from core.group.growing import follow
from core.group.standing import free_cells
from core.group.to_sow import to_sow

PRESSED = frozenset({Work.WATER, Work.OUT, Work.HARDEN, Work.FEED, Work.THIN})
"""Work of which a message has a button."""

_IDS = itertools.count(1)


@dataclass(slots=True, kw_only=True)
class _Answer:
    """Who answers, when, and what stands after each piece of work."""

    garden: Garden
    member: int
    at: datetime
    on: date
    since: datetime


def answered(
    garden: Garden,
    items: tuple[Item, ...],
    member: int,
    at: datetime,
    on: date,
    *,
    since: datetime,
) -> Garden:
    """Return the garden after a member has done what a message of `since` asked for.

    Trays are watered and fed, plants thinned, taken outside and planted out; of every sowing to
    be counted all seeds have come up. What the plan says is sown, into free cells of one tray.
    Nothing is potted up. The same garden is returned where nothing of it was left to do.
    """
    answer = _Answer(garden=garden, member=member, at=at, on=on, since=since)
    for kinds, do in _DOES:
        wanted = [item for item in items if item.kind in kinds]
        if wanted:
            do(answer, wanted)
    return answer.garden


def _report(answer: _Answer, kind: str, values: Mapping[str, Any] | None = None) -> Happening:
    number = -next(_IDS)
    return Happening(
        id=number, act=number, kind=kind, on=answer.on, at=answer.at, values=dict(values or {}),
        did=answer.member,
    )  # fmt: skip


def _of_trays(answer: _Answer, codes: list[str], kind: str) -> None:
    """Report something of trays, of which nobody has said so since the message."""
    reports = dict(answer.garden.tray_reports)
    for code in dict.fromkeys(codes):
        told = reports.get(code, ())
        if not any(r.kind == kind and r.at >= answer.since for r in told):
            reports[code] = (*told, _report(answer, kind))
            answer.garden = answer.garden.with_reports(of_trays=reports)


def _of_sowing(
    answer: _Answer, sowing: SowingOf, kind: str, values: Mapping[str, Any] | None = None
) -> None:
    after = replace(sowing, happenings=(*sowing.happenings, _report(answer, kind, values)))
    closed = kind == "planted" and follow(after).alive == 0
    sowings = tuple(after if s.id == sowing.id else s for s in answer.garden.sowings)
    if not closed:
        answer.garden = replace(answer.garden, sowings=sowings)
        return
    answer.garden = replace(
        answer.garden,
        sowings=tuple(s for s in sowings if s.id != sowing.id),
        lately_closed=(*answer.garden.lately_closed, replace(after, closed_on=answer.on)),
    )


def _sowings(answer: _Answer, items: list[Item]) -> list[SowingOf]:
    wanted = {item.sowing for item in items}
    return [sowing for sowing in answer.garden.sowings if sowing.code in wanted]


def _water(answer: _Answer, items: list[Item]) -> None:
    trays = [item.tray for item in items if item.tray is not None]
    _of_trays(answer, [tray for tray in trays if tray in answer.garden.trays], "watered")


def _out(answer: _Answer, items: list[Item]) -> None:
    for sowing in _sowings(answer, items):
        course = outlook.hardening(answer.garden, sowing, follow(sowing), answer.on)
        if course is None or not course.coming or course.coming[0].day > answer.on:
            continue
        coming = course.coming[0]
        values = {"hours": coming.plan.hours, "overnight": coming.night_out}
        _of_sowing(answer, sowing, "out", values)


def _fed(answer: _Answer, items: list[Item]) -> None:
    for sowing in _sowings(answer, items):
        tray = follow(sowing).tray
        if tray is not None and tray in answer.garden.trays:
            _of_trays(answer, [tray], "fed")
        elif not any(r.kind == "fed" and r.at >= answer.since for r in sowing.happenings):
            _of_sowing(answer, sowing, "fed")


def _thinned(answer: _Answer, items: list[Item]) -> None:
    for sowing in _sowings(answer, items):
        if follow(sowing).thinned_on is None:
            _of_sowing(answer, sowing, "thinned", {"per_cell": 1})


def _counted(answer: _Answer, items: list[Item]) -> None:
    for sowing in _sowings(answer, items):
        if follow(sowing).first_up_on is None:
            _of_sowing(answer, sowing, "up", {"total": sowing.seeds})


def _planted(answer: _Answer, items: list[Item]) -> None:
    for sowing in _sowings(answer, items):
        growing = follow(sowing)
        if growing.alive:
            _of_sowing(answer, sowing, "planted", {"count": growing.alive})


def _sown(answer: _Answer, items: list[Item]) -> None:
    """Sow what the plan says into the tray with room for most of it, if any has room."""
    for item in items:
        garden = answer.garden
        wanted = [
            one for one in to_sow(garden, answer.on, answer.on) if one.id == item.values["id"]
        ]
        if not wanted or not wanted[0].trays or not wanted[0].cells:
            continue
        one, code = wanted[0], wanted[0].trays[0][0]
        cells = tuple(free_cells(garden, garden.trays[code])[: one.cells])
        every = (*garden.sowings, *garden.lately_closed)
        number = -next(_IDS)
        sowing = SowingOf(
            id=number,
            number=max((s.number for s in every), default=0) + 1,
            crop=one.crop,
            variety=one.variety,
            tray=code,
            cells=cells,
            sown_on=answer.on,
            seeds_per_cell=one.seeds_per_cell or 1,
            act=number,
            did=answer.member,
            plan_item=one.id,
        )
        answer.garden = replace(
            garden,
            sowings=(*garden.sowings, sowing),
            sown_items=garden.sown_items | {one.id},
        )


_DOES: tuple[tuple[frozenset[Work], Callable[[_Answer, list[Item]], None]], ...] = (
    (frozenset({Work.WATER}), _water),
    (frozenset({Work.OUT, Work.HARDEN}), _out),
    (frozenset({Work.FEED}), _fed),
    (frozenset({Work.THIN}), _thinned),
    (frozenset({Work.COUNT, Work.OVERDUE}), _counted),
    (frozenset({Work.PLANT}), _planted),
    (frozenset({Work.SOW}), _sown),
)
"""In the order in which a press on the message records them, then what is typed."""
