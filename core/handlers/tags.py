"""Which tags go home: one for each wish that something living can answer, else one a variety."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy.orm import Session

from core.group.garden import Garden
from core.group.standing import standing
from core.handlers.shares import SEASON, care_card
from core.records.chats import wishes_with_language
from core.replies.sheets import Tag
from core.trade.cautions import crop_cautions
from core.trade.crops.table import crop_by_id


def tags_of(
    session: Session, garden: Garden, now: datetime, today: date, crop: str | None = None
) -> tuple[Tag, ...]:
    """Return the tags of a group, of one crop where it is named.

    Checked by: tests/core/handlers/test_sheets.py.
    """
    living: dict[str, dict[str | None, str | None]] = {}
    for sowing, growing in standing(garden):
        if crop in (None, sowing.crop) and growing.alive:
            living.setdefault(sowing.crop, {}).setdefault(sowing.variety, growing.tray)
    wished = [
        row
        for row in wishes_with_language(session, garden.site.group_id, now - SEASON)
        if row[0].crop in living
    ]
    if not wished:
        return tuple(
            _tag(garden, name, variety, tray, today)
            for name, varieties in living.items()
            for variety, tray in varieties.items()
        )
    found = []
    for wish, member, language in wished:
        varieties = living[wish.crop]
        only = next(iter(varieties)) if len(varieties) == 1 else wish.variety
        tray = varieties.get(only, next(iter(varieties.values())))
        found.append(
            _tag(
                garden, wish.crop, only, tray, today, name=wish.for_name or member,
                language=language, plants=wish.plants,
            )
        )  # fmt: skip
    return tuple(found)


def _tag(
    garden: Garden, crop: str, variety: str | None, tray: str | None, today: date, *,
    name: str | None = None, language: str | None = None, plants: int | None = None,
) -> Tag:  # fmt: skip
    hazards = (hazard.value for hazard in crop_by_id(crop).hazards)
    return Tag(
        crop=crop,
        variety=variety,
        name=name,
        language=language,
        plants=plants,
        tray=tray,
        care=care_card(garden, crop, today),
        cautions=tuple(row.id for row in crop_cautions(hazards)),
    )
