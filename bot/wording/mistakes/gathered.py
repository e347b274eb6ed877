"""What a person can put right, in one line: what stands, and what to type instead.

The words of each subject stand in `<subject>.py` beside this file; all are gathered
here. Every `UserError` has words: tests/bot/test_mistakes.py.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from typing import Any

from bot.message import Message
from bot.wording import mistakes
from bot.wording.voice import Voice


def _gathered() -> dict[type, Callable[[Any, Voice], Message]]:
    """Return the words of every subject; one class worded twice is a mistake of ours."""
    words: dict[type, Callable[[Any, Voice], Message]] = {}
    for found in pkgutil.iter_modules(mistakes.__path__):
        if found.name == "gathered":
            continue
        subject = importlib.import_module(f"bot.wording.mistakes.{found.name}")
        for kind, say in subject.WORDS.items():
            if kind in words:
                raise ValueError(f"{kind.__name__} is worded twice")
            words[kind] = say
    return words


WORDS = _gathered()
