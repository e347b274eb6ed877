"""The caution on children's names."""

from __future__ import annotations

from sqlalchemy.orm import Session

from core.records import models as m
from core.trade.cautions import Trigger, cautions_for


def full_name(name: str) -> bool:
    """Whether a name looks like a first and a last name: two words that begin with a capital."""
    words = [word for word in name.split() if word[:1].isupper() and len(word.strip(".")) > 1]
    return len(words) >= 2


def name_cautions(session: Session, group_id: int | None, name: str | None) -> tuple[str, ...]:
    """Return the caution on children's names for a full name, once in the life of a group.

    Call it with a member's new name or a helper's: a full name may be a child's.
    """
    if group_id is None or name is None or not full_name(name):
        return ()
    group = session.get_one(m.Group, group_id)
    if (group.set_up or {}).get("children_said"):
        return ()
    group.set_up = {**(group.set_up or {}), "children_said": True}
    return tuple(caution.id for caution in cautions_for(Trigger.CHILD_NAMED))
