"""Text → requests, and requests → canonical text for buttons.

`parse` reads a message, `render` writes a request as a command that parses back to it,
`addressed` tells whether a group's message is for the bot, `COMMANDS` is the table of words.
"""

from bot.grammar.commands import COMMANDS, WORDS, Command, command_of
from bot.grammar.context import Echo, GrammarContext, Line
from bot.grammar.parse import addressed, parse
from bot.grammar.render import render

__all__ = [
    "COMMANDS",
    "WORDS",
    "Command",
    "Echo",
    "GrammarContext",
    "Line",
    "addressed",
    "command_of",
    "parse",
    "render",
]
