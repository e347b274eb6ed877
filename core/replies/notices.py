"""A notice on its way to be worded."""

from __future__ import annotations

from dataclasses import dataclass

from core.notices import Notice
from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeSaid(Reply):
    """One notice with its row's id, for its buttons.

    Attributes:
        by_mention: it goes to the group although meant for one member: name them.
    """

    id: int
    notice: Notice
    by_mention: bool
