"""The round of a large group, at its fullest on a Friday, stays on one screen."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from bot.wording.replies.notices import MOST_TEXT, notice
from bot.wording.voice import Voice
from core.due.day import Notice
from core.due.items import Item, Work
from core.due.kinds import NoticeKind
from core.replies.notices import NoticeSaid

FRIDAY = date(2027, 5, 14)
CROPS = ("tomato", "pepper", "eggplant", "basil", "marigold", "zinnia", "cucumber", "lettuce")


def everything(sowings: int) -> tuple[Item, ...]:
    """Return a day with all kinds of work in as many sowings, one tray each."""
    found = []
    for number in range(1, sowings + 1):
        place: dict[str, Any] = {"tray": f"T{number}", "since": FRIDAY}
        crop = CROPS[number % len(CROPS)]
        sown = {**place, "sowing": f"S{number}", "crop": crop}
        found.append(Item(kind=Work.WATER, shelf="ABCDE"[number % 5], **place))
        out = {
            "number": number % 14,
            "of": 14,
            "hours": 5.0,
            "exposure": "early_sun",
            "limit_c": 10.0,
        }
        found.append(Item(kind=Work.OUT, values=out, **sown))
        found.append(Item(kind=Work.THIN, **sown))
        found.append(Item(kind=Work.FEED, values={"first": number % 2 == 0}, **sown))
        found.append(Item(kind=Work.PLANT, values={"count": 18}, **sown))
        late = {"days": 20, "by": FRIDAY, "temp_c": 19.0, "temp_logged": number % 2}
        found.append(Item(kind=Work.OVERDUE, values=late, **sown))
    return tuple(found)


@pytest.mark.parametrize("sowings", [1, 12, 40, 120])
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_fullest_round_stays_on_one_screen(sowings: int, language: str) -> None:
    people = {number: f"Member {number}" for number in range(1, 31)}
    week = {
        "came": [[f"S{n}", CROPS[n % len(CROPS)], 10, 12] for n in range(1, sowings + 1)],
        "helped": list(people),
    }
    said = NoticeSaid(
        id=1,
        notice=Notice(
            group_id=1,
            recipient=0,
            kind=NoticeKind.ROUND,
            subject="day",
            on=FRIDAY,
            items=everything(sowings),
            values={"duty": [1, 2], "week": week},
        ),
        people={},
    )
    text = notice(said, Voice(today=FRIDAY, language=language, people=people)).text
    assert len(text) <= MOST_TEXT
    assert "T1" in text
    assert ("/due" in text) is (sowings > 1)  # what is left out is counted, with where to see it
