"""What people do: start, say, edit, press, send files, add and throw out the bot."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from typing import Any

from tests.server.chats import ANONYMOUS_ADMIN, PRESENT, Chat, Json, Message, World, member_json
from tests.server.contract import Upload
from tests.server.polls import vote
from tests.server.text import formatted
from tests.server.transcript import Button, Entry

_QUERY_IDS = itertools.count(7_000_000_000_001)


@dataclass(slots=True, eq=False)
class Press:
    """One press of a button and what the bot answered.

    Attributes:
        id: callback query id.
        answered: True once answerCallbackQuery came.
        text, alert: what the presser was shown.
    """

    id: str
    button: Button
    message: Message
    update_id: int | None = None
    answered: bool = False
    expired: bool = False
    text: str = ""
    alert: bool = False

    def expire(self) -> None:
        """Let the query grow too old to be answered."""
        self.expired = True


@dataclass(slots=True, eq=False)
class User:
    """One person.  Every action queues the update the bot would get, if it gets one."""

    world: World = field(repr=False)
    id: int
    first_name: str
    username: str | None = None
    language_code: str | None = None
    private: Chat = field(init=False)
    as_json: Json = field(init=False)

    def __post_init__(self) -> None:
        self.as_json = {"id": self.id, "is_bot": False, "first_name": self.first_name}
        if self.username:
            self.as_json["username"] = self.username
        if self.language_code:
            self.as_json["language_code"] = self.language_code
        self.private = Chat(self.id, "private", self.first_name, self.username, opened=False)
        self.private.members[self.id] = "member"
        self.world.chats[self.id] = self.private
        self.world.people[self.id] = self.as_json

    # Private chat --------------------------------------------------------------------------

    def open_private(self) -> None:
        """Have started the bot before; no update."""
        self.private.opened, self.private.bot = True, "member"

    def start(self, payload: str = "") -> Message:
        """Press Start in the private chat: sends /start, with the deep-link payload if given."""
        return self.say(self.private, f"/start {payload}".strip())

    def block(self) -> None:
        """Block the bot."""
        self.world.change_bot(self.private, "kicked", self.as_json)

    def unblock(self) -> None:
        """Unblock the bot without saying anything."""
        self.world.change_bot(self.private, "member", self.as_json)

    def deactivate(self) -> None:
        """Close the account."""
        self.private.deactivated = True

    # Saying --------------------------------------------------------------------------------

    def say(
        self,
        chat: Chat,
        text: str,
        *,
        reply_to: Message | Entry | None = None,
        topic: int | None = None,
        anonymous: bool = False,
        entities: list[Json] | None = None,
        edit: Message | None = None,
    ) -> Message:
        """Say something, or change what was said before (`edit`).

        Args:
            reply_to: message replied to, anybody's, in the same chat.
            topic: message_thread_id in a forum; None is the General topic.
            anonymous: speak as the group, for admins of supergroups.
            entities: added to those the platform finds by itself.
        """
        if edit is not None:
            return self.edit(edit, text)
        shown, marks = formatted(text, None, entities)
        content: Json = {"text": shown}
        if marks:
            content["entities"] = marks
        return self._send(chat, content, reply_to, topic, anonymous)

    def edit(self, message: Message, text: str) -> Message:
        """Change the text of an own message."""
        data = message.data
        shown, marks = formatted(text, None, None)
        data = {k: v for k, v in data.items() if k not in ("entities", "caption_entities")}
        key = "caption" if "caption" in data else "text"
        data |= {key: shown, "edit_date": int(self.world.wall())}
        if marks:
            data["caption_entities" if key == "caption" else "entities"] = marks
        message.data = data
        self.world.record("edit", str(self.id), message)
        self.world.show_bot("edited_message", message)
        return message

    def send_without_words(
        self,
        chat: Chat,
        content: Json,
        *,
        reply_to: Message | Entry | None = None,
    ) -> Message:
        """Send a voice note, a sticker, a location: `content` as in the platform's Message."""
        return self._send(chat, content, reply_to, None, False)

    def send_document(
        self,
        chat: Chat,
        data: bytes,
        name: str = "file.txt",
        mime: str = "text/plain",
        *,
        caption: str = "",
        reply_to: Message | Entry | None = None,
        topic: int | None = None,
    ) -> Message:
        """Send a file; the bot can fetch it with getFile."""
        return self._send_file("document", chat, Upload(name, mime, data), caption, reply_to, topic)

    def send_photo(
        self,
        chat: Chat,
        data: bytes,
        *,
        caption: str = "",
        reply_to: Message | Entry | None = None,
        topic: int | None = None,
    ) -> Message:
        """Send a picture, bytes of any common image format."""
        upload = Upload("photo.jpg", "image/jpeg", data)
        return self._send_file("photo", chat, upload, caption, reply_to, topic)

    def _send_file(
        self,
        kind: str,
        chat: Chat,
        upload: Upload,
        caption: str,
        reply_to: Message | Entry | None,
        topic: int | None,
    ) -> Message:
        stored = self.world.files.add(kind, upload)
        content = stored.in_message()
        if caption:
            shown, marks = formatted(caption, None, None)
            content["caption"] = shown
            if marks:
                content["caption_entities"] = marks
        return self._send(chat, content, reply_to, topic, False, stored)

    def _send(
        self,
        chat: Chat,
        content: Json,
        reply_to: Message | Entry | None,
        topic: int | None,
        anonymous: bool,
        file: Any = None,
    ) -> Message:
        if chat.moved_to is not None:
            raise ValueError("the group has become a supergroup; speak there")
        if chat is self.private:
            self._reopen()
        elif chat.members.get(self.id) not in PRESENT:
            raise ValueError(f"{self.first_name} is not in {chat.title}")
        data: Json = {"from": self.as_json}
        if anonymous:
            if chat.members[self.id] == "member" or chat.type != "supergroup":
                raise ValueError("only admins of supergroups speak anonymously")
            data = {"from": ANONYMOUS_ADMIN, "sender_chat": chat.as_json}
        if topic is not None:
            if topic not in chat.topics or chat.topics[topic].deleted:
                raise ValueError(f"no topic {topic} in {chat.title}")
            data |= {"message_thread_id": topic, "is_topic_message": True}
        if reply_to is not None:
            data["reply_to_message"] = quoted(as_message(reply_to))
        message = self.world.add_message(chat, data | content, by_bot=False, file=file)
        self.world.record("say", str(self.id), message)
        self.world.show_bot("message", message)
        return message

    def _reopen(self) -> None:
        if self.private.bot == "kicked":
            self.unblock()
        if not self.private.opened:
            self.open_private()

    def vote(self, message: Message | Entry, *chosen: int) -> None:
        """Choose options of a poll by number from 0; none takes the vote back."""
        shown = as_message(message)
        vote(self.world, shown.chat, shown, self.as_json, list(chosen))

    # Buttons -------------------------------------------------------------------------------

    def press(
        self, message: Message | Entry, which: str | int, *, forged: str | None = None
    ) -> Press:
        """Press a button of a bot message: by label, by callback data, or by index from 0.

        `forged` goes in place of its data, as a client of one's own can do.
        """
        shown = as_message(message)
        if shown.deleted:
            raise ValueError("the message is gone")
        button = _choose(shown.buttons, which)
        if button.data is None:
            raise ValueError(f"{button.text!r} opens a link, it asks the bot nothing")
        press = Press(str(next(_QUERY_IDS)), button, shown)
        self.world.queries[press.id] = press
        self.world.record("press", str(self.id), shown, button.text)
        query = {
            "id": press.id,
            "from": self.as_json,
            "message": shown.data,
            "chat_instance": str(abs(shown.chat.id) * 7919),
            "data": button.data if forged is None else forged,
        }
        press.update_id = self.world.updates.push("callback_query", query, shown.chat.id)
        return press

    # Groups --------------------------------------------------------------------------------

    def add_bot(self, chat: Chat, status: str = "member") -> None:
        """Bring the bot into a group or channel (`administrator` for a bot admin)."""
        self.world.change_bot(chat, status, self.as_json)
        if chat.is_group:
            self._service(chat, {"new_chat_members": [self.world.bot_user()]})

    def promote_bot(self, chat: Chat, status: str = "administrator") -> None:
        """Change the bot's status without a service message."""
        self.world.change_bot(chat, status, self.as_json)

    def kick_bot(self, chat: Chat) -> None:
        """Throw the bot out."""
        self.world.change_bot(chat, "kicked", self.as_json)

    def join(self, chat: Chat, status: str = "member") -> None:
        """Join a group."""
        self._member(chat, status)
        self._service(chat, {"new_chat_members": [self.as_json]})

    def leave(self, chat: Chat) -> None:
        """Leave a group."""
        self._member(chat, "left")
        self._service(chat, {"left_chat_member": self.as_json})

    def _member(self, chat: Chat, status: str) -> None:
        old = chat.members.get(self.id, "left")
        chat.members[self.id] = status
        if chat.bot == "administrator":
            change = {
                "chat": chat.as_json,
                "from": self.as_json,
                "date": int(self.world.wall()),
                "old_chat_member": member_json(self.as_json, old),
                "new_chat_member": member_json(self.as_json, status),
            }
            self.world.updates.push("chat_member", change, chat.id)

    def _service(self, chat: Chat, content: Json) -> Message:
        data = {"from": self.as_json} | content
        message = self.world.add_message(chat, data, by_bot=False)
        self.world.record("service", str(self.id), message, next(iter(content)))
        self.world.show_bot("message", message)
        return message


def as_message(shown: Message | Entry) -> Message:
    """Return the message behind a transcript line, or the message itself."""
    return shown.message if isinstance(shown, Entry) else shown


def quoted(message: Message) -> Json:
    """Return a message as it appears inside a reply: without its own reply."""
    return {k: v for k, v in message.data.items() if k != "reply_to_message"}


def _choose(buttons: list[Button], which: str | int) -> Button:
    if isinstance(which, int):
        if not 0 <= which < len(buttons):
            raise ValueError(f"no button {which} of {len(buttons)}")
        return buttons[which]
    matches = [b for b in buttons if b.text == which] or [b for b in buttons if b.data == which]
    if len(matches) != 1:
        raise ValueError(f"{len(matches)} buttons {which!r} among {[b.text for b in buttons]}")
    return matches[0]
