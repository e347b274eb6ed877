"""Play a conversation script at the terminal."""

from __future__ import annotations

import re
from datetime import datetime
from zoneinfo import ZoneInfo

from bot.operate.clock import MovableClock
from bot.terminal.chat import Said, TerminalChat
from tests.conversations.script import Heard, Step, body_lines
from tests.databases import new_database

_SET = re.compile(r"(\d{4}-\d\d-\d\d \d\d:\d\d)(?: ([\w/+-]+))?")


class TerminalPlayer:
    """Types each step into a terminal chat."""

    def __init__(self) -> None:
        self.database = new_database()
        self.clock = MovableClock()
        self.printed: list[str] = []
        self._said: list[Said] = []
        self.chat = TerminalChat(
            self.database, self.clock, self.printed.append, hear=self._said.append
        )

    def play(self, step: Step) -> list[Heard]:
        self._said.clear()
        match step.what:
            case "@":
                self._time(step.text)
            case ":":
                self.chat.feed(f":{step.text}")
            case ">":
                self.chat.feed(step.text)
            case "*":
                self.chat.feed(str(self._number(step.text)))
        return [
            Heard(
                unasked=said.at is not None,
                place=said.place if said.at is not None else "",
                at=said.at or "",
                lines=body_lines(said.text, said.buttons, said.attachments),
                changed=said.changed,
            )
            for said in self._said
        ]

    def _time(self, text: str) -> None:
        at = _SET.fullmatch(text)
        if at is None:
            self.chat.feed(f":wait {text.lstrip('+')}")
        elif at[2] is not None:
            local = datetime.strptime(at[1], "%Y-%m-%d %H:%M").replace(tzinfo=ZoneInfo(at[2]))
            self.clock.set(local)
            self.chat.catch_up()
        else:
            self.chat.feed(f":at {at[1]}")

    def _number(self, label: str) -> int:
        for number, button in reversed(self.chat.buttons.items()):
            if button.label == label:
                return number
        labels = [button.label for button in self.chat.buttons.values()]
        raise AssertionError(f"no button {label!r} on the screen: {labels}")

    def close(self) -> None:
        self.database.close()
