"""Help, and the list of shelves."""

from __future__ import annotations

from bot.grammar.slots import nothing_left
from bot.grammar.text import Bag
from core.folding import fold
from core.requests import Help, ShowShelf


def build_help(bag: Bag) -> Help:
    """Build the wish for help; the topic is whatever word follows."""
    topic = fold(bag.whole.strip().lstrip("/"))[:40].rstrip(" ?.!")
    return Help(topic=topic or None)


def build_shelves(bag: Bag) -> ShowShelf:
    """Build the wish to see all shelves, or their space week by week."""
    space = bag.has("space|room|by week|weekly")
    bag.drop("all|list|show|by week|weekly")
    nothing_left(bag)
    return ShowShelf(space=space)
