"""What a report asks of the database: a few statements, however much the group holds."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import event

from bot.operate.clock import MovableClock
from bot.terminal.chat import TerminalChat
from tests.databases import new_database

START = datetime(2027, 3, 1, 15, tzinfo=UTC)


class Group:
    """A group with trays of tomato, on the morning after its first round."""

    def __init__(self, trays: int) -> None:
        self.database, self.heard = new_database(), list[str]()
        clock = MovableClock(START)
        self.chat = TerminalChat(self.database, clock, self.heard.append, speaker="Ana")
        self.say("/start", "/site America/Chicago")
        for n in range(1, trays + 1):
            self.say(f"/tray T{n} 72", f"/sow tomato T{n} A1-B6")
        self.say("/duty Ana daily")
        self.chat.pass_time(START + timedelta(days=3))
        assert any("Feel the mix" in line for line in self.heard)

    def say(self, *lines: str) -> None:
        for line in lines:
            self.chat.feed(line)

    def asked_by(self, line: str) -> list[str]:
        """Return the statements that one line takes."""
        statements: list[str] = []

        def note(_c: Any, _u: Any, statement: str, *_: Any) -> None:
            statements.append(" ".join(statement.split()))

        engine = self.database.engine
        event.listen(engine, "before_cursor_execute", note)
        try:
            self.say(line)
        finally:
            event.remove(engine, "before_cursor_execute", note)
        return statements


def test_a_remark_reads_no_reports_though_the_message_of_the_day_stands() -> None:
    asked = Group(3).asked_by("/note the door sticks")
    assert not [statement for statement in asked if "FROM reports" in statement]


def test_a_report_takes_as_many_statements_in_a_large_group_as_in_a_small_one() -> None:
    small, large = (len(Group(trays).asked_by("/watered T1")) for trays in (2, 12))
    assert small == large
