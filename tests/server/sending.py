"""The methods that send, edit and delete messages."""

from __future__ import annotations

import json
from collections.abc import Callable

from tests.server.chats import GENERAL_TOPIC, Chat, Json, Message, World
from tests.server.contract import ApiError, Upload
from tests.server.files import StoredFile
from tests.server.keyboards import check_markup
from tests.server.pace import Pace
from tests.server.people import quoted
from tests.server.text import formatted, utf16_length

TEXT_MAX = 4096
CAPTION_MAX = 1024
DELETABLE_S = 48 * 3600
_KINDS = {"group": "group chat", "supergroup": "supergroup chat", "channel": "channel chat"}
_UNSERVED = (
    "business_connection_id",
    "inline_message_id",
    "direct_messages_topic_id",
    "suggested_post_parameters",
    "ephemeral_message_parameters",
    "rich_message",
)


def open_chat(world: World, chat_id: int | str) -> Chat:
    """Return a chat the bot may act in; raise ApiError as the platform words it."""
    chat = world.find(chat_id)
    if chat.moved_to is not None:
        raise ApiError(
            400,
            "Bad Request: group chat was upgraded to a supergroup chat",
            migrate_to_chat_id=chat.moved_to.id,
        )
    if chat.type == "private":
        if chat.deactivated:
            raise ApiError(403, "Forbidden: user is deactivated")
        if not chat.opened:
            raise ApiError(403, "Forbidden: bot can't initiate conversation with a user")
        if chat.bot == "kicked":
            raise ApiError(403, "Forbidden: bot was blocked by the user")
    elif chat.bot == "kicked":
        raise ApiError(403, f"Forbidden: bot was kicked from the {_KINDS[chat.type]}")
    elif chat.bot == "left":
        raise ApiError(403, f"Forbidden: bot is not a member of the {_KINDS[chat.type]}")
    return chat


class Sending:
    """send*, edit* and delete* of one bot; parameters have passed contract.check."""

    def __init__(self, world: World, pace: Pace, monotonic: Callable[[], float]) -> None:
        self.world = world
        self.pace = pace
        self.monotonic = monotonic

    # Sending -------------------------------------------------------------------------------

    def send_message(self, p: Json) -> Json:
        chat, data = self.place(p)
        text, entities = formatted(p["text"], p.get("parse_mode"), p.get("entities"))
        if not text:
            raise ApiError(400, "Bad Request: message text is empty")
        if utf16_length(text) > TEXT_MAX:
            raise ApiError(400, "Bad Request: message is too long")
        data["text"] = text
        if entities:
            data["entities"] = self._named(entities)
        return self._finish("sendMessage", chat, data)

    def send_photo(self, p: Json) -> Json:
        return self._send_file("sendPhoto", "photo", p)

    def send_document(self, p: Json) -> Json:
        return self._send_file("sendDocument", "document", p)

    def send_media_group(self, p: Json) -> list[Json]:
        chat, data = self.place(p)
        media = p["media"]
        if not 2 <= len(media) <= 10:
            raise ApiError(400, "Bad Request: group send failed: 2 to 10 items are needed")
        if len({item["type"] for item in media}) > 1:
            raise ApiError(400, "Bad Request: documents can't be mixed with other media types")
        ready = []
        for item in media:
            stored = self._file(item["type"], item["media"], p)
            ready.append((stored, stored.in_message() | self._caption(item)))
        self.pace.take(chat.id, chat.is_group, self.monotonic(), len(ready))
        album = str(self.world.next_message_id(chat) * 1000 + len(ready))
        return [
            self._put("sendMediaGroup", chat, data | content | {"media_group_id": album}, stored)
            for stored, content in ready
        ]

    def send_chat_action(self, p: Json) -> bool:
        self._thread(open_chat(self.world, p["chat_id"]), p)
        if p["action"] not in _ACTIONS:
            raise ApiError(400, "Bad Request: wrong parameter action in request")
        return True

    def _send_file(self, method: str, kind: str, p: Json) -> Json:
        chat, data = self.place(p)
        caption = self._caption(p)
        stored = self._file(kind, p[kind], p)
        return self._finish(method, chat, data | stored.in_message() | caption, stored)

    def _file(self, kind: str, given: Upload | str, p: Json) -> StoredFile:
        if isinstance(given, str) and given.startswith("attach://"):
            given = p.get(given.removeprefix("attach://"), given)
        if isinstance(given, Upload):
            return self.world.files.add(kind, given)
        return self.world.files.find(kind, given)

    def _caption(self, p: Json) -> Json:
        if not p.get("caption"):
            return {}
        text, entities = formatted(p["caption"], p.get("parse_mode"), p.get("caption_entities"))
        if utf16_length(text) > CAPTION_MAX:
            raise ApiError(400, "Bad Request: message caption is too long")
        content: Json = {"caption": text} if text else {}
        if entities:
            content["caption_entities"] = self._named(entities)
        return content

    def place(self, p: Json) -> tuple[Chat, Json]:
        """Return the chat and what a new message there begins with; raise ApiError if it can't."""
        for name in _UNSERVED:
            if name in p:
                raise ApiError(400, f'Bad Request: this test server does not serve "{name}"')
        chat = open_chat(self.world, p["chat_id"])
        if not chat.can_send:
            raise ApiError(400, "Bad Request: not enough rights to send text messages to the chat")
        if chat.type == "channel" and chat.bot != "administrator":
            raise ApiError(400, "Bad Request: need administrator rights in the channel chat")
        data: Json = (
            {"sender_chat": chat.as_json}
            if chat.type == "channel"
            else {"from": self.world.bot_user()}
        )
        data |= self._thread(chat, p)
        if "reply_parameters" in p:
            data |= self._reply(chat, p["reply_parameters"])
        if "reply_markup" in p:
            check_markup(p["reply_markup"], chat.type)
            markup = p["reply_markup"]
            if markup.get("inline_keyboard"):
                data["reply_markup"] = markup
            elif markup.get("force_reply"):
                data["forced"] = markup  # on no message as it is shown
        return chat, data

    def _thread(self, chat: Chat, p: Json) -> Json:
        thread = p.get("message_thread_id")
        if thread is None:
            return {}
        topic = chat.topics.get(thread)
        if not chat.is_forum or thread == GENERAL_TOPIC or topic is None or topic.deleted:
            raise ApiError(400, "Bad Request: message thread not found")
        if topic.closed and chat.bot != "administrator":
            raise ApiError(400, "Bad Request: TOPIC_CLOSED")
        return {"message_thread_id": thread, "is_topic_message": True}

    def _reply(self, chat: Chat, reply: Json) -> Json:
        if "message_id" not in reply:
            raise ApiError(400, "Bad Request: this test server replies to a message_id only")
        if reply.get("chat_id", chat.id) != chat.id:
            raise ApiError(400, "Bad Request: this test server replies within one chat only")
        target = chat.messages.get(reply["message_id"])
        if target is None or target.deleted:
            if reply.get("allow_sending_without_reply"):
                return {}
            raise ApiError(400, "Bad Request: message to be replied not found")
        return {"reply_to_message": quoted(target)}

    def _named(self, entities: list[Json]) -> list[Json]:
        """Fill in the people mentioned without a username; unknown ones are not linked."""
        kept = []
        for entity in entities:
            if entity["type"] == "text_mention":
                user = self.world.people.get(entity["user"]["id"])
                if user is None:
                    continue
                entity = {**entity, "user": user}
            kept.append(entity)
        return kept

    def _finish(self, method: str, chat: Chat, data: Json, file: StoredFile | None = None) -> Json:
        self.pace.take(chat.id, chat.is_group, self.monotonic())
        return self._put(method, chat, data, file)

    def _put(self, method: str, chat: Chat, data: Json, file: StoredFile | None) -> Json:
        forced = data.pop("forced", None)
        message = self.world.add_message(chat, data, by_bot=True, file=file)
        message.forced = forced
        chat.last_bot = "ours"
        self.world.record(method, "bot", message)
        return message.data

    # Editing -------------------------------------------------------------------------------

    def edit_text(self, p: Json) -> Json:
        message = self._editable(p)
        if "text" not in message.data:
            raise ApiError(400, "Bad Request: there is no text in the message to edit")
        if "text" not in p:
            raise ApiError(400, "Bad Request: message text is empty")
        text, entities = formatted(p["text"], p.get("parse_mode"), p.get("entities"))
        if not text:
            raise ApiError(400, "Bad Request: message text is empty")
        if utf16_length(text) > TEXT_MAX:
            raise ApiError(400, "Bad Request: message is too long")
        content: Json = {"text": text}
        if entities:
            content["entities"] = self._named(entities)
        return self._change("editMessageText", message, content, ("text", "entities"), p)

    def edit_caption(self, p: Json) -> Json:
        message = self._editable(p)
        if message.file is None:
            raise ApiError(400, "Bad Request: there is no caption in the message to edit")
        drop = ("caption", "caption_entities")
        return self._change("editMessageCaption", message, self._caption(p), drop, p)

    def edit_media(self, p: Json) -> Json:
        message = self._editable(p)
        item = p["media"]
        stored = self._file(item["type"], item["media"], p)
        content = stored.in_message() | self._caption(item)
        drop = ("text", "entities", "caption", "caption_entities", "photo", "document")
        return self._change("editMessageMedia", message, content, drop, p, stored)

    def edit_markup(self, p: Json) -> Json:
        return self._change("editMessageReplyMarkup", self._editable(p), {}, (), p)

    def _editable(self, p: Json) -> Message:
        for name in _UNSERVED:
            if name in p:
                raise ApiError(400, f'Bad Request: this test server does not serve "{name}"')
        if "chat_id" not in p or "message_id" not in p:
            raise ApiError(400, "Bad Request: message identifier is not specified")
        chat = open_chat(self.world, p["chat_id"])
        message = chat.messages.get(p["message_id"])
        if message is None or message.deleted:
            raise ApiError(400, "Bad Request: message to edit not found")
        if not message.by_bot:
            raise ApiError(400, "Bad Request: message can't be edited")
        return message

    def _change(
        self,
        method: str,
        message: Message,
        content: Json,
        drop: tuple[str, ...],
        p: Json,
        file: StoredFile | None = None,
    ) -> Json:
        drop = (*drop, "reply_markup", "edit_date")
        before = {k: v for k, v in message.data.items() if k != "edit_date"}
        data = {k: v for k, v in message.data.items() if k not in drop} | content
        if "reply_markup" in p:
            check_markup(p["reply_markup"], message.chat.type, inline_only=True)
            if p["reply_markup"]["inline_keyboard"]:
                data["reply_markup"] = p["reply_markup"]
        if json.dumps(before, sort_keys=True) == json.dumps(data, sort_keys=True):
            raise ApiError(
                400,
                "Bad Request: message is not modified: specified new message content and reply "
                "markup are exactly the same as a current content and reply markup of the message",
            )
        data["edit_date"] = int(self.world.wall())
        message.data = data
        message.file = file or message.file
        self.world.record(method, "bot", message)
        return data

    # Deleting ------------------------------------------------------------------------------

    def delete_message(self, p: Json) -> bool:
        chat = open_chat(self.world, p["chat_id"])
        message = chat.messages.get(p["message_id"])
        if message is None or message.deleted:
            raise ApiError(400, "Bad Request: message to delete not found")
        self._delete(chat, message)
        return True

    def delete_messages(self, p: Json) -> bool:
        if not 1 <= len(p["message_ids"]) <= 100:
            raise ApiError(400, "Bad Request: 1 to 100 message identifiers are needed")
        chat = open_chat(self.world, p["chat_id"])
        for message_id in p["message_ids"]:
            message = chat.messages.get(message_id)
            if message is not None and not message.deleted:
                self._delete(chat, message)
        return True

    def _delete(self, chat: Chat, message: Message) -> None:
        admin = chat.bot == "administrator"
        mine = message.by_bot or chat.type == "private"
        old = self.world.wall() - message.data["date"] > DELETABLE_S
        if not admin and (not mine or old):
            raise ApiError(400, "Bad Request: message can't be deleted")
        message.deleted = True
        self.world.record("deleteMessage", "bot", message)


_ACTIONS = frozenset(
    [
        "typing",
        "upload_photo",
        "record_video",
        "upload_video",
        "record_voice",
        "upload_voice",
        "upload_document",
        "choose_sticker",
        "find_location",
        "record_video_note",
        "upload_video_note",
    ]
)
