"""The table of methods and those that ask or set rather than send."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from typing import Any

from tests.server.chats import PRESENT, Chat, Json, World, member_json
from tests.server.contract import METHODS, ApiError
from tests.server.files import DOWNLOAD_MAX_BYTES
from tests.server.marks import Marks
from tests.server.pace import Pace
from tests.server.sending import Sending, open_chat
from tests.server.updates import UpdateQueue, Webhook

_LIMITS = {"name": 64, "description": 512, "short_description": 120}
COMMANDS_MAX = 100
ALERT_MAX = 200


class Methods:
    """Everything the bot can call but getUpdates, which waits and lives in server.py.

    Attributes:
        table: method name -> function of checked parameters.
        commands: (scope key, language) -> list of BotCommand, as set last.
        profile: (field, language) -> text of name, description and short description.
    """

    def __init__(
        self, world: World, updates: UpdateQueue, pace: Pace, monotonic: Callable[[], float]
    ) -> None:
        self.world = world
        self.updates = updates
        self.commands: dict[tuple[tuple[Any, ...], str], list[Json]] = {}
        self.profile: dict[tuple[str, str], str] = {}
        sending = Sending(world, pace, monotonic)
        marks = Marks(world, sending, pace, monotonic)
        self.table: dict[str, Callable[[Json], Any]] = {
            "getMe": self._get_me,
            "setWebhook": self._set_webhook,
            "deleteWebhook": self._delete_webhook,
            "getWebhookInfo": lambda p: self.updates.webhook_info(),
            "sendMessage": sending.send_message,
            "sendPhoto": sending.send_photo,
            "sendDocument": sending.send_document,
            "sendMediaGroup": sending.send_media_group,
            "sendChatAction": sending.send_chat_action,
            "sendPoll": marks.send_poll,
            "stopPoll": marks.stop_poll,
            "setMessageReaction": marks.react,
            "editMessageText": sending.edit_text,
            "editMessageCaption": sending.edit_caption,
            "editMessageMedia": sending.edit_media,
            "editMessageReplyMarkup": sending.edit_markup,
            "deleteMessage": sending.delete_message,
            "deleteMessages": sending.delete_messages,
            "answerCallbackQuery": self._answer,
            "getFile": self._get_file,
            "getChat": self._get_chat,
            "getChatMember": self._get_chat_member,
            "getChatAdministrators": self._get_administrators,
            "getChatMemberCount": self._count_members,
            "leaveChat": self._leave,
            "setMyCommands": self._set_commands,
            "getMyCommands": lambda p: self.commands.get(self._command_key(p), []),
            "deleteMyCommands": self._delete_commands,
        }
        for word in ("Name", "Description", "ShortDescription"):
            key = re.sub(r"(?<!^)([A-Z])", r"_\1", word).lower()
            self.table[f"setMy{word}"] = partial(self._set_profile, key)
            self.table[f"getMy{word}"] = partial(self._get_profile, key)
        unserved = set(METHODS) - set(self.table) - {"getUpdates"}
        if unserved:
            raise ValueError(f"in the contract but not served: {sorted(unserved)}")

    def _get_me(self, p: Json) -> Json:
        return self.world.bot

    # Webhook -------------------------------------------------------------------------------

    def _set_webhook(self, p: Json) -> bool:
        if not p["url"]:
            return self._delete_webhook(p)
        # Plain HTTP is refused in public; a loopback address stands for a TLS front here.
        if not re.match(r"https://|http://(127\.|localhost|\[::1\])", p["url"]):
            raise ApiError(400, "Bad Request: bad webhook: An HTTPS URL must be provided")
        secret = p.get("secret_token")
        if secret is not None and not re.fullmatch(r"[A-Za-z0-9_-]{1,256}", secret):
            raise ApiError(400, "Bad Request: secret token contains unallowed characters")
        connections = p.get("max_connections", 40)
        if not 1 <= connections <= 100:
            raise ApiError(400, "Bad Request: max_connections must be 1-100")
        self.updates.allow(p.get("allowed_updates"))
        if p.get("drop_pending_updates"):
            self.updates.pending.clear()
        hook = self.updates.webhook
        new = Webhook(p["url"], secret or None, connections, p.get("ip_address"))
        same = hook is not None and (hook.url, hook.secret) == (new.url, new.secret)
        if not same:
            self.updates.set_webhook(new)
        return True

    def _delete_webhook(self, p: Json) -> bool:
        self.updates.drop_webhook()
        if p.get("drop_pending_updates"):
            self.updates.pending.clear()
        return True

    # Buttons, files ------------------------------------------------------------------------

    def _answer(self, p: Json) -> bool:
        press = self.world.queries.get(p["callback_query_id"])
        if press is None or press.answered or press.expired:
            raise ApiError(
                400,
                "Bad Request: query is too old and response timeout expired or query ID is invalid",
            )
        if len(p.get("text", "")) > ALERT_MAX:
            raise ApiError(400, "Bad Request: MESSAGE_TOO_LONG")
        press.answered = True
        press.text, press.alert = p.get("text", ""), p.get("show_alert", False)
        self.world.on_change()
        return True

    def _get_file(self, p: Json) -> Json:
        stored = self.world.files.by_id.get(p["file_id"])
        if stored is None:
            raise ApiError(400, "Bad Request: invalid file_id")
        if len(stored.data) > DOWNLOAD_MAX_BYTES:
            raise ApiError(400, "Bad Request: file is too big")
        return {
            "file_id": stored.file_id,
            "file_unique_id": stored.unique_id,
            "file_size": len(stored.data),
            "file_path": stored.path,
        }

    # Chats ---------------------------------------------------------------------------------

    def _get_chat(self, p: Json) -> Json:
        chat = self._seen(p["chat_id"])
        return {
            **chat.as_json,
            "accent_color_id": 0,
            "max_reaction_count": 11,
            "accepted_gift_types": dict.fromkeys(_GIFTS, False),
        }

    def _seen(self, chat_id: int | str) -> Chat:
        chat = self.world.find(chat_id)
        if chat.type == "private" and not chat.opened:
            raise ApiError(400, "Bad Request: chat not found")
        return chat if chat.type == "private" else open_chat(self.world, chat_id)

    def _get_chat_member(self, p: Json) -> Json:
        chat = self._seen(p["chat_id"])
        if p["user_id"] == self.world.bot["id"]:
            return self.world.bot_member(chat.bot)
        user = self.world.people.get(p["user_id"])
        if user is None:
            raise ApiError(400, "Bad Request: PARTICIPANT_ID_INVALID")
        return member_json(user, chat.members.get(p["user_id"], "left"))

    def _get_administrators(self, p: Json) -> list[Json]:
        chat = self._seen(p["chat_id"])
        if chat.type == "private":
            raise ApiError(400, "Bad Request: there are no administrators in the private chat")
        admins = [
            member_json(self.world.people[user], status)
            for user, status in chat.members.items()
            if status in ("creator", "administrator")
        ]
        if chat.bot == "administrator":
            admins.append(self.world.bot_member("administrator"))
        return admins

    def _count_members(self, p: Json) -> int:
        chat = self._seen(p["chat_id"])
        here = sum(status in PRESENT for status in chat.members.values())
        return here + (chat.bot in PRESENT)

    def _leave(self, p: Json) -> bool:
        chat = open_chat(self.world, p["chat_id"])
        if chat.type == "private":
            raise ApiError(400, "Bad Request: chat can't be left")
        self.world.change_bot(chat, "left", self.world.bot_user())
        return True

    # Menu and profile ----------------------------------------------------------------------

    def _command_key(self, p: Json) -> tuple[tuple[Any, ...], str]:
        scope = p.get("scope", {"type": "default"})
        if "chat_id" in scope:
            self._seen(scope["chat_id"])
        return tuple(scope.get(k) for k in ("type", "chat_id", "user_id")), _language(p)

    def _set_commands(self, p: Json) -> bool:
        key = self._command_key(p)
        if len(p["commands"]) > COMMANDS_MAX:
            raise ApiError(400, "Bad Request: BOT_COMMANDS_TOO_MUCH")
        for command in p["commands"]:
            if not re.fullmatch(r"[a-z0-9_]{1,32}", command["command"]):
                raise ApiError(400, "Bad Request: BOT_COMMAND_INVALID")
            if not 1 <= len(command["description"]) <= 256:
                raise ApiError(400, "Bad Request: BOT_COMMAND_DESCRIPTION_INVALID")
        self.commands[key] = p["commands"]
        return True

    def _delete_commands(self, p: Json) -> bool:
        self.commands.pop(self._command_key(p), None)
        return True

    def _set_profile(self, field: str, p: Json) -> bool:
        text = p.get(field, "")
        if len(text) > _LIMITS[field]:
            raise ApiError(400, f"Bad Request: {field} is too long")
        self.profile[field, _language(p)] = text
        return True

    def _get_profile(self, field: str, p: Json) -> Json:
        default = self.world.bot["first_name"] if field == "name" else ""
        found = self.profile.get((field, _language(p))) or self.profile.get((field, ""))
        return {field: found or default}


_GIFTS = [
    "unlimited_gifts",
    "limited_gifts",
    "unique_gifts",
    "premium_subscription",
    "gifts_from_channels",
]


def _language(p: Json) -> str:
    code = str(p.get("language_code", ""))
    if code and not re.fullmatch(r"[a-z]{2}", code):
        raise ApiError(400, "Bad Request: invalid language code specified")
    return code
