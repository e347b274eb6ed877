"""Nothing is half added: each request, reply, work and report kind has all that belongs to it."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import sys
from datetime import date

import pytest

import core.replies
from bot.wording.pieces.work_lines import WORK_WORDS
from bot.wording.replies.reports.undone import act_name
from bot.wording.speak import words_of
from bot.wording.voice import Voice
from core import requests
from core.due.items import REPEAT_DAYS, Work
from core.handlers import table
from core.replies.base import Reply
from core.replies.reports import ActLine
from core.replies.start import Followed
from core.report_kinds import ReportKind
from core.requests import Request


def leaves(base: type) -> list[type]:
    """Return the subclasses of a class that have none themselves.

    A dataclass with slots leaves the class it was made from behind: only what its module names
    counts.
    """
    below = [
        kind
        for kind in base.__subclasses__()
        if getattr(sys.modules[kind.__module__], kind.__name__, None) is kind
    ]
    return [leaf for kind in below for leaf in (leaves(kind) or [kind])]


def cases(source: str) -> set[str]:
    """Return what the `match` cases of a source name: `r.Sow()` gives Sow."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.MatchClass) and isinstance(node.cls, ast.Attribute):
            found.add(node.cls.attr)
    return found


REQUESTS = [kind for kind in leaves(Request) if kind.__module__ == requests.__name__]
for found in pkgutil.iter_modules(core.replies.__path__, "core.replies."):
    importlib.import_module(found.name)
REPLIES = [kind for kind in leaves(Reply) if kind.__module__.startswith("core.replies.")]


def test_there_is_something_to_hold() -> None:
    assert len(REQUESTS) > 40
    assert len(REPLIES) > 60


def test_every_request_has_a_handler() -> None:
    handled = cases(inspect.getsource(table))
    assert sorted({kind.__name__ for kind in REQUESTS} - handled) == []
    assert sorted(handled - {kind.__name__ for kind in REQUESTS}) == []


@pytest.mark.parametrize("kind", REPLIES, ids=lambda kind: kind.__name__)
def test_every_reply_has_words_in_the_file_of_its_subject(kind: type[Reply]) -> None:
    if kind is not Followed:  # two replies in one: `speak` words it
        assert kind in words_of(kind.__module__.rpartition(".")[2])


def test_every_kind_of_work_has_words_and_a_rhythm() -> None:
    assert set(WORK_WORDS) == set(Work) == set(REPEAT_DAYS)


def test_every_report_kind_can_be_named_in_the_list_of_what_can_be_undone() -> None:
    for kind in ReportKind:
        line = ActLine(act=1, kind=kind, by="Ana", on=date(2027, 3, 1), summary={"level": "dry"})
        said = act_name(line, Voice(today=date(2027, 3, 1)))
        assert said.strip()
        assert (said.startswith("note")) == (kind is ReportKind.NOTE)
