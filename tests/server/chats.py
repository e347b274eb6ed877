"""The chats, people and messages the server knows, and who may see what.

What the bot under test gets from a group with privacy mode on, as published (Bot features,
"Privacy mode"; Bots FAQ, "What messages will my bot get?"): service messages; replies to its own
messages; `/word@its_name` at the start; plain `/word` at the start if it was the last bot to
send there.  Chosen here where nothing is published: plain `/word` also counts while no bot has
sent yet.  A mere @mention is not in the published list and so is not delivered, unless
`privacy_mentions` is set (the platform's own set-up dialogue says it would be).  Bot admins and
bots with privacy mode off get everything.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from tests.server.contract import ApiError
from tests.server.files import FileShelf, StoredFile
from tests.server.transcript import Button, Entry, buttons_of
from tests.server.updates import UpdateQueue

Json = dict[str, Any]

ANONYMOUS_ADMIN: Json = {
    "id": 1087968824,
    "is_bot": True,
    "first_name": "Group",
    "username": "GroupAnonymousBot",
}
CHANNEL_BOT: Json = {
    "id": 136817688,
    "is_bot": True,
    "first_name": "Channel",
    "username": "Channel_Bot",
}
PLATFORM: Json = {"id": 777000, "is_bot": False, "first_name": "Telegram"}
GENERAL_TOPIC = 1
PRESENT = ("creator", "administrator", "member")


@dataclass(slots=True, eq=False)
class Message:
    """One message; `data` is what the API shows of it, reply included."""

    chat: Chat = field(repr=False)
    id: int
    data: Json
    by_bot: bool
    file: StoredFile | None = None
    deleted: bool = False
    reaction: str | None = None  # the bot's own
    forced: Json | None = None  # what it makes a reader's app ask for
    votes: dict[int, list[int]] = field(default_factory=dict)  # of a poll: user id -> options

    @property
    def text(self) -> str:
        """Text or caption as it stands now."""
        return str(self.data.get("text") or self.data.get("caption") or "")

    @property
    def markup(self) -> Json | None:
        """Inline keyboard as it stands now."""
        return self.data.get("reply_markup")

    @property
    def buttons(self) -> list[Button]:
        """Inline buttons as they stand now, in reading order."""
        return [button for row in buttons_of(self.markup) for button in row]


@dataclass(slots=True, eq=False)
class Topic:
    """A forum topic; `id` is its message_thread_id."""

    id: int
    name: str
    closed: bool = False
    deleted: bool = False


@dataclass(slots=True, eq=False)
class Chat:
    """One chat.

    Attributes:
        members: user id -> status, people only.
        bot: the bot's status; `left` before it was added, `kicked` after being thrown out (or
            blocked, in a private chat).
        can_send: False denies the bot the right to send.
        reactions: False where the chat allows none.
        last_bot: `ours`, `other` or None: which bot sent last.
        moved_to: the supergroup this group became.
        deactivated: the person behind this private chat has closed the account.
    """

    id: int
    type: str
    title: str
    username: str | None = None
    is_forum: bool = False
    members: dict[int, str] = field(default_factory=dict)
    bot: str = "left"
    can_send: bool = True
    reactions: bool = True
    last_bot: str | None = None
    moved_to: Chat | None = None
    topics: dict[int, Topic] = field(default_factory=dict)
    messages: dict[int, Message] = field(default_factory=dict, repr=False)
    opened: bool = True
    deactivated: bool = False
    as_json: Json = field(default_factory=dict)

    def __post_init__(self) -> None:
        name = "first_name" if self.type == "private" else "title"
        self.as_json = {"id": self.id, "type": self.type, name: self.title}
        if self.username:
            self.as_json["username"] = self.username
        if self.is_forum:
            self.as_json["is_forum"] = True

    @property
    def is_group(self) -> bool:
        """True for groups and supergroups."""
        return self.type in ("group", "supergroup")

    def topic(self, name: str) -> Topic:
        """Return the living topic of this name; KeyError if none."""
        for topic in self.topics.values():
            if topic.name == name and not topic.deleted:
                return topic
        raise KeyError(name)


class World:
    """Everything the bot can meet, and the record of what was said."""

    def __init__(
        self,
        *,
        bot: Json,
        updates: UpdateQueue,
        wall: Callable[[], float],
        privacy: bool,
        privacy_mentions: bool,
    ) -> None:
        self.bot = bot
        self.updates = updates
        self.wall = wall
        self.privacy = privacy
        self.privacy_mentions = privacy_mentions
        self.people: dict[int, Json] = {}
        self.chats: dict[int, Chat] = {}
        self.files = FileShelf()
        self.transcript: list[Entry] = []
        self.bot_entries: list[Entry] = []
        self.queries: dict[str, Any] = {}
        self.on_change: Callable[[], None] = lambda: None
        self._user_ids = itertools.count(5_000_001)
        self._chat_ids = itertools.count(4_000_001)
        self._shared_ids = itertools.count(1)
        self._own_ids: dict[int, itertools.count[int]] = {}

    def new_user_id(self) -> int:
        """Return an id no user has yet."""
        return next(i for i in self._user_ids if i not in self.people)

    def new_chat_id(self, kind: str) -> int:
        """Return an id of the form its kind has: groups -N, others -100N."""
        number = next(self._chat_ids)
        return -number if kind == "group" else -1_000_000_000_000 - number

    def find(self, chat_id: int | str) -> Chat:
        """Return the chat an API call names; raise ApiError if the bot can't know it."""
        chat: Chat | None
        if isinstance(chat_id, str):
            wanted = chat_id.removeprefix("@").lower()
            known = (c for c in self.chats.values() if c.username and c.type != "private")
            chat = next((c for c in known if str(c.username).lower() == wanted), None)
        else:
            chat = self.chats.get(chat_id)
        if chat is None:
            raise ApiError(400, "Bad Request: chat not found")
        return chat

    def next_message_id(self, chat: Chat) -> int:
        """Private chats and groups share a count, supergroups and channels have their own.

        Own counts start at 2: message 1 is the creation, and 1 names the General topic.
        """
        if chat.type in ("private", "group"):
            return next(self._shared_ids)
        return next(self._own_ids.setdefault(chat.id, itertools.count(2)))

    def add_message(
        self, chat: Chat, data: Json, *, by_bot: bool, file: StoredFile | None = None
    ) -> Message:
        """Put a message into a chat, giving it id and date; return it."""
        message_id = self.next_message_id(chat)
        whole = {"message_id": message_id, "date": int(self.wall()), "chat": chat.as_json, **data}
        message = Message(chat, message_id, whole, by_bot, file)
        chat.messages[message_id] = message
        return message

    def record(self, method: str, sender: str, message: Message, text: str | None = None) -> Entry:
        """Write one line of the transcript."""
        data = message.data
        reply = data.get("reply_to_message")
        entry = Entry(
            seq=len(self.transcript),
            at=self.wall(),
            method=method,
            sender=sender,
            chat_id=message.chat.id,
            message_id=message.id,
            text=message.text if text is None else text,
            message=message,
            thread_id=data.get("message_thread_id"),
            reply_to=reply["message_id"] if reply else None,
            entities=data.get("entities") or data.get("caption_entities") or [],
            markup=data.get("reply_markup") or message.forced,
            file=message.file,
        )
        self.transcript.append(entry)
        if sender == "bot":
            self.bot_entries.append(entry)
        self.on_change()
        return entry

    def show_bot(self, kind: str, message: Message) -> int | None:
        """Queue an update of a person's message if the bot gets to see it; return its id."""
        chat = message.chat
        if chat.bot not in PRESENT or not self._visible(message):
            return None
        if chat.type == "channel":
            kind = kind.replace("message", "channel_post")
        return self.updates.push(kind, message.data, chat.id)

    def _visible(self, message: Message) -> bool:
        chat, data = message.chat, message.data
        if not chat.is_group or not self.privacy or chat.bot == "administrator":
            return True
        content = "text" if "text" in data else "caption"
        if content not in data and "document" not in data and "photo" not in data:
            return True
        reply = data.get("reply_to_message")
        if reply and reply.get("from", {}).get("id") == self.bot["id"]:
            return True
        text = str(data.get(content, ""))
        name = str(self.bot["username"]).lower()
        for entity in data.get("entities") or data.get("caption_entities") or ():
            words = text.encode("utf-16-le")[entity["offset"] * 2 :][: entity["length"] * 2]
            word = words.decode("utf-16-le").lower()
            if entity["type"] == "bot_command" and entity["offset"] == 0:
                _, at, addressed = word.partition("@")
                return addressed == name if at else chat.last_bot in (None, "ours")
            if self.privacy_mentions and entity["type"] == "mention" and word == "@" + name:
                return True
        return False

    def bot_member(self, status: str) -> Json:
        """Return the bot's ChatMember of a status."""
        return member_json(self.bot_user(), status)

    def bot_user(self) -> Json:
        """Return the bot as a User inside messages."""
        return {k: self.bot[k] for k in ("id", "is_bot", "first_name", "username")}

    def change_bot(self, chat: Chat, status: str, by: Json) -> None:
        """Change the bot's status in a chat and tell it by my_chat_member."""
        old, chat.bot = chat.bot, status
        change = {
            "chat": chat.as_json,
            "from": by,
            "date": int(self.wall()),
            "old_chat_member": self.bot_member(old),
            "new_chat_member": self.bot_member(status),
        }
        self.updates.push("my_chat_member", change, chat.id)


def member_json(user: Json, status: str) -> Json:
    """Return a ChatMember as published, with every field its status requires."""
    member: Json = {"status": status, "user": user}
    if status == "creator":
        member["is_anonymous"] = False
    elif status == "administrator":
        member.update(dict.fromkeys(_ADMIN_RIGHTS, True), is_anonymous=False, can_be_edited=False)
    elif status == "kicked":
        member["until_date"] = 0
    return member


_ADMIN_RIGHTS = [
    "can_manage_chat",
    "can_delete_messages",
    "can_manage_video_chats",
    "can_restrict_members",
    "can_promote_members",
    "can_change_info",
    "can_invite_users",
    "can_post_stories",
    "can_edit_stories",
    "can_delete_stories",
    "can_pin_messages",
    "can_manage_topics",
]
