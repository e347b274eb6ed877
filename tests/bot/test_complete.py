"""Nothing is half added, and whatever is left out is named with the file it belongs in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

import pytest

from bot.__main__ import main
from bot.grammar import spanish_words
from bot.grammar.commands import COMMANDS
from bot.operate import complete
from bot.wording import extract
from bot.wording.mistakes import gathered
from bot.wording.pieces import help as help_lines
from bot.wording.pieces import work_lines
from bot.wording.replies import reports as report_words
from bot.wording.replies.reports.undone import act_name
from bot.wording.voice import Voice
from core.due import items
from core.due.items import Work
from core.errors import TrayUnknown
from core.replies.reports import ActLine, Sown
from core.report_kinds import ReportKind
from core.trouble.causes import CAUSES


def test_there_is_something_to_hold() -> None:
    assert len(complete.request_kinds()) > 40
    assert len(complete.reply_kinds()) > 60


def test_nothing_is_missing() -> None:
    assert complete.gaps() == []


def test_every_report_kind_can_be_named_in_the_list_of_what_can_be_undone() -> None:
    for kind in ReportKind:
        line = ActLine(act=1, kind=kind, by="Ana", on=date(2027, 3, 1), summary={"level": "dry"})
        said = act_name(line, Voice(today=date(2027, 3, 1)))
        assert said.strip()
        assert (said.startswith("note")) == (kind is ReportKind.NOTE)


# --- each part left out in turn ---


def without(monkeypatch: pytest.MonkeyPatch, module: str, case: str) -> None:
    """Take one case out of a module's source, as the check reads it."""
    source_of = complete.source_of

    def source(asked: str) -> str:
        text = source_of(asked)
        if asked != module:
            return text
        cut, times = re.subn(rf"case \w+\.{case}\b", "case other.Other", text)
        assert times == 1
        return cut

    monkeypatch.setattr(complete, "source_of", source)


def found(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Return what is missing, phrases aside: those take a second, and have a test of their own."""
    monkeypatch.setattr(complete, "_of_phrases", lambda: iter(()))
    return complete.gaps()


@contextmanager
def left_out(words: dict[Any, Any], key: Any) -> Iterator[None]:
    """Take a key out of a table, and leave the table in its old order: messages follow it."""
    whole = dict(words)
    del words[key]
    try:
        yield
    finally:
        words.clear()
        words.update(whole)


LACKS = [
    (help_lines.TEXTS, "sow", "command /sow: no help line in bot/wording/pieces/help.py"),
    (
        spanish_words.COMMAND_WORDS,
        "fed",
        "command /fed: no Spanish word in bot/grammar/spanish_words.py",
    ),
    (report_words.WORDS, Sown, "reply Sown: no words in bot/wording/replies/reports.py"),
    (gathered.WORDS, TrayUnknown, "mistake TrayUnknown: no words in bot/wording/mistakes/"),
    (
        work_lines.WORK_WORDS,
        Work.POT_UP,
        "work POT_UP: no words in WORK_WORDS of bot/wording/pieces/work_lines.py",
    ),
    (
        items.REPEAT_DAYS,
        Work.POT_UP,
        "work POT_UP: no rhythm in REPEAT_DAYS of core/due/items.py",
    ),
]


@pytest.mark.parametrize(("words", "key", "line"), LACKS, ids=[line for *_, line in LACKS])
def test_words_left_out_are_named(
    words: dict[Any, Any], key: Any, line: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    order = list(words)
    with left_out(words, key):
        assert found(monkeypatch) == [line]
    assert list(words) == order


CASES = [
    ("core.handlers.table", "Moist", "request Moist: no handler in core/handlers/table.py"),
    (
        "bot.grammar.render",
        "Moist",
        "request Moist: no rendering in bot/grammar/render.py or render_set_up.py",
    ),
    (
        "bot.wording.replies.notices",
        "QUIET",
        "notice QUIET: no words in bot/wording/replies/notices.py",
    ),
    (
        "bot.wording.replies.reports.undone",
        "FED",
        "report kind FED: no words in bot/wording/replies/reports/undone.py",
    ),
]


@pytest.mark.parametrize(("module", "case", "line"), CASES, ids=[line for *_, line in CASES])
def test_a_case_left_out_is_named(
    module: str, case: str, line: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    without(monkeypatch, module, case)
    assert found(monkeypatch) == [line]


def test_a_command_left_out_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    fewer = tuple(command for command in COMMANDS if command.word != "moist")
    monkeypatch.setattr(complete, "COMMANDS", fewer)
    assert found(monkeypatch) == ["request Moist: no command of bot/grammar/commands.py builds it"]


@pytest.mark.parametrize(
    ("examples", "line"),
    [
        ((), "command /start: no example in bot/grammar/commands.py"),
        (
            ("/due",),
            "command /start: its builder does not read '/due', in bot/grammar/commands.py",
        ),
    ],
)
def test_an_example_left_out_or_wrong_is_named(
    examples: tuple[str, ...], line: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from dataclasses import replace

    first, *others = COMMANDS
    assert first.word == "start"
    monkeypatch.setattr(complete, "COMMANDS", (replace(first, examples=examples), *others))
    assert found(monkeypatch) == [line]


def test_spanish_left_out_is_named_for_code_and_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    catalogue = extract.read("es")
    untranslated, dropped = "What is due today.", CAUSES.rows()[0].cause
    catalogue[untranslated].string = ""
    catalogue.delete(dropped)
    monkeypatch.setattr(complete.extract, "read", lambda language: catalogue)
    where = "not in bot/wording/locale/es (python -m bot.wording.extract adds the line)"
    assert sorted(complete.gaps()) == sorted(
        f"phrase {phrase!r}: {where}" for phrase in (untranslated, dropped)
    )


def test_check_prints_what_is_missing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(complete, "_of_phrases", lambda: iter(()))
    with left_out(help_lines.TEXTS, "sow"):
        assert main(["check"]) == 1
    assert "command /sow: no help line in bot/wording/pieces/help.py\n" in capsys.readouterr().out
