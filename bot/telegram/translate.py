"""Telegram's updates in the project's own terms.

What members reported counts once: an edited message is never run again, only asked about.
A member's words in a group count as said to the bot when they answer one of its messages or
mention it; the mention is taken out. Who speaks as the group or as a channel has no name.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from telegram import Bot, CallbackQuery, Chat, ChatMember, ChatMemberUpdated, Message, Update, User
from telegram.constants import ChatMemberStatus, ChatType

from bot.bounds import MOST_MEMBERS
from bot.incoming import ADMIN, PICTURE, STICKER, VOICE, Event, Incoming
from bot.telegram.admins import RUNS

PLATFORM = "telegram"
GONE = (ChatMemberStatus.LEFT, ChatMemberStatus.BANNED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """One thing to store: `lane` is the chat in whose order it is handled."""

    lane: str
    incoming: Incoming


def translate(update: Update, bot: Bot) -> list[Arrival]:
    """Return what one update holds; several when several people came in at once."""
    key = str(update.update_id)
    if update.callback_query is not None:
        return [_press(key, update.callback_query)]
    if update.my_chat_member is not None:
        return [_status(key, update.my_chat_member)]
    if update.chat_member is not None:
        return [_member(key, update.chat_member)]
    message = update.message or update.channel_post
    if message is not None:
        return _message(key, message, bot)
    edited = update.edited_message or update.edited_channel_post
    if edited is not None:
        said = _said(key, edited, bot)
        if said.incoming.event is not Event.TEXT:
            return [_in_chat(key, edited.chat, Event.OTHER)]
        changed = replace(said.incoming, event=Event.EDITED)
        return [replace(said, incoming=changed)]
    chat = update.effective_chat
    if chat is None:
        return [
            Arrival(
                lane="",
                incoming=Incoming(
                    platform=PLATFORM, key=key, chat="", private=False, event=Event.OTHER
                ),
            )
        ]
    return [_in_chat(key, chat, Event.OTHER)]


def _in_chat(
    key: str,
    chat: Chat,
    event: Event,
    user: User | None = None,
    *,
    text: str = "",
    addressed: bool = False,
    press: str | None = None,
    message: Message | None = None,
) -> Arrival:
    document = message.document if message is not None and event is Event.FILE else None
    topic = message is not None and message.is_topic_message
    return Arrival(
        lane=str(chat.id),
        incoming=Incoming(
            platform=PLATFORM,
            key=key,
            chat=str(chat.id),
            private=chat.type == ChatType.PRIVATE,
            event=event,
            text=text,
            title=chat.title,
            user=None if user is None else str(user.id),
            name="" if user is None else user.first_name,
            username=None if user is None else user.username,
            language=None if user is None else (user.language_code or "")[:2] or None,
            addressed=addressed,
            press=press,
            message=None if message is None else str(message.message_id),
            thread=str(message.message_thread_id) if message is not None and topic else None,
            file_ref=document.file_id if document else None,
            file_name=document.file_name if document else None,
            file_size=document.file_size if document else None,
        ),
    )


def _press(key: str, query: CallbackQuery) -> Arrival:
    chat = query.message.chat if query.message is not None else None
    if chat is None:
        nowhere = Incoming(
            platform=PLATFORM, key=key, chat="", private=False, event=Event.OTHER, press=query.id
        )
        return Arrival(lane="", incoming=nowhere)
    message = query.message if isinstance(query.message, Message) else None
    return _in_chat(
        key,
        chat,
        Event.PRESS,
        query.from_user,
        text=query.data or "",
        press=query.id,
        message=message,
    )


def _status(key: str, change: ChatMemberUpdated) -> Arrival:
    """The bot's own standing in a chat changed."""
    was_gone = change.old_chat_member.status in GONE
    is_gone = change.new_chat_member.status in GONE
    if is_gone:
        event = Event.REMOVED
    elif was_gone and change.chat.type in (ChatType.GROUP, ChatType.SUPERGROUP):
        event = Event.ADDED
    else:  # promoted, or unblocked: heard, and no more
        event = Event.OTHER
    return _in_chat(key, change.chat, event, change.from_user)


def _member(key: str, change: ChatMemberUpdated) -> Arrival:
    """Somebody came, left, or runs the chat now or no more."""
    old, new = change.old_chat_member, change.new_chat_member
    user = new.user
    text = ""
    if user.is_bot:
        event = Event.OTHER
    elif _gone(new):
        event = Event.LEFT
    elif _gone(old):
        event = Event.JOINED
    else:
        event, text = Event.RIGHTS, ADMIN if new.status in RUNS else ""
    return _in_chat(key, change.chat, event, None if user.is_bot else user, text=text)


def _gone(member: ChatMember) -> bool:
    return member.status in GONE or getattr(member, "is_member", True) is False


def _message(key: str, message: Message, bot: Bot) -> list[Arrival]:
    chat = message.chat
    if message.migrate_to_chat_id is not None:
        return [_moved(key, lane=chat.id, old=chat.id, new=message.migrate_to_chat_id)]
    if message.migrate_from_chat_id is not None:
        return [_moved(key, lane=chat.id, old=message.migrate_from_chat_id, new=chat.id)]
    if message.new_chat_members:
        people = [user for user in message.new_chat_members[:MOST_MEMBERS] if not user.is_bot]
        keys = [key, *(f"{key}:{n}" for n in range(1, len(people)))]
        joined = [
            _in_chat(k, chat, Event.JOINED, user) for k, user in zip(keys, people, strict=False)
        ]
        return joined or [_in_chat(key, chat, Event.OTHER)]
    if message.left_chat_member is not None:
        if message.left_chat_member.is_bot:
            return [_in_chat(key, chat, Event.OTHER)]
        return [_in_chat(key, chat, Event.LEFT, message.left_chat_member)]
    return [_said(key, message, bot)]


def _said(key: str, message: Message, bot: Bot) -> Arrival:
    user = message.from_user
    if message.sender_chat is not None or user is None:
        user = None  # an anonymous admin, or a channel
    again = message.forward_origin is not None and message.document is None  # said elsewhere
    if again or message.is_automatic_forward or (user is not None and user.is_bot):
        return _in_chat(key, message.chat, Event.OTHER)
    if message.document is not None:
        event, text = Event.FILE, message.caption or ""
    elif message.text is not None or message.caption is not None:
        event, text = Event.TEXT, message.text or message.caption or ""
    else:
        event, text = _without_words(message)
    text, mentioned = without_mention(text, bot.username)
    answered = message.reply_to_message
    ours = (
        answered is not None
        and answered.from_user is not None
        and answered.from_user.id == bot.id
        and answered.forum_topic_created is None
    )
    return _in_chat(
        key,
        message.chat,
        event,
        user,
        text=text,
        addressed=mentioned or ours,
        message=message,
    )


def _without_words(message: Message) -> tuple[Event, str]:
    """Return what a message without any words is; a location is rounded to a hundredth."""
    if message.location is not None:
        return Event.PLACE, f"{message.location.latitude:.2f} {message.location.longitude:.2f}"
    if message.voice is not None or message.video_note is not None or message.audio is not None:
        return Event.UNHEARD, VOICE
    if message.photo or message.video is not None or message.animation is not None:
        return Event.UNHEARD, PICTURE
    if message.sticker is not None:
        return Event.UNHEARD, STICKER
    return Event.OTHER, ""


def _moved(key: str, *, lane: int, old: int, new: int) -> Arrival:
    incoming = Incoming(
        platform=PLATFORM,
        key=key,
        chat=str(old),
        private=False,
        event=Event.MOVED,
        text=str(new),
    )
    return Arrival(lane=str(lane), incoming=incoming)


def without_mention(text: str, username: str) -> tuple[str, bool]:
    """Return the text without `@username` standing by itself, and whether it stood there."""
    found = re.subn(rf"(?<![\w/])@{re.escape(username)}(?!\w)[,:]?\s?", "", text, flags=re.I)
    return (found[0].strip(), True) if found[1] else (text, False)
