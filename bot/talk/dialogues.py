"""Questions that wait for typed words: a button's words are its press, others complete a command.

An open dialogue holds the buttons shown, and the words to put before a typed answer, such as
`/site place `, and behind it, so that the one grammar reads everything.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from bot.grammar.commands import COMMANDS
from bot.grammar.context import GrammarContext
from bot.grammar.find_command import find_command
from bot.message import Button
from bot.reading.answers import chosen, filled, leaning
from bot.reading.tokens import words_of
from core.records import models as m
from core.records.prepared import rows, table

PATIENCE = timedelta(hours=12)
ASKED = "asked"
MOST_OPTIONS = 12


def remember(
    session: Session,
    chat: m.Chat,
    person: m.Person | None,
    group: m.Group | None,
    shown: Sequence[Sequence[Button]],
    prefix: str,
    now: datetime,
    *,
    suffix: str = "",
) -> None:
    """Keep a question open until the person's next words: its buttons, and what words complete.

    With a `suffix` the words stand between the two as they are typed.

    A question of the set-up is open already; it learns its buttons.
    """
    if person is None or not (shown or prefix):
        return
    buttons = [button for row in shown for button in row][:MOST_OPTIONS]
    options = [[button.label, button.command] for button in buttons]
    waiting = _open(session, chat, person)
    if waiting is not None and waiting.kind == "first_minute" and waiting.asked_at == now:
        waiting.state = {**waiting.state, "options": options}
        return
    if waiting is not None and waiting.kind == ASKED:
        waiting.ended_at = now
    state: dict[str, Any] = {"options": options}
    if prefix:
        state["prefix"] = prefix
    if suffix:
        state["suffix"] = suffix
    session.add(
        m.Dialogue(
            chat_id=chat.id, person_id=person.id, group_id=group.id if group else None,
            kind=ASKED, state=state, asked_at=now, ended_at=None,
        )
    )  # fmt: skip


def hint(prefix: str) -> str:
    """Return what an answer that completes `prefix` may look like, by its command's example."""
    word = prefix.removeprefix("/").partition(" ")[0]
    found = next((c for c in COMMANDS if c.word == word and c.examples), None)
    return "" if found is None else found.examples[0].partition(" ")[2]


def settle(session: Session, chat: m.Chat, person: m.Person | None, now: datetime) -> None:
    """Close the question that a press has answered."""
    row = _open(session, chat, person) if person is not None else None
    if row is not None and row.kind == ASKED:
        row.ended_at = now


def completed(
    session: Session,
    chat: m.Chat,
    person: m.Person | None,
    text: str,
    now: datetime,
    context: GrammarContext,
) -> str:
    """Return the text, or the command it stands for when it answers an open question.

    Words that begin with a slash, and words that are a report or a command by themselves, are
    new; a question of the set-up stays open, another one is closed.
    """
    if person is None:
        return text
    row = _open(session, chat, person)
    if row is None or now - row.asked_at > PATIENCE:
        return text
    if row.kind == ASKED:
        row.ended_at = now
    if text.lstrip().startswith("/") or "\n" in text.strip():
        return text
    options = row.state.get("options", ())
    if options and (command := chosen(text, options, context)) is not None:
        return command
    if row.kind == ASKED:
        return _free(row, text, context)
    if "prefix" not in row.state or (row.kind == "first_minute" and _command(text)):
        return text
    if row.kind == "first_minute" and row.state.get("step") == "zone":
        if (place := _no_it_is(text)) is not None:
            return f'/site place "{place}"'
    if row.state.get("step") == "frost":
        return filled(text, row.state["prefix"], context) or f"{row.state['prefix']}{text}"
    suffix = row.state.get("suffix", "")
    return f"{row.state['prefix']}{text.replace(suffix, '') if suffix else text}{suffix}"


def _free(row: m.Dialogue, text: str, context: GrammarContext) -> str:
    """Return what words that are no button's mean where a question asks for one piece."""
    if row.state.get("otherwise") and (place := _no_it_is(text)) is not None:
        before, after = row.state["otherwise"]
        return f"{before}{place}{after}"
    if suffix := row.state.get("suffix", ""):
        return f"{row.state['prefix']}{text.replace(suffix, '')}{suffix}"
    if prefix := row.state.get("prefix", ""):
        return filled(text, prefix, context) or text
    return text


_LEAD = re.compile(
    r"^\W*(?:(?:it'?s|its|it is|we are|we're|i'm|that is|actually)(?!\w)\s*)?"
    r"(?:(?:in|near|at|es|en|estamos|somos|de|está)(?!\w)\s*)*",
    re.IGNORECASE,
)


def _no_it_is(text: str) -> str | None:
    """Return the place of `no, it's Metepec`."""
    words = words_of(text)
    side, _ = leaning(words) if words else ("", 0)
    if side != "no":
        return None
    rest = re.sub(r"^\W*\w+\W*", "", text, count=1)
    place = _LEAD.sub("", rest, count=1).strip(' .,!"')
    return place or None


_DIALOGUE = table(m.Dialogue).c
_OPEN = (
    select(_DIALOGUE.id)
    .where(
        _DIALOGUE.chat_id == bindparam("chat"),
        _DIALOGUE.person_id == bindparam("person"),
        _DIALOGUE.ended_at.is_(None),
        _DIALOGUE.kind.in_((ASKED, "first_minute")),
    )
    .order_by(_DIALOGUE.id.desc())
    .limit(1)
)
"""Asked with every message, and hardly ever there."""


def _open(session: Session, chat: m.Chat, person: m.Person) -> m.Dialogue | None:
    found = rows(session, _OPEN, chat=chat.id, person=person.id)
    return session.get(m.Dialogue, found[0].id) if found else None


def _command(text: str) -> bool:
    """Whether words are a command by themselves, without any slip read into them."""
    found = find_command(text)
    return found is not None and not found.echoes
