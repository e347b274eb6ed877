"""Setting the scene: people, groups, channels, topics and what happens to them."""

from __future__ import annotations

import bisect
from collections.abc import Iterable

from tests.server.chats import (
    CHANNEL_BOT,
    PLATFORM,
    Chat,
    Json,
    Message,
    Topic,
    World,
)
from tests.server.people import User, quoted
from tests.server.text import formatted
from tests.server.transcript import Entry

OTHER_BOT: Json = {
    "id": 9_000_001,
    "is_bot": True,
    "first_name": "Other bot",
    "username": "some_other_test_bot",
}


class Places:
    """The part of a server with which a test builds its world."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.users: dict[int, User] = {}

    @property
    def transcript(self) -> list[Entry]:
        """Everything said in any chat, in order, by people and by the bot."""
        return self.world.transcript

    @property
    def chats(self) -> dict[int, Chat]:
        """All chats by id."""
        return self.world.chats

    def by_bot(self, chat: Chat | None = None, *, since: int = 0) -> list[Entry]:
        """Return what the bot said, edited or deleted, in one chat or all, from seq `since`."""
        entries = self.world.bot_entries
        first = bisect.bisect_left(entries, since, key=lambda entry: entry.seq)
        return [e for e in entries[first:] if chat is None or e.chat_id == chat.id]

    @property
    def said_by_bot(self) -> int:
        """How many lines of the transcript are the bot's; cheap, for waiting on many."""
        return len(self.world.bot_entries)

    def add_user(
        self,
        first_name: str,
        *,
        id: int | None = None,
        username: str | None = None,
        language_code: str | None = None,
        started: bool = False,
    ) -> User:
        """Add a person; `started` opens the private chat without an update."""
        user_id = self.world.new_user_id() if id is None else id
        user = User(self.world, user_id, first_name, username, language_code)
        if started:
            user.open_private()
        self.users[user_id] = user
        return user

    def add_group(
        self,
        title: str,
        *,
        creator: User,
        members: Iterable[User] = (),
        admins: Iterable[User] = (),
        bot: str = "member",
        supergroup: bool = False,
        forum: bool = False,
        username: str | None = None,
        id: int | None = None,
    ) -> Chat:
        """Add a group that was there before (no update); `forum` implies supergroup.

        `bot` is its status there: member, administrator, or left, from where `add_bot` of any
        member brings it in with the updates of that.
        """
        kind = "supergroup" if supergroup or forum else "group"
        chat = self._add(kind, title, username, forum, id)
        for user in members:
            chat.members[user.id] = "member"
        for user in admins:
            chat.members[user.id] = "administrator"
        chat.members[creator.id] = "creator"
        chat.bot = bot
        return chat

    def add_channel(
        self, title: str, *, creator: User, bot: str = "administrator", username: str | None = None
    ) -> Chat:
        """Add a channel."""
        chat = self._add("channel", title, username, False, None)
        chat.members[creator.id] = "creator"
        chat.bot = bot
        return chat

    def _add(
        self, kind: str, title: str, username: str | None, forum: bool, id: int | None
    ) -> Chat:
        chat_id = self.world.new_chat_id(kind) if id is None else id
        chat = Chat(chat_id, kind, title, username, forum)
        self.world.chats[chat_id] = chat
        return chat

    def post(self, channel: Chat, text: str) -> Message:
        """Publish in a channel: the bot gets channel_post if it is there."""
        message = self._say(channel, {"sender_chat": channel.as_json}, text)
        self.world.show_bot("message", message)
        return message

    def say_as_channel(
        self, channel: Chat, group: Chat, text: str, *, reply_to: Message | None = None
    ) -> Message:
        """Speak in a group in the name of a channel."""
        sender = {"from": CHANNEL_BOT, "sender_chat": channel.as_json}
        if reply_to is not None:
            sender["reply_to_message"] = quoted(reply_to)
        message = self._say(group, sender, text)
        self.world.show_bot("message", message)
        return message

    def forward_post(self, post: Message, group: Chat) -> Message:
        """Let a channel's post appear in its discussion group, as the platform does by itself."""
        origin = {
            "type": "channel",
            "date": post.data["date"],
            "chat": post.chat.as_json,
            "message_id": post.id,
        }
        sender = {
            "from": PLATFORM,
            "sender_chat": post.chat.as_json,
            "is_automatic_forward": True,
            "forward_origin": origin,
        }
        message = self._say(group, sender, post.text)
        self.world.show_bot("message", message)
        return message

    def other_bot_says(self, chat: Chat, text: str) -> Message:
        """Let another bot speak: ours does not see it, and plain commands go to the other."""
        chat.last_bot = "other"
        return self._say(chat, {"from": OTHER_BOT}, text)

    def _say(self, chat: Chat, sender: Json, text: str) -> Message:
        shown, marks = formatted(text, None, None)
        content: Json = {"text": shown} | ({"entities": marks} if marks else {})
        message = self.world.add_message(chat, sender | content, by_bot=False)
        who = sender.get("sender_chat") or sender["from"]
        self.world.record("say", str(who["id"]), message)
        return message

    # Topics and migration ------------------------------------------------------------------

    def add_topic(self, chat: Chat, name: str, *, by: User | None = None) -> Topic:
        """Open a forum topic; with `by`, the bot gets the service message of it."""
        if not chat.is_forum:
            raise ValueError(f"{chat.title} is not a forum")
        content: Json = {"forum_topic_created": {"name": name, "icon_color": 7322096}}
        if by is None:
            topic = Topic(self.world.next_message_id(chat), name)
        else:
            content["from"] = by.as_json
            message = self.world.add_message(chat, content, by_bot=False)
            message.data |= {"message_thread_id": message.id, "is_topic_message": True}
            topic = Topic(message.id, name)
            self.world.record("service", str(by.id), message, "forum_topic_created")
            self.world.show_bot("message", message)
        chat.topics[topic.id] = topic
        return topic

    def delete_topic(self, chat: Chat, topic: Topic) -> None:
        """Delete a topic with its messages; the bot is told nothing."""
        topic.deleted = True
        for message in chat.messages.values():
            if message.data.get("message_thread_id") == topic.id:
                message.deleted = True

    def migrate(self, group: Chat, *, announce: bool = True, by: User | None = None) -> Chat:
        """Turn a group into a supergroup with a new id and return that.

        From now on calls with the old id get 400 with `migrate_to_chat_id`; with `announce`, the
        bot also gets both service messages.
        """
        if group.type != "group" or group.moved_to is not None:
            raise ValueError("only a group migrates, and once")
        new = self._add("supergroup", group.title, None, False, None)
        new.members, new.bot, new.last_bot = dict(group.members), group.bot, group.last_bot
        sender = by.as_json if by else self.world.people[next(iter(group.members))]
        notices = (
            (group, {"from": sender, "migrate_to_chat_id": new.id}),
            (new, {"from": sender, "migrate_from_chat_id": group.id}),
        )
        for chat, content in notices:
            message = self.world.add_message(chat, content, by_bot=False)
            self.world.record("service", str(sender["id"]), message, "migrate")
            if announce:
                self.world.show_bot("message", message)
        group.moved_to = new
        return new
