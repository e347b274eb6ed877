"""List what was set aside: when, what kind, and where it failed. No ids, names or words."""

from __future__ import annotations

import re
from collections.abc import Iterator

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.records import models as m

MOST_ROWS = 200
MOST_REASON = 100  # characters
_TICKET = re.compile(r"([0-9a-f]{8}): ")
_PLACE = re.compile(r'File "[^"\n]*?((?:bot|core)/[\w/]+\.py)", line (\d+)')
_ERROR = re.compile(r"^(?:[a-z_]\w*\.)*([A-Z]\w+)(?::|$)", re.MULTILINE)


def parked_lines(session: Session) -> Iterator[str]:
    """Yield one line a parked row, newest first: the inbox, then the outbox."""
    updates = session.scalars(
        select(m.Inbox)
        .where(m.Inbox.state == "parked")
        .order_by(m.Inbox.id.desc())
        .limit(MOST_ROWS)
    ).all()
    for update in updates:
        event = str(update.body.get("event", "?"))
        kind = event if event.isalpha() and len(event) <= 10 else "?"
        ticket = _TICKET.match(update.error or "")
        yield (
            f"in   {update.received_at:%Y-%m-%d %H:%M} UTC  {update.platform}  {kind}  "
            f"{ticket.group(1) if ticket else '--------'}  {failed_at(update.error)}"
        )
    messages = session.execute(
        select(m.Outbox, m.Chat.platform)
        .join(m.Chat, m.Chat.id == m.Outbox.chat_id)
        .where(m.Outbox.state == "parked")
        .order_by(m.Outbox.id.desc())
        .limit(MOST_ROWS)
    ).all()
    for message, platform in messages:
        kind = "notice" if message.notice_id is not None else "answer"
        yield (
            f"out  {message.due_at:%Y-%m-%d %H:%M} UTC  {platform}  {kind}  "
            f"tries {message.tries}  {refused_because(message.error)}"
        )


def failed_at(error: str | None) -> str:
    """Return an error's kind and place in the program, without its words, which may be private."""
    names = _ERROR.findall(error or "")
    places = _PLACE.findall(error or "")
    name = names[-1] if names else "unknown error"
    return f"{name} at {places[-1][0]}:{places[-1][1]}" if places else name


def refused_because(error: str | None) -> str:
    """Return a messenger's reason, without what it quotes and without ids and addresses."""
    first = (error or "").strip().partition("\n")[0]
    plain = re.sub(r"""(["'`«“]).*?["'`»”]""", "...", first)
    plain = re.sub(r"\S*(?:://|@)\S*|\S*\d{3,}\S*", "...", plain)
    return plain[:MOST_REASON] or "unknown reason"
