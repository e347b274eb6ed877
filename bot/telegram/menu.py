"""The command menu: made from the one command table, by place and language."""

from __future__ import annotations

import logging
from collections.abc import Iterator

from telegram import (
    BotCommand,
    BotCommandScope,
    BotCommandScopeAllChatAdministrators,
    BotCommandScopeAllGroupChats,
    BotCommandScopeAllPrivateChats,
)
from telegram.error import TelegramError

from bot.grammar.commands import ALL, COMMANDS, GROUP, PRIVATE, Command
from bot.operate.clock import Clock
from bot.telegram.client import Client
from bot.wording.pieces.help import help_line
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
