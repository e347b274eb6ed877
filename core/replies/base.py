"""Replies that every subject shares."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from core.requests import Request


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """Base of every reply."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrote(Reply):
    """Base of every reply to a report: something was recorded and can be undone.

    Attributes:
        act: number of the act, `R12` to people.
        for_name: whose work it was, when not the speaker's.
        cautions: ids of core/data/cautions.toml to show with it.
    """

    act: int
    for_name: str | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NothingRecorded(Reply):
    """What was proposed or asked is let go."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to go on, worded from `kind` and `values`, and the request it stands for."""

    kind: str
    request: Request
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice(Reply):
    """A question that only the member can settle; nothing was recorded yet.

    Attributes:
        question: what is unclear: `sowing`, `tray`, `member`, `group`, ...
        values: what the question names.
    """

    question: str
    options: tuple[Option, ...]
    values: Mapping[str, Any] = field(default_factory=dict)
