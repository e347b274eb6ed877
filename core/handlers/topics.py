"""A topic with the group's own figures: the shelf's lamp, the tray's water, what is up."""

from __future__ import annotations

import re
from datetime import date

from core.group.garden import Garden
from core.replies.topics import TopicTold
from core.shown.own_figures import meant_of, own_figures
from core.trouble.concepts import fold
from core.trouble.topics import Topic

MOST = 3
"""Lines of own figures before the rule; more would hide it."""

_SHELF = re.compile(r"\b(?:shelf|rack|estante|repisa|balda) (\w{1,8})\b")


def told_topic(
    garden: Garden,
    topic: Topic,
    text: str,
    today: date,
    *,
    sowing: str | None,
    tray: str | None,
    crop: str | None,
    near: tuple[str, ...] = (),
) -> TopicTold:
    """Return a topic after the figures of what the question is about, or of all that stands.

    Args:
        text: as asked; a shelf may be named in it.
        sowing, tray, crop: what it is about, as far as it is clear.
        near: topics that may have been meant instead.
    """
    named = (code.upper() for code in _SHELF.findall(fold(text)))
    shelf = next((code for code in named if code in garden.shelves), None)
    meant = meant_of(garden, sowing=sowing, tray=tray, crop=crop, shelf=shelf)
    own = own_figures(garden, topic.figures, meant, today)
    return TopicTold(topic=topic.id, own=own[:MOST], more=max(0, len(own) - MOST), near=near)
