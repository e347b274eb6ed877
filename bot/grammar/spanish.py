"""Spanish command lines: the words of the grammar are put into its own English before it reads.

Only words with one meaning beside a command are changed. Names of members, quoted text, crops,
varieties, notes and questions stay as typed. A line counts as Spanish when it begins with a
Spanish command word, when one stands later in it and no English one does, or when its speaker's
language is Spanish.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable

from bot.grammar.commands import WORDS, Command, command_of
from bot.grammar.context import GrammarContext
from bot.grammar.spanish_words import COMMAND_WORDS, KEPT, LED
from core.folding import plain

_LEVELS = ("moist", "moisture")  # what they take is said in Spanish by habit: `/moist T1 seco`
_PLAIN = ("note", "ask")  # what follows is the speaker's own text
_LEAD = re.compile(
    r"^(?:[^\w/]|_)*(?P<slash>/\s?)?"
    r"(?:(?:hola|buenos dias|buenas tardes|buenas|por favor|ya|yo|nosotros)[\s,]+)*"
)
_QUESTION = re.compile(r".*\?\W*$|^\W*(?:que|como|es|son|esta|estan|puedo|se puede)(?!\w)")
_QUOTED = re.compile(r"\"[^\"]*\"")
_SIGNS = re.compile("[\ue000-\uf8ff]")
_HIDDEN = 0xE000  # first sign of the private-use area; one stands for each piece left alone


def words_of(command: Command) -> tuple[str, ...]:
    """Return the Spanish words for a command, the plainest first, spelt with their accents."""
    return COMMAND_WORDS.get(command.word, ())


def as_english(line: str, context: GrammarContext) -> str:
    """Return a cleaned line with Spanish grammar words in English; another line as it is."""
    text, hidden = _hide(line, context)
    flat = plain(text)
    lead = _LEAD.match(flat)
    at = lead.end() if lead else 0
    slash = bool(lead and lead["slash"])
    hit = _words(False).match(flat, at)
    english = _english().match(flat, at)
    if hit is None and not slash and english is None and not _QUESTION.match(flat):
        hit = _words(True).search(flat)
    if hit is not None and (english is None or hit.end() > english.end()):
        word = _commands()[hit[0]]
        if word in _PLAIN:
            rest = text[hit.start() :] if hit[0] in LED else text[hit.end() :]
            return _show(f"{word} {rest}", hidden)
        name = hit[0] if hit[0] in KEPT else f"{word} {hit[0]}" if hit[0] in LED else word
        done, text = "", f"{text[at : hit.start()]}{name}{text[hit.end() :]}"
    elif english is not None and (context.language == "es" or english[0] in _LEVELS):
        word = WORDS[english[0]].word
        if word in _PLAIN:
            return line
        done, text = text[: english.end()], text[english.end() :]
    else:
        return line
    from bot.grammar.spanish_rules import EVERYWHERE, OF_COMMAND

    for rule, put in (*EVERYWHERE, *OF_COMMAND.get(word, ())):
        text = _swap(text, rule, put)
    return _show(" ".join(f"{done}{text}".split()), hidden)


@functools.cache
def _commands() -> dict[str, str]:
    return {plain(word): name for name, words in COMMAND_WORDS.items() for word in words}


@functools.cache
def _words(later: bool) -> re.Pattern[str]:
    words = [w for w, name in _commands().items() if not later or _stands_later(name)]
    listed = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    return re.compile(rf"(?<![\w'-])(?:{listed})(?![\w'-])")


def _stands_later(name: str) -> bool:
    command = command_of(name)
    return command is not None and command.later


@functools.cache
def _english() -> re.Pattern[str]:
    listed = "|".join(re.escape(word) for word in sorted(WORDS, key=len, reverse=True))
    return re.compile(rf"(?<![\w'-])(?:{listed})(?![\w'-])")


def _hide(line: str, context: GrammarContext) -> tuple[str, list[str]]:
    """Return the line with quoted text and members' names each behind one sign."""
    hidden: list[str] = []

    def away(found: re.Match[str]) -> str:
        hidden.append(found[0])
        return chr(_HIDDEN + len(hidden) - 1)

    text = _QUOTED.sub(away, _SIGNS.sub(" ", line))
    for name in sorted(context.members, key=len, reverse=True):
        if name.strip():
            spelt = re.escape(name)
            text = re.sub(rf"(?<!\w){spelt}(?!\w)", away, text, flags=re.IGNORECASE)
    return text, hidden


def _show(text: str, hidden: list[str]) -> str:
    for number, piece in enumerate(hidden):
        text = text.replace(chr(_HIDDEN + number), piece)
    return text


def _swap(text: str, rule: re.Pattern[str], put: str | Callable[[re.Match[str]], str]) -> str:
    out, at = "", 0
    for found in rule.finditer(plain(text)):
        english = put(found) if callable(put) else found.expand(put)
        out += text[at : found.start()] + english
        at = found.end()
    return out + text[at:]
