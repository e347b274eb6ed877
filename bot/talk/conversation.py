"""One update in, messages out: the same for every messenger.

All of it happens in the caller's transaction: what was reported, the answer in the outbox, and
the update marked as handled are on disk together or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy.orm import Session

from bot import grammar
from bot.grammar.files import FileUnclear, purpose
from bot.grammar.leading import before
from bot.grammar.problems import EmptyMessage, NotUnderstood
from bot.incoming import Event, Incoming
from bot.message import ALERT, DONE_MARK, KEPT_MARK, Message, joined, pressed
from bot.reading import read
from bot.reading.problems import Asks, NothingTold
from bot.talk import dialogues, living, pressing
from bot.talk.caller import Caller, find_caller, said_of, scene_of, voice_for
from bot.talk.document import File, request_of
from bot.talk.edited import edited
from bot.talk.group_words import grammar_context
from bot.wording.pieces.clarify import clarify, echoed
from bot.wording.pieces.read_back import proposal
from bot.wording.pieces.unheard import nowhere, placed, unheard
from bot.wording.speak import excuse, speak
from bot.wording.voice import Voice
from core import requests as r
from core.apart import Worked
from core.errors import ButtonOld, NotMember, UserError, WhichGroup
from core.handlers.table import answer
from core.languages import LANGUAGES
from core.records import models as m
from core.records import outbox, payloads, people
from core.records.undoing import undone_on_mistake
from core.replies.base import Choice, Reply
from core.replies.start import Followed, SetUpQuestion
from core.scene import Scene, Standing


def respond(
    session: Session,
    incoming: Incoming,
    now: datetime,
    *,
    inbox_id: int | None = None,
    bot_name: str = "",
    file: File | None = None,
    worked: Mapping[str, Worked] | None = None,
    standing: Standing = Standing.RECORDED,
) -> list[Message]:
    """Handle one update and put the answers into the outbox; return them too.

    Args:
        file: the document's bytes, once fetched.
        worked: what was worked out beforehand, by errand; None = work it out here.
        standing: what the messenger says of the speaker's rights.

    Raises FileWanted, RightsWanted and Errand for what is to be had first.
    """
    if incoming.event is Event.MOVED:
        people.rename_chat(session, incoming.platform, incoming.chat, incoming.text)
        return []
    if incoming.event is Event.PRESS:
        incoming = replace(incoming, text=_carried(session, incoming, now))
    caller = find_caller(session, incoming, now, standing)
    messages = list(
        _messages(session, incoming, caller, now, inbox_id, bot_name, file, worked, standing)
    )
    for number, message in enumerate(messages):
        if incoming.event is not Event.TEXT:
            message = replace(message, mark="")  # there is no message of theirs to set it on
        outbox.put(
            session,
            f"{incoming.platform}:{incoming.key}:{number}",
            caller.chat.id,
            message.body(caller.group.id if incoming.private and caller.group else None)
            | pressing.alone(incoming, message),
            now,
            said=said_of(incoming, caller),
            silent=not incoming.private,  # whoever asked is looking
            stale_at=pressing.of_no_use_from(message, now) if incoming.press else None,
        )
    if incoming.event is Event.PRESS and not any(message.alone for message in messages):
        pressing.take_buttons(session, incoming, caller.chat.id, now)
    return messages


def _carried(session: Session, incoming: Incoming, now: datetime) -> str:
    """Return what a pressed button carries; "" where it is not kept, or another chat's."""
    if not incoming.text.startswith(KEPT_MARK):
        return incoming.text
    key = incoming.text.removeprefix(KEPT_MARK)
    known = people.known(session, incoming.platform, incoming.chat, None)
    if known.chat is None or not 0 < len(key) <= payloads.LONGEST_KEY:
        return ""
    return payloads.pressed_command(session, known.chat.id, key, now) or ""


def _messages(
    session: Session,
    incoming: Incoming,
    caller: Caller,
    now: datetime,
    inbox_id: int | None,
    bot_name: str,
    file: File | None,
    worked: Mapping[str, Worked] | None,
    standing: Standing,
) -> list[Message]:
    voice = voice_for(
        session,
        caller.group,
        caller.person,
        now,
        private=incoming.private,
        bot_name=bot_name,
        language=incoming.language if incoming.language in LANGUAGES else None,
    )
    voice = _in_its_language(voice, incoming, caller)
    scene = replace(scene_of(caller, incoming, now, inbox_id, standing), worked=worked)
    match incoming.event:
        case Event.TEXT | Event.PRESS:
            pass
        case Event.FILE:
            context = grammar_context(session, caller.group.id if caller.group else None, voice)
            meant = purpose(incoming, context)
            if isinstance(meant, UserError) or not meant.other:
                return _file(session, incoming, scene, caller, voice, context, file)
        case Event.EDITED | Event.UNHEARD | Event.PLACE:
            return _without_news(session, incoming, scene, caller, voice)
        case Event.ADDED:
            return [_answer(session, r.Start(), scene, caller, voice)]
        case Event.LEFT:
            if caller.member is not None:
                from core.handlers.people import leave

                leave(session, scene, caller.member)
            return []
        case _:
            return []
    if incoming.event is Event.PRESS:
        about, command = pressed(incoming.text)
        if not command or (about is not None and not incoming.private):
            return [replace(excuse(ButtonOld(), voice), alone=ALERT)]
        elsewhere = about is not None and caller.group is None
        if elsewhere or (caller.group is not None and caller.member is None):
            return [replace(excuse(NotMember(), voice), alone=ALERT)]
        incoming = replace(incoming, text=command)
    told = understood(session, incoming, caller, now, voice=voice, scene=scene)
    answers: list[Message] = []
    if _founds(told, incoming, caller):
        scene = replace(scene, language=_spoken(incoming, scene.language or "en"))
        greeter = replace(voice, language=scene.language or voice.language)
        answers.append(_answer(session, r.Start(), scene, caller, greeter))
        caller = find_caller(session, incoming, now, standing)
        voice = voice_for(
            session, caller.group, caller.person, now, private=False, bot_name=bot_name
        )
        scene = replace(scene_of(caller, incoming, now, inbox_id, standing), worked=worked)
        told = understood(session, incoming, caller, now, voice=voice, scene=scene)
    for number, line in enumerate(told.lines):
        scene = replace(scene, line=number)
        if line.request == r.Start() and not incoming.private:
            caller.chat.thread = incoming.thread  # notices go to the topic of the set-up
        said, asks = _said(session, line, scene, caller, voice)
        if said is None:
            continue
        if asks:
            said = replace(
                said, once=True, hint="" if incoming.private else dialogues.hint(line.prefix)
            )
        answers.append(said)
        if asks:
            prefix, suffix = line.prefix, ""
            if isinstance(line.request, r.Lead):
                prefix, suffix = before(line.request)
            dialogues.remember(
                session, caller.chat, caller.person, caller.group, said.rows, prefix, now,
                suffix=suffix,
            )  # fmt: skip
    asked = [line.request for line in told.lines if line.request is not None]
    if caller.group is not None and any(map(living.changes, asked)):
        key = f"{incoming.platform}:{incoming.key}"
        by = caller.member.id if caller.member is not None else None
        shown = living.refresh(session, caller.group, key, now, by=by, bot_name=bot_name)
        if _shown(asked, answers, shown):
            return []
    return [joined(answers, voice.say("Undo all"))] if answers else []


def _in_its_language(voice: Voice, incoming: Incoming, caller: Caller) -> Voice:
    """Speak as the message does, in a group that wants each answered in its own language."""
    group = caller.group
    if incoming.private or group is None or not group.each_language:
        return voice
    if incoming.event is not Event.TEXT:
        return voice
    spoken = _spoken(incoming, group.language)
    return replace(voice, language=spoken) if spoken in LANGUAGES else voice


def _spoken(incoming: Incoming, usual: str) -> str:
    """Return the language a message is written in; `usual` where its words do not tell."""
    from bot.reading.lexicon import language_of
    from bot.reading.tokens import words_of

    return language_of(list(words_of(incoming.text[:LONGEST_JUDGED])), usual)


FOUNDING = (
    r.SetSite, r.SetFrost, r.SetShelf, r.SetTray, r.SetMember, r.SetDuty, r.SetClosed, r.Sow,
)  # fmt: skip


def _founds(told: Understood, incoming: Incoming, caller: Caller) -> bool:
    """Whether a first sentence sets a group's chat up: nobody need know of a command for it."""
    if incoming.private or caller.group is not None or incoming.text.lstrip().startswith("/"):
        return False
    return any(isinstance(line.request, FOUNDING) for line in told.lines)


LONGEST_JUDGED = 400  # characters from whose words a language is told


def _shown(asked: list[r.Request], answers: list[Message], notices: frozenset[int]) -> bool:
    """Whether all that was done is to be seen on the message whose button was pressed."""
    return (
        len(asked) == len(answers) == 1
        and isinstance(asked[0], r.Done)
        and asked[0].notice in notices
        and bool(answers[0].rows)  # it recorded something that can be taken back
    )


def _without_news(
    session: Session, incoming: Incoming, scene: Scene, caller: Caller, voice: Voice
) -> list[Message]:
    """Answer an edit, or what has no words, where it was said to the bot."""
    context = grammar_context(session, caller.group.id if caller.group else None, voice)
    to_us = incoming.private or incoming.addressed
    if incoming.event is Event.EDITED:
        if not (to_us or grammar.addressed(incoming.text, context)):
            return []
        said = edited(session, incoming, scene, voice, context)
        return [] if said is None else [said]
    if not to_us:
        return []
    if incoming.event is Event.UNHEARD:
        return [unheard(incoming.text, voice)]
    from core.trade.places import place_near

    latitude, _, longitude = incoming.text.partition(" ")
    place = place_near(float(latitude), float(longitude))
    return [nowhere(voice) if place is None else placed(place.text, voice)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """What was read of one update, and the occasion it is answered on; no line = not for us."""

    lines: tuple[grammar.Line, ...]
    scene: Scene
    voice: Voice


def understood(
    session: Session,
    incoming: Incoming,
    caller: Caller,
    now: datetime,
    *,
    voice: Voice | None = None,
    scene: Scene | None = None,
) -> Understood:
    """Read typed words or a press; nothing is done yet."""
    voice = voice or voice_for(session, caller.group, caller.person, now, private=incoming.private)
    scene = scene or scene_of(caller, incoming, now, None)
    press = incoming.event is Event.PRESS
    context = grammar_context(session, caller.group.id if caller.group else None, voice)
    text = incoming.text
    meant_for_us = press or incoming.private or incoming.addressed
    if not meant_for_us and not grammar.addressed(text, context):
        return Understood(lines=(), scene=scene, voice=voice)
    if press:
        dialogues.settle(session, caller.chat, caller.person, now)
    else:
        text = dialogues.completed(session, caller.chat, caller.person, text, now, context)
    lines = grammar.parse(text, context) if press else read(text, context)
    return Understood(lines=lines, scene=scene, voice=voice)


def _said(
    session: Session, line: grammar.Line, scene: Scene, caller: Caller, voice: Voice
) -> tuple[Message | None, bool]:
    """Return what one line is answered, and whether that is a question kept open."""
    if line.proposed:
        return echoed(proposal(line.proposed, voice), line.echoes, voice), True
    if line.choices:
        return clarify(line, voice), True
    if line.problem is not None:
        return _trouble(session, line, scene, caller, voice), bool(line.prefix)
    if line.request is None:
        return None, False
    said, asks = _answered(session, line.request, scene, caller, voice)
    if line.echoes or scene.private or not (caller.group and caller.group.brief):
        said = replace(said, mark="")
    return echoed(said, line.echoes, voice), asks


def _answer(
    session: Session, request: r.Request, scene: Scene, caller: Caller, voice: Voice
) -> Message:
    """Answer one request."""
    return _answered(session, request, scene, caller, voice)[0]


def _answered(
    session: Session, request: r.Request, scene: Scene, caller: Caller, voice: Voice
) -> tuple[Message, bool]:
    """Answer one request, and tell whether that asks back. A mistake undoes its own writes."""
    several = scene.group_id is None and len(caller.groups) > 1
    try:
        with undone_on_mistake(session):
            if several and not isinstance(
                request, r.Start | r.Me | r.Help | r.ForgetMe | r.CropInfo
            ):
                raise _which(caller)
            reply = answer(request, scene, session)
    except UserError as error:
        return replace(excuse(error, voice), alone=ALERT), False
    _tell_group(session, reply, scene, voice)
    last = reply.following if isinstance(reply, Followed) else reply
    asks = isinstance(last, Choice | SetUpQuestion)
    said = speak(reply, voice)
    return (replace(said, mark=DONE_MARK) if getattr(reply, "plain", False) else said), asks


def _tell_group(session: Session, reply: Reply, scene: Scene, voice: Voice) -> None:
    """Post in the group what was said in private and concerns it, in the same transaction."""
    for_group: Reply | None = getattr(reply, "for_group", None)
    if for_group is None or scene.group_id is None:
        return
    chat = people.group_chat(session, scene.group_id)
    if chat is None or chat.id == scene.chat_id:
        return
    group = session.get_one(m.Group, scene.group_id)
    loud = voice_for(session, group, None, scene.now, private=False, bot_name=voice.bot_name)
    key = f"group:{scene.inbox_id}:{scene.line}:{scene.now.isoformat()}"
    outbox.put(session, key, chat.id, speak(for_group, loud).body(), scene.now)


def _trouble(
    session: Session, line: grammar.Line, scene: Scene, caller: Caller, voice: Voice
) -> Message:
    """What was not a command may be trouble in plain words, when said to the bot itself."""
    problem = line.problem
    assert problem is not None
    told = isinstance(problem, Asks | NothingTold)
    if isinstance(problem, NotUnderstood) and not told and scene.group_id is not None:
        words = line.typed.split()
        if len(words) >= 2 and not line.typed.startswith("/"):
            from core.trouble.kind import speaks_of_trouble

            if speaks_of_trouble(line.typed):
                return _answer(session, r.Ask(text=line.typed), scene, caller, voice)
    if isinstance(problem, EmptyMessage) and not scene.private:
        return Message(text=voice.say("Yes? Try: /due or /help"))
    return excuse(problem, voice)


def _which(caller: Caller) -> WhichGroup:
    return WhichGroup(groups=tuple((group.id, group.name) for group in caller.groups))


def _file(
    session: Session,
    incoming: Incoming,
    scene: Scene,
    caller: Caller,
    voice: Voice,
    context: grammar.GrammarContext,
    file: File | None,
) -> list[Message]:
    try:
        if scene.group_id is None and len(caller.groups) > 1:
            raise _which(caller)
        request = request_of(session, incoming, scene, context, file)
    except UserError as error:
        unasked = isinstance(error, FileUnclear) and not (incoming.private or incoming.text)
        return [] if unasked else [excuse(error, voice)]
    return [] if request is None else [_answer(session, request, scene, caller, voice)]
