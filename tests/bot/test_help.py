"""Help: a line for every command, all on one screen, examples that are read."""

from __future__ import annotations

from datetime import date

import pytest

from bot.grammar import GrammarContext, parse
from bot.grammar.commands import COMMANDS, Command
from bot.wording.pieces.help import SECTIONS, TEXTS, help_shown, shown_commands
from bot.wording.voice import Voice
from core.replies.start import HelpShown

SCREEN = 1200  # characters: about a screen of a phone
VOICE = Voice(today=date(2027, 2, 1))


def heard(topic: str | None) -> str:
    return help_shown(HelpShown(topic=topic, coordinator=False, private=False), VOICE).text


def test_every_command_has_its_line_and_no_line_is_left_over() -> None:
    assert set(TEXTS) == {command.word for command in shown_commands()}
    assert {command.section for command in shown_commands()} == set(SECTIONS)


def test_all_commands_fit_one_screen() -> None:
    text = heard(None)
    assert len(text) <= SCREEN
    for command in shown_commands():
        assert f"/{command.word}" in text.replace("\n", " ").split()


@pytest.mark.parametrize("command", shown_commands(), ids=lambda command: command.word)
def test_each_command_is_explained_with_its_examples(command: Command) -> None:
    text = heard(command.word)
    assert TEXTS[command.word] in text
    for example in command.examples:
        assert example in text
    assert text.count("\n") <= 12


@pytest.mark.parametrize(
    "example", [example for command in COMMANDS for example in command.examples]
)
def test_each_example_is_read_by_the_grammar(example: str) -> None:
    context = GrammarContext(
        today=date(2027, 2, 1), members=("Ana",), trays=("T1", "T2", "T3", "T5"), shelves=("A",),
        lots=("L1", "L2"), growing=("tomato", "pepper"),
    )  # fmt: skip
    for line in parse(example, context):
        assert line.problem is None, line.problem


def test_a_synonym_a_slash_and_a_section_are_understood() -> None:
    assert heard("/sow") == heard("sow") == heard("seeded")
    assert "/moist" in heard("report what happened")


def test_an_unknown_topic_says_so_and_lists_the_commands() -> None:
    text = heard("flying")
    assert text.startswith("There is no command flying")
    assert "/sow" in text
