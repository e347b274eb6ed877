"""A message → its command lines → requests."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass, replace

from bot.grammar.commands import Command
from bot.grammar.context import Echo, GrammarContext, Line
from bot.grammar.find_command import Found, bare_look, find_command, nearest_words
from bot.grammar.leading import instead
from bot.grammar.plans import listed
from bot.grammar.problems import (
    CommandUnknown,
    EmptyMessage,
    TooLong,
    TooManyLines,
)
from bot.grammar.spanish import as_english
from bot.grammar.text import Bag, clean
from bot.grammar.unclear import Unclear
from core.errors import UserError
from core.folding import fold
from core.requests import Request

MAX_LINES = 50
MAX_LINE = 1000  # characters of a command line
MAX_FREE = 4096  # characters of a note or a question: the most one message can hold
MAX_CHOICES = 8
_FREE = ("note", "ask")
_MAX_DEPTH = 3  # open words in one line
_TO_OTHER = re.compile(r"^[^\w/@]*/\s?\w+@(\w+)", re.IGNORECASE)


def addressed(text: str, context: GrammarContext) -> bool:
    """Tell whether a text is meant for the bot: always in private; in a group when it begins
    with `/word` or `/word@bot` (ours), or mentions `@bot`."""
    text = clean(text[:MAX_FREE])
    if context.private:
        return True
    if other := _TO_OTHER.match(text):
        return fold(other[1]) == fold(context.bot_name)
    if re.match(r"^[^\w/@]*/\s?[^\W\d_]", text):
        return True
    name = re.escape(context.bot_name)
    return bool(name) and re.search(rf"(?<!\w)@{name}(?!\w)", text, re.IGNORECASE) is not None


def parse(text: str, context: GrammarContext) -> tuple[Line, ...]:
    """Return one `Line` for each command line; empty when the message is for another bot.

    A message in a group is read whether or not it has a slash: ask `addressed` first.
    Never raises: what cannot be read is a problem in its line.
    """
    lines = clean(text[: 4 * MAX_FREE]).split("\n")
    if lines and for_other(lines[0], context):
        return ()
    lines = [without_mention(line, context) for line in lines if not for_other(line, context)]
    lines = [line for line in lines if re.search(r"[^\W_]|\?", line)]
    if not lines:
        return (Line(typed="", problem=EmptyMessage()),)
    tail: tuple[Line, ...] = ()
    if len(lines) > MAX_LINES:
        problem = TooManyLines(kept=MAX_LINES, dropped=len(lines) - MAX_LINES)
        tail = (Line(typed="", problem=problem),)
    return tuple(_read_all(lines[:MAX_LINES], context)) + tail


def for_other(line: str, context: GrammarContext) -> bool:
    """Tell whether a line begins with another bot's command."""
    other = _TO_OTHER.match(line)
    return other is not None and fold(other[1]) != fold(context.bot_name)


def without_mention(line: str, context: GrammarContext) -> str:
    """Return a line without the bot's name, after a command or by itself."""
    if not context.bot_name:
        return line
    name = re.escape(context.bot_name)
    line = re.sub(rf"(?<!\w)(/\s?\w+)@{name}(?!\w)", r"\1", line, flags=re.IGNORECASE)
    return re.sub(rf"(?<!\w)@{name}(?!\w)[,:]?", " ", line, flags=re.IGNORECASE).strip()


def _read_all(lines: list[str], context: GrammarContext) -> list[Line]:
    out: list[Line] = []
    head: Command | None = None  # a command word alone on its line, meant for the next ones
    index = 0
    while index < len(lines):
        line = lines[index]
        index += 1
        found = _find(line, context)
        if found is None and head is not None:
            out.append(_line(line, Found(command=head, args=line), context))
            continue
        head = None
        if found and found.command.word == "plan":
            more = []
            while index < len(lines) and _find(lines[index], context) is None:
                more.append(lines[index].strip(" -*•,;"))
                index += 1
            if more:
                args = ", ".join([part for part in (found.args.rstrip(" :,;"), *more) if part])
                found = replace(found, args=args)
                line = " ".join([line, *more])
        elif found and not re.search(r"\w", found.args) and index < len(lines):
            if _find(lines[index], context) is None and bare_look(lines[index], context) is None:
                head = found.command
                continue
        if found and found.command.word == "wish" and len(wishes := listed(found.args)) > 1:
            out += [_line(one, replace(found, args=one), context) for one in wishes]
            continue
        if found is None and (look := bare_look(line, context)) is not None:
            out.append(Line(typed=line, request=look))
            continue
        out.append(_line(line, found, context))
    return out


def _find(line: str, context: GrammarContext) -> Found | None:
    return find_command(as_english(line, context))


def _line(line: str, found: Found | None, context: GrammarContext) -> Line:
    limit = MAX_FREE if found and found.command.word in _FREE else MAX_LINE
    if len(line) > limit:
        return Line(typed=line[:80], problem=TooLong(length=len(line), limit=limit))
    if found is None:
        first = re.search(r"[^\W_]+", line)
        typed = first[0] if first else line
        return Line(
            typed=line, problem=CommandUnknown(typed=typed[:60], nearest=nearest_words(typed))
        )
    tried = _try(found.command, found.args, context, 0)
    made = tried.readings[0].request if tried.readings else tried.problem
    if made is not None and not tried.asks:
        step = instead(found.command.word, line, found.args, made, context)
        if step is not None:
            return Line(typed=line, request=step, echoes=found.echoes)
    echoes = (*found.echoes, *(tried.readings[0].echoes if tried.readings else ()))
    if not tried.readings:
        return Line(typed=line, problem=tried.problem, echoes=found.echoes)
    requests = tuple(dict.fromkeys(reading.request for reading in tried.readings))
    if not tried.asks:
        return Line(typed=line, request=requests[0], echoes=echoes)
    return Line(typed=line, choices=requests[:MAX_CHOICES], choice_kind=tried.asks, echoes=echoes)


@dataclass(frozen=True, slots=True)
class _Reading:
    request: Request
    echoes: tuple[Echo, ...]


@dataclass(frozen=True, slots=True)
class _Tried:
    readings: tuple[_Reading, ...] = ()
    asks: str = ""
    problem: UserError | None = None


def _within(text: str, context: GrammarContext) -> Request | None:
    """Return the one request of a whole command that stands within another."""
    lines = parse(text, context)
    return lines[0].request if len(lines) == 1 else None


def _try(command: Command, args: str, context: GrammarContext, depth: int) -> _Tried:
    bag = Bag(args, context, command.word)
    bag.read = functools.partial(_within, context=context)
    try:
        request = command.build(bag)
    except Unclear as unclear:
        if depth >= _MAX_DEPTH:
            return _Tried(problem=CommandUnknown(typed=args[:60]))
        tries = [
            _try(command, args[: unclear.start] + option + args[unclear.end :], context, depth + 1)
            for option in unclear.options
        ]
        good = [one for one in tries if one.readings]
        if not good:
            return tries[0]
        readings = tuple(reading for one in good for reading in one.readings)
        sure = unclear.kind == "same" or (len(good) == 1 and len(tries) > 1)
        asks = next((one.asks for one in good if one.asks), "") if sure else unclear.kind
        return _Tried(readings=readings, asks=asks)
    except UserError as problem:
        return _Tried(problem=problem)
    return _Tried(readings=(_Reading(request, tuple(bag.echoes)),))
