"""What a Spanish message tells people to type is read as what the English one tells them."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from bot.grammar import GrammarContext, parse
from bot.wording.extract import read
from core.requests import Ask, Note, Request, SetClosed, SetSite
from tests.grammar.test_phrasings import CONTEXT

ENGLISH = replace(CONTEXT, trays=("T1", "T2", "T4", "T5"), members=("Ana", "Bo"))
SPANISH = replace(ENGLISH, language="es")
START = re.compile(r"(?<![\w/])/[a-z]+")
END = re.compile(r"[;()«»“”\n]|[.,:](?=\s|$)| (?=or |o |y |there)")
COMMA = re.compile(r"(?<=\d[ \w]), (?=\d)|, (?=\d+ [a-z])")


def examples(text: str, context: GrammarContext) -> list[Request]:
    """Return what each command of a message asks for: the longest run of words that is read."""
    found = []
    for start in START.finditer(text):
        rest = text[start.start() :]
        end = END.search(rest)
        while end and end[0] == "," and COMMA.match(rest, end.start()):
            end = END.search(rest, end.end())
        words = (rest[: end.start()] if end else rest).split(" ")
        for most in range(len(words), 0, -1):
            (line, *_) = parse(" ".join(words[:most]), context)
            if line.request is not None and not line.echoes:
                if not isinstance(line.request, Ask | Note):
                    found.append(_without_prose(line.request))
                break
    return found


def _without_prose(request: Request) -> Request:
    """Leave out what runs on into the sentence around the command."""
    if isinstance(request, SetClosed):
        return replace(request, label=None)
    if isinstance(request, SetSite) and request == SetSite(place=request.place):
        return SetSite()
    return request


TOLD = [
    (message.id, message.string)
    for message in read("es")
    if isinstance(message.id, str) and "{" not in message.id and examples(message.id, ENGLISH)
]


@pytest.mark.parametrize(("english", "spanish"), TOLD, ids=[english[:60] for english, _ in TOLD])
def test_the_examples_ask_for_the_same(english: str, spanish: str) -> None:
    assert examples(spanish, SPANISH) == examples(english, ENGLISH)


def test_enough_messages_tell_what_to_type() -> None:
    assert len(TOLD) > 60
