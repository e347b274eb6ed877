"""Whatever is typed, every line gets exactly one outcome and nothing is raised."""

from __future__ import annotations

import re
import unicodedata
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.grammar import COMMANDS, GrammarContext, addressed, parse
from bot.grammar.commands import WORDS, Command
from bot.grammar.find_command import find_command
from bot.grammar.text import clean

CONTEXTS = st.builds(
    GrammarContext,
    today=st.dates(date(1990, 1, 1), date(2090, 12, 31)),
    fahrenheit=st.booleans(),
    inches=st.booleans(),
    trays=st.lists(st.text(max_size=6), max_size=3).map(tuple),
    shelves=st.lists(st.text(max_size=6), max_size=3).map(tuple),
    lots=st.lists(st.text(max_size=6), max_size=3).map(tuple),
    members=st.lists(st.text(max_size=12), max_size=3).map(tuple),
    growing=st.lists(st.sampled_from(["tomato", "winter_squash", "x"]), max_size=2).map(tuple),
    bot_name=st.sampled_from(["", "tray_bot"]),
    private=st.booleans(),
)
_SCRAPS = [
    *WORDS, "T1", "T2-T4", "T9999-T1", "A1", "A1-B3", "Z40", "row B", "rows C-A", "col 3", "col 99",
    "all", "12", "0", "999999999", "1/2", "3/4", "31/4", "13/4", "1/0", "0/0", "½", "1 ½", "-5",
    "29 feb", "31 april", "yesterday", "last mon", "in 999 weeks", "999 weeks ago", "2027-02-30",
    "0000-01-01", "9999-12-31", "tomorrow", "68F", "21 °C", "20", "99", "4500 lx", "300 fc",
    "180 µmol", "14h", "3 h 75", "4in", "10 cm", "95%", "100%", "10%", "7:30", "25:00", "21-7",
    "6am-8pm", "13pm", "tomato", "tomatoe", "squash", "beans", "cherry", "per cell", "cells",
    "for", "for Ana", "to", "into", "into T5", "vs", "and", ",", ":", '"', '"x"', "'", "#", "/",
    "@tray_bot", "@other", "re:5", "L1", "S3", "R12", "shelf A", "A", "\n", "\u200b", "🌱", "１２",
    "x", "2 sowings", "in two sowings", "10 of 10", "11 of 10", "6x12", "99x99", "off", "until",
    "more", "none", "up", "-", "->", "?", "zone America/Chicago", "language de", "name", "quiet",
]  # fmt: skip


def check(text: str, context: GrammarContext) -> None:
    """Assert that each line of the answer has one outcome."""
    for line in parse(text, context):
        outcomes = [line.request is not None, line.problem is not None, bool(line.choices)]
        assert sum(outcomes) == 1, line
        assert bool(line.choice_kind) == bool(line.choices)
    assert isinstance(addressed(text, context), bool)


@settings(max_examples=700, deadline=None)
@given(text=st.text(max_size=300), context=CONTEXTS)
def test_any_text_gets_an_outcome(text: str, context: GrammarContext) -> None:
    check(text, context)


@settings(max_examples=1000, deadline=None)
@given(
    command=st.sampled_from([command.word for command in COMMANDS]),
    scraps=st.lists(st.sampled_from(_SCRAPS), max_size=12),
    glue=st.sampled_from([" ", "", ", "]),
    context=CONTEXTS,
)
def test_any_mix_of_known_pieces_gets_an_outcome(
    command: str, scraps: list[str], glue: str, context: GrammarContext
) -> None:
    check(f"/{command} {glue.join(scraps)}", context)


@settings(max_examples=300, deadline=None)
@given(
    command=st.sampled_from([command.word for command in COMMANDS]),
    text=st.text(max_size=80),
    context=CONTEXTS,
)
def test_any_text_after_a_command_gets_an_outcome(
    command: str, text: str, context: GrammarContext
) -> None:
    check(f"/{command} {text}", context)


_SPELT = {
    "as typed": str,
    "capitals": str.upper,
    "a dotless i": lambda word: word.replace("i", "ı"),
    "a dotted capital i": lambda word: word.upper().replace("I", "İ"),
    "full width": lambda word: "".join(chr(ord(c) + 0xFEE0) if c.isalpha() else c for c in word),
    "accents": lambda word: unicodedata.normalize("NFC", re.sub("([aeiou])", "\\1\u0301", word)),
    "long s": lambda word: word.replace("s", "ſ"),
}


@pytest.mark.parametrize("spelling", _SPELT)
@pytest.mark.parametrize("word", sorted(WORDS))
def test_a_command_word_is_the_same_in_any_spelling(word: str, spelling: str) -> None:
    context = GrammarContext(today=date(2027, 4, 10), private=True)
    for line in (f"/{word} T1", f"{word} Chicago", word):
        typed = line.replace(word, _SPELT[spelling](word))
        ours, theirs = (find_command(clean(text)) for text in (line, typed))
        assert ours is not None
        assert theirs is not None, typed
        assert theirs.command is ours.command
        check(typed, context)


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.word)
def test_the_examples_of_a_command_are_read_with_dotless_letters(command: Command) -> None:
    context = GrammarContext(today=date(2027, 4, 10), private=True)
    for example in command.examples:
        for typed in (example.replace("i", "ı"), example.upper().replace("I", "İ")):
            check(typed, context)


@settings(max_examples=400, deadline=None)
@given(
    words=st.lists(st.sampled_from(_SCRAPS), min_size=1, max_size=6),
    at=st.lists(st.integers(0, 200), max_size=4),
    put=st.lists(st.sampled_from("ıİſKåéß\u0301\u200fµ"), min_size=4, max_size=4),
    context=CONTEXTS,
)
def test_any_letter_may_be_another_alphabets(
    words: list[str], at: list[int], put: list[str], context: GrammarContext
) -> None:
    text = list(" ".join(words))
    for place, sign in zip(at, put, strict=False):
        text[place % len(text) if text else 0 : place % len(text) + 1] = [sign]
    check("".join(text), context)


def test_a_cell_in_another_alphabets_letter_is_read_as_the_letter_it_stands_for() -> None:
    context = GrammarContext(today=date(2027, 4, 10), private=True)
    for typed, plain in (
        ("/up 3 T1 \u01301", "/up 3 T1 I1"),
        ("/up 3 T1 row \u0131", "/up 3 T1 row I"),
    ):
        (odd,), (usual,) = parse(typed, context), parse(plain, context)
        assert odd.request is not None
        assert odd.request == usual.request


def test_a_very_long_message_is_read_in_little_time_and_says_what_was_cut() -> None:
    context = GrammarContext(today=date(2027, 4, 10), private=True)
    lines = parse("up 12 tomato " * 2000, context)
    assert [type(line.problem).__name__ for line in lines] == ["TooLong"]
    many = parse("up 12 tomato\n" * 60, context)
    assert len(many) == 51
    assert type(many[-1].problem).__name__ == "TooManyLines"
