"""Whose work a report is: the speaker's, another member's, or a helper's without an account."""

from __future__ import annotations

from core.folding import fold
from core.group.garden import Garden


def doer(garden: Garden, for_whom: str | None) -> tuple[int | None, str | None]:
    """Return (member id, helper's name): at most one is set; neither = the speaker."""
    if for_whom is None:
        return None, None
    wanted = fold(for_whom.strip().lstrip("@"))
    for member in garden.members.values():
        if fold(member.name) == wanted:
            return member.id, None
    return None, " ".join(for_whom.split())[:40]


def named(garden: Garden, member: int | None) -> str | None:
    """Return a member's name; None for nobody, without a look at the members."""
    if member is None:
        return None
    found = garden.members.get(member)
    return found.name if found else None
