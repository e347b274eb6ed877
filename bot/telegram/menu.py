"""The command menu, made from the one command table by place and language; and the bot's profile.

The messenger shows its own administrators the coordinator's menu. A coordinator who is none has it
set for them alone, in their group.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator

from telegram import (
    BotCommand,
    BotCommandScope,
    BotCommandScopeAllChatAdministrators,
    BotCommandScopeAllGroupChats,
    BotCommandScopeAllPrivateChats,
    BotCommandScopeChatMember,
)
from telegram.error import TelegramError

from bot.grammar.commands import ALL, COMMANDS, GROUP, PRIVATE, Command
from bot.operate.clock import Clock
from bot.telegram.client import Client
from bot.wording.pieces.help import help_line
from bot.wording.pieces.profile import description, short_description
from bot.wording.voice import Voice
from core.languages import LANGUAGES

log = logging.getLogger(__name__)

DEFAULT_LANGUAGE = "en"
DESCRIPTION_MOST = 256
HIDDEN = "buttons"  # a section of the table that nobody types


def scopes() -> Iterator[tuple[BotCommandScope, tuple[Command, ...]]]:
    """Return each place with the commands its menu offers."""
    shown = [command for command in COMMANDS if command.section != HIDDEN]
    grouped = [command for command in shown if command.where != PRIVATE]
    yield BotCommandScopeAllGroupChats(), tuple(c for c in grouped if c.who == ALL)
    yield BotCommandScopeAllChatAdministrators(), tuple(grouped)
    yield BotCommandScopeAllPrivateChats(), tuple(c for c in shown if c.where != GROUP)


def described(commands: tuple[Command, ...], voice: Voice) -> list[BotCommand]:
    """Return a menu in a language."""
    return [
        BotCommand(
            command.word, (help_line(voice, command.word) or command.word)[:DESCRIPTION_MOST]
        )
        for command in commands
    ]


async def set_menus(client: Client, clock: Clock) -> int:
    """Set every menu; return how many were set. One that fails is logged and left as it was."""
    done = 0
    for language in LANGUAGES:
        voice = Voice(today=clock.now().date(), language=language)
        for scope, commands in scopes():
            try:
                await client.set_my_commands(
                    described(commands, voice),
                    scope=scope,
                    language_code=None if language == DEFAULT_LANGUAGE else language,
                )
                done += 1
            except TelegramError as error:
                log.warning("a command menu could not be set: %s", error)
    return done


async def set_profile(client: Client, clock: Clock) -> None:
    """Set what the bot says of itself, by language; what fails is logged and left as it was."""
    for language in LANGUAGES:
        voice = Voice(today=clock.now().date(), language=language)
        code = None if language == DEFAULT_LANGUAGE else language
        try:
            await client.set_my_description(description(voice), language_code=code)
            await client.set_my_short_description(short_description(voice), language_code=code)
        except TelegramError as error:
            log.warning("the profile could not be set: %s", error)


Coordinator = tuple[str, str]
"""The platform's ids of a chat and of a person in it."""


async def set_coordinators(
    client: Client, clock: Clock, wanted: set[Coordinator], had: set[Coordinator]
) -> set[Coordinator]:
    """Give coordinators their menu in their group, and take it from who is none; return who has it.

    One that fails is logged, and tried again the next time.
    """
    commands = tuple(c for c in COMMANDS if c.section != HIDDEN and c.where != PRIVATE)
    now = set(had)
    for chat, user in sorted(wanted ^ had):
        scope = BotCommandScopeChatMember(int(chat), int(user))
        try:
            for language in LANGUAGES:
                voice = Voice(today=clock.now().date(), language=language)
                code = None if language == DEFAULT_LANGUAGE else language
                if (chat, user) in wanted:
                    menu = described(commands, voice)
                    await client.set_my_commands(menu, scope=scope, language_code=code)
                else:
                    await client.delete_my_commands(scope=scope, language_code=code)
        except TelegramError as error:
            log.info("a coordinator's menu could not be set: %s", error)
        else:
            now ^= {(chat, user)}
    return now
