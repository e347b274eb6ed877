"""A topic with the group's own figures: the shelf's lamp, the tray's water."""

from __future__ import annotations

from datetime import date

from core.group import outlook
from core.group.garden import Garden
from core.replies.trouble import TopicTold
from core.trouble.topics import Topic
from core.trouble.tray_evidence import evidence_of

LAMP_FIELDS = ("lamp_", "light_", "tube_", "whatis_dli", "whatis_ppfd", "whatis_lux")
WATER_FIELDS = ("water_", "wick_")


def told_topic(garden: Garden, topic: Topic, tray: str | None, today: date) -> TopicTold:
    """Return a topic; figures stand with it where one shelf or one tray is clear."""
    if topic.id.startswith(LAMP_FIELDS):
        return _of_lamp(garden, topic, tray, today)
    if topic.id.startswith(WATER_FIELDS):
        return _of_water(garden, topic, tray, today)
    return TopicTold(topic=topic.id)


def _of_lamp(garden: Garden, topic: Topic, tray: str | None, today: date) -> TopicTold:
    placed = {t.code: t.shelf for t in garden.trays.values() if t.shelf is not None}
    if tray is None:
        shelves = set(placed.values()) or set(garden.shelves)
        tray = next((c for c, s in placed.items() if {s} == shelves), None)
    if tray is None or placed.get(tray) is None:
        return TopicTold(topic=topic.id)
    code = placed[tray]
    assert code is not None
    known = evidence_of(garden, None, tray, today)
    shelf = garden.shelves[code]
    dli, hours = known.get("dli"), known.get("light_hours")
    return TopicTold(
        topic=topic.id,
        shelf=code,
        height_mm=shelf.height_mm,
        hours=float(hours.value) if hours is not None else None,
        dli=float(dli.value) if dli is not None else None,
    )


def _of_water(garden: Garden, topic: Topic, tray: str | None, today: date) -> TopicTold:
    if tray is None and len(garden.trays) == 1:
        tray = next(iter(garden.trays))
    if tray is None:
        return TopicTold(topic=topic.id)
    watered = outlook.waterings(garden, tray)
    lasts = outlook.tray_interval(garden, tray, today)
    return TopicTold(
        topic=topic.id,
        tray=tray,
        watered_days=(today - watered[-1].date()).days if watered else None,
        lasts_days=lasts.usual if lasts is not None else None,
    )
