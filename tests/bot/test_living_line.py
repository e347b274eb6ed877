"""At the terminal a message that is changed is one line, and the buttons it lost are gone."""

from __future__ import annotations

from datetime import UTC, datetime

from bot.operate.clock import MovableClock
from bot.terminal.chat import TerminalChat
from tests.databases import new_database


def test_a_change_is_one_short_line_and_buttons_of_done_work_go() -> None:
    database, clock = new_database(), MovableClock()
    clock.set(datetime(2027, 3, 1, 8, tzinfo=UTC))
    lines: list[str] = []
    chat = TerminalChat(database, clock, lines.append)
    for line in ("/start", "/tray T1 T2 72", "/sow lettuce T1 A1-B6", "/sow onion T2 A1-B6"):
        chat.feed(line)
    chat.feed(":wait 2d")
    number = next(n for n, button in chat.buttons.items() if button.label == "Watered")
    lines.clear()
    chat.feed("/watered T1")
    (changed,) = [line for line in lines if line.startswith("--")]
    said = "-- the group, changed from Wed 2027-03-03 07:30: ✓ Robin saw to the water in T1."
    assert changed.startswith(said)
    assert changed.endswith("] Watered")
    assert number not in chat.buttons  # the message has a button of its own for the rest
    rest = next(n for n, button in chat.buttons.items() if button.label == "Watered")
    lines.clear()
    chat.feed(str(rest))
    (changed,) = lines
    assert "✓ Robin saw to the water in T1 and T2." in changed
    lines.clear()
    chat.feed(str(rest))
    assert lines == [f"There is no button {rest} on the screen."]
    database.close()
