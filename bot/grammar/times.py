"""Times of day: `7:30`, `21:00-7:00`, `6am`, `7.30 pm`."""

from __future__ import annotations

import re
from datetime import time

from bot.grammar.problems import TimeNotUnderstood
from bot.grammar.text import Bag
from core.folding import plain

_CLOCK = r"\d{1,2}(?:[:.]\d{2}\s*(?:[ap]\.?m\.?)?|\s*[ap]\.?m\.?|:\d{2})"
_LOOSE = r"\d{1,2}(?:[:.]\d{2})?\s*(?:[ap]\.?m\.?)?"
_JOIN = r"\s*(?:-|to|until|till)\s*"


def read_time(text: str) -> time:
    """Return the wall time of a text such as `7:30pm`; raise TimeNotUnderstood."""
    found = re.fullmatch(
        r"(\d{1,2})(?:[:.](\d{2}))?\s*([ap])?\.?m?\.?", text.strip(), re.IGNORECASE
    )
    if not found:
        raise TimeNotUnderstood(typed=text)
    hour, minute = int(found[1]), int(found[2] or 0)
    half = plain(found[3] or "")
    if half and not 1 <= hour <= 12:
        raise TimeNotUnderstood(typed=text)
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour == 24 and minute == 0:
        hour = 0
    if hour > 23 or minute > 59:
        raise TimeNotUnderstood(typed=text)
    return time(hour, minute)


def take_time_after(bag: Bag, words: str) -> time | None:
    """Claim `WORDS 7:30`; a bare hour will do after the word."""
    found = bag.take(rf"(?<!\w)(?:{words})\s*(?:at|:)?\s*({_LOOSE})(?!\w|[:.]\d)")
    return read_time(found[1]) if found else None


def take_times_after(bag: Bag, words: str) -> tuple[time, time] | None:
    """Claim `WORDS 21:00-7:00`; bare hours will do after the word."""
    found = bag.take(
        rf"(?<!\w)(?:{words})\s*(?:hours|from|:)?\s*({_LOOSE}){_JOIN}({_LOOSE})(?!\w|[:.]\d)"
    )
    return (read_time(found[1]), read_time(found[2])) if found else None


def take_times(bag: Bag) -> tuple[time, time] | None:
    """Claim `6:00-20:00` or `6am to 8pm`."""
    found = bag.take(rf"(?<![\w:.])({_CLOCK}){_JOIN}({_CLOCK})(?![\w:])")
    return (read_time(found[1]), read_time(found[2])) if found else None
