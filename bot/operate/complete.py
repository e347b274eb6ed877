"""What is half added: for each command, request, reply, work, notice, report kind and phrase,
which part is missing and in which file it belongs. `traywarden check` prints it; a test holds it.

It reads the sources of the modules that choose by `match`, and imports every room: for `check`
alone, never on the way to an answer.
"""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import sys
from collections.abc import Iterator
from datetime import date

import core.replies
from bot.grammar.commands import COMMANDS
from bot.grammar.context import GrammarContext
from bot.grammar.parse import parse
from bot.grammar.spanish_words import COMMAND_WORDS
from bot.wording import extract
from bot.wording.mistakes import gathered
from bot.wording.pieces import help as help_lines
from bot.wording.pieces import work_lines
from bot.wording.speak import words_of
from core import requests
from core.due import items
from core.due.kinds import NoticeKind
from core.errors import UserError
from core.languages import LANGUAGES
from core.replies.base import Reply
from core.replies.start import Followed
from core.report_kinds import ReportKind
from core.requests import Request

EXAMPLES_KNOW = GrammarContext(today=date(2027, 3, 20), members=("Ana",), shelves=("A",))
"""The day and the names of the examples in the command table."""


def gaps() -> list[str]:
    """Return a line for each part that is missing, each with the file it belongs in."""
    return [
        *_of_commands(),
        *_of_requests(),
        *_of_replies(),
        *_of_kinds(),
        *_of_phrases(),
    ]


def leaves(base: type) -> list[type]:
    """Return the subclasses of a class that have none themselves.

    A dataclass with slots leaves the class it was made from behind: only what its module names
    counts.
    """
    subclasses: list[type] = base.__subclasses__()
    below = [
        kind
        for kind in subclasses
        if getattr(sys.modules[kind.__module__], kind.__name__, None) is kind
    ]
    return [leaf for kind in below for leaf in (leaves(kind) or [kind])]


def source_of(module: str) -> str:
    """Return the text of a module."""
    return inspect.getsource(importlib.import_module(module))


def cases(module: str) -> set[str]:
    """Return what the cases and table keys of a module name: `r.Sow()` gives Sow, `Kind.UP` UP."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source_of(module))):
        match node:
            case ast.MatchClass(cls=ast.Attribute(attr=name)):
                found.add(name)
            case ast.MatchValue(value=ast.Attribute(attr=name)):
                found.add(name)
            case ast.Dict(keys=keys):
                found |= {key.attr for key in keys if isinstance(key, ast.Attribute)}
            case _:
                pass
    return found


def request_kinds() -> list[type]:
    """Return every kind of request."""
    return [kind for kind in leaves(Request) if kind.__module__.startswith(f"{requests.__name__}.")]


def reply_kinds() -> list[type]:
    """Return every kind of reply."""
    for found in pkgutil.iter_modules(core.replies.__path__, "core.replies."):
        importlib.import_module(found.name)
    return [kind for kind in leaves(Reply) if kind.__module__.startswith("core.replies.")]


def _of_commands() -> Iterator[str]:
    for command in COMMANDS:
        name = f"command /{command.word}"
        if not command.examples:
            yield f"{name}: no example in bot/grammar/commands.py"
        for example in command.examples:
            lines = parse(example, EXAMPLES_KNOW)
            if len(lines) != 1 or type(lines[0].request) not in command.requests:
                yield f"{name}: its builder does not read {example!r}, in bot/grammar/commands.py"
        if command.section == "buttons":
            continue
        if command.word not in help_lines.TEXTS:
            yield f"{name}: no help line in bot/wording/pieces/help.py"
        if command.word not in COMMAND_WORDS:
            yield f"{name}: no Spanish word in bot/grammar/spanish_words.py"


def _of_requests() -> Iterator[str]:
    built = {kind for command in COMMANDS for kind in command.requests}
    handled = cases("core.handlers.table")
    rendered = cases("bot.grammar.render") | cases("bot.grammar.render_set_up")
    for kind in request_kinds():
        name = f"request {kind.__name__}"
        if kind not in built:
            yield f"{name}: no command of bot/grammar/commands.py builds it"
        if kind.__name__ not in handled:
            yield f"{name}: no handler in core/handlers/table.py"
        if kind.__name__ not in rendered:
            yield f"{name}: no rendering in bot/grammar/render.py or render_set_up.py"


def _of_replies() -> Iterator[str]:
    for kind in reply_kinds():
        subject = kind.__module__.rpartition(".")[2]
        try:
            words = words_of(subject)
        except LookupError:
            yield f"replies of core/replies/{subject}.py: not named in bot/wording/speak.py"
            continue
        if kind is not Followed and kind not in words:  # two replies in one: `speak` words it
            yield f"reply {kind.__name__}: no words in bot/wording/replies/{subject}.py"
    for kind in leaves(UserError):
        if kind.__module__.startswith("core.") and kind not in gathered.WORDS:
            yield f"mistake {kind.__name__}: no words in bot/wording/mistakes/"


def _of_kinds() -> Iterator[str]:
    for work in items.Work:
        if work not in work_lines.WORK_WORDS:
            yield f"work {work.name}: no words in WORK_WORDS of bot/wording/pieces/work_lines.py"
        if work not in items.REPEAT_DAYS:
            yield f"work {work.name}: no rhythm in REPEAT_DAYS of core/due/items.py"
    said = cases("bot.wording.replies.notices")
    for notice in NoticeKind:
        if notice.name not in said:
            yield f"notice {notice.name}: no words in bot/wording/replies/notices.py"
    named = cases("bot.wording.replies.reports.undone")
    for kind in ReportKind:
        if kind.name not in named:
            yield f"report kind {kind.name}: no words in bot/wording/replies/reports/undone.py"


def _of_phrases() -> Iterator[str]:
    """Say which phrases, those of the rules and questions too, a language lacks."""
    wanted = [message.id for message in extract.template() if message.id]
    for language in LANGUAGES:
        if language == "en":
            continue
        where = f"bot/wording/locale/{language} (python -m bot.wording.extract adds the line)"
        catalogue = extract.read(language)
        for phrase in wanted:
            kept = catalogue.get(phrase if isinstance(phrase, str) else phrase[0])
            strings = () if kept is None else kept.string
            forms = (strings,) if isinstance(strings, str) else strings
            if not forms or not all(forms):
                first = phrase if isinstance(phrase, str) else phrase[0]
                yield f"phrase {first!r}: not in {where}"
