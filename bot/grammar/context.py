"""What the grammar is told, and what it gives back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.errors import UserError
from core.requests import Request


@dataclass(frozen=True, slots=True, kw_only=True)
class GrammarContext:
    """What settles an otherwise open word.

    Attributes:
        today: the site's local date.
        fahrenheit, inches: units meant where none is typed.
        language: the speaker's language.
        trays, shelves, lots: codes in use.
        members: display names.
        growing: crop ids growing now.
        bot_name: the bot's @name without the @.
        private: a private chat: every message is for the bot.
        windows: shelves without a lamp.
        varieties: names of varieties in lots, with the crop of each.
        holds: trays with a crop that grows in each, one pair a sowing.
        sizes: trays with their rows and columns.
    """

    today: date
    fahrenheit: bool = False
    inches: bool = False
    language: str = "en"
    trays: tuple[str, ...] = ()
    shelves: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()
    members: tuple[str, ...] = ()
    growing: tuple[str, ...] = ()
    bot_name: str = ""
    private: bool = False
    windows: tuple[str, ...] = ()
    varieties: tuple[tuple[str, str], ...] = ()
    holds: tuple[tuple[str, str], ...] = ()
    sizes: tuple[tuple[str, int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Echo:
    """A slip of the keyboard read through: what was typed and what it was read as."""

    typed: str
    read: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line or report of a message: a request, a problem, choices, or a proposal.

    Attributes:
        typed: the line, cleaned.
        choices: what an ambiguous line may have meant, to be asked with buttons.
        choice_kind: what is open: `date`, `crop` or `unit`.
        proposed: what was read, to be read back and recorded at a yes only.
        prefix: command words that a typed answer to the question completes.
        echoes: slips read through in the request (or in every choice).
    """

    typed: str
    request: Request | None = None
    problem: UserError | None = None
    choices: tuple[Request, ...] = ()
    choice_kind: str = ""
    proposed: tuple[Request, ...] = ()
    prefix: str = ""
    echoes: tuple[Echo, ...] = ()
