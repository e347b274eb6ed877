"""The table of command words is whole: examples parse, words are unique, nothing is unreachable."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.grammar import COMMANDS, WORDS, Command, parse
from bot.grammar.find_command import find_command, nearest_words
from tests.grammar.made import CONTEXT, request_types

EXAMPLES = [(command, example) for command in COMMANDS for example in command.examples]
ASKED_WORDS = (
    "start site frost shelf tray lot duty away closed member when howmany plan season calendar "
    "sow up watered moist temp light thinned potted move fed out harden planted lost "
    "note undo due trays curve report compare crop ask wish share labels swap break me export "
    "forgetme help"
)


@pytest.mark.parametrize(("command", "example"), EXAMPLES, ids=[text for _, text in EXAMPLES])
def test_example_parses_to_a_request_of_its_command(command: Command, example: str) -> None:
    context = replace(CONTEXT, members=("Ana",), shelves=("A",))
    for text in (example, example.removeprefix("/")):
        (line,) = parse(text, context)
        assert line.problem is None, repr(line.problem)
        assert type(line.request) in command.requests


def test_no_word_belongs_to_two_commands() -> None:
    words = [word for command in COMMANDS for word in (command.word, *command.other_words)]
    assert len(words) == len(set(words)) == len(WORDS)


def test_every_request_type_has_a_command() -> None:
    built = {kind for command in COMMANDS for kind in command.requests}
    assert built == set(request_types())


def test_every_command_of_the_house_is_there() -> None:
    assert set(ASKED_WORDS.split()) <= {command.word for command in COMMANDS}


@pytest.mark.parametrize("word", list(WORDS))
def test_each_word_is_found_with_and_without_a_slash(word: str) -> None:
    for text in (word, f"/{word}", word.upper()):
        found = find_command(text)
        assert found is not None
        assert found.command is WORDS[word]


def test_menu_words_fit_the_platform() -> None:
    for command in COMMANDS:
        assert command.word.isascii()
        assert command.word.isalpha()
        assert len(command.word) <= 32
        assert command.examples[0].startswith(f"/{command.word}")


@pytest.mark.parametrize(
    "typed", ["hi", "the", "its", "who", "cat", "thanks", "brought", "no", "great"]
)
def test_a_word_of_talk_is_offered_no_command(typed: str) -> None:
    assert nearest_words(typed) == ()


@pytest.mark.parametrize(("typed", "near"), [("sew", "sow"), ("wattered", "watered")])
def test_a_slip_is_offered_the_command_it_lies_near(typed: str, near: str) -> None:
    assert nearest_words(typed)[0] == near
