"""Name the works that figures come from, short enough for a message."""

from __future__ import annotations

from collections.abc import Iterable

from core.trade.tables.sources import source

MOST_CITATION = 60  # characters of a source's citation


def brief(citation: str) -> str:
    """Return the head of a citation: up to a bracket, or the first words that fit."""
    head = citation.split(" (")[0].split(". ", 1)
    short = head[0] if len(head) == 1 or len(head[0]) >= 20 else ". ".join(head)
    if len(short) > MOST_CITATION:
        short = short[:MOST_CITATION].rsplit(" ", 1)[0].rstrip(",;:") + " …"
    return short.rstrip(".")


def named(keys: Iterable[str], most: int = 2) -> str:
    """Return the first works of some source fields (`KEY, where in it`), by their short names."""
    found: list[str] = []
    for key in keys:
        try:
            work = source(key.split(",")[0].strip())
        except KeyError:
            continue
        if work.status.value in ("from_memory", "practice"):
            continue
        name = brief(work.citation)
        if name not in found:
            found.append(name)
    return "; ".join(found[:most])
