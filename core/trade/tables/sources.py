"""Where the figures come from: every source key the data tables may name."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from core.trade.tables.registry import Complaint, Problem, plain, register, text


class SourceStatus(StrEnum):
    """How far a source was checked."""

    READ = "read"  # the work itself, at least in part
    COPY = "copy"  # a reproduction of the work, by somebody else
    FROM_MEMORY = "from_memory"  # not opened; unverified
    CALCULATED = "calculated"  # worked out from stated figures
    PRACTICE = "practice"  # common practice of the trade, nothing published


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One work or practice that figures come from.

    Attributes:
        key: name used in `source` and `sources` fields.
        citation: author, title, year, publisher.
        where: where it can be found, or how it was seen; may be empty.
        status: how far it was checked.
        aliases: other keys for the same work.
        note: what to know before relying on it; may be empty.
    """

    key: str = text(pattern=r"[A-Za-z0-9][A-Za-z0-9.\- ]*")
    citation: str = text(pattern=r"(?s).+")
    where: str = plain(default="")
    status: SourceStatus
    aliases: tuple[str, ...] = plain(default=())
    note: str = plain(default="")


def _check(sources: tuple[Source, ...]) -> Iterable[Complaint]:
    """Complain of an alias that is another source's key or alias."""
    seen = {source.key: source.key for source in sources}
    for source in sources:
        for alias in source.aliases:
            if alias in seen:
                values = {"given": alias, "other": seen[alias]}
                yield Complaint(
                    row=source.key,
                    field="aliases",
                    problem=Problem.NAME_COLLIDES,
                    values=values,
                )
            seen[alias] = source.key


SOURCES = register("source", Source, key="key", check=_check)


@functools.cache
def _by_name() -> Mapping[str, Source]:
    return {name: s for s in SOURCES.rows() for name in (s.key, *s.aliases)}


def source(key: str) -> Source:
    """Return the source with this key or alias; raise KeyError when there is none."""
    return _by_name()[key]
