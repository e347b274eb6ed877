"""What a press leaves behind: a word to the presser alone, and no button whose work is done."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from bot.telegram import intake
from core.records import models as m
from tests.server.chats import Chat
from tests.server.people import User
from tests.server.transcript import Entry
from tests.telegram.conftest import BOT, Bench

pytestmark = pytest.mark.usefixtures("both_engines")

WATERED = [[["Watered", "/done 1 water"]]]


async def asked_to_water(bench: Bench, **options: Any) -> tuple[Any, User, Chat, Entry]:
    """Return Ana, her group and a message that asks to water T1."""
    front_end = await bench.start(**options)
    ana, group = await bench.founded()
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    (row,) = bench.rows(m.Group)
    with bench.database.transaction() as session:
        session.add(
            m.Notice(
                id=1, group_id=row.id, recipient=0, kind="nudge", subject="day",
                on_day=datetime.now(UTC).date(), made_at=datetime.now(UTC),
                body={"keys": ["water:T1::"]}, answered_at=None, answered_by_id=None,
            )
        )  # fmt: skip
    bench.put(group, {"text": "Feel the mix in T1.", "buttons": WATERED})
    front_end.courier.wake()
    await bench.until(lambda: len(bench.server.by_bot(group)) == 3)
    return front_end, ana, group, bench.server.by_bot(group)[-1]


async def test_a_second_press_is_told_to_the_presser_alone(bench: Bench) -> None:
    _, ana, group, entry = await asked_to_water(bench)
    first = ana.press(entry, "Watered")
    await bench.until(lambda: first.answered and len(bench.server.by_bot(group)) == 4)
    assert first.text == ""  # the answer is there for all to read
    second = ana.press(entry, "Watered")
    await bench.until(lambda: second.answered)
    assert (second.text, second.alert) == ("You had said so already.", False)
    assert len(bench.server.by_bot(group)) == 4
    assert bench.counts_of("answerCallbackQuery", 400) == 0


async def test_a_mistake_of_a_press_is_shown_to_whoever_made_it(bench: Bench) -> None:
    _, _, group, entry = await asked_to_water(bench)
    stranger = bench.server.add_user("Eve")
    group.members[stranger.id] = "member"
    press = stranger.press(entry, "Watered")
    await bench.until(lambda: press.answered)
    assert press.alert
    assert "member" in press.text
    assert len(bench.server.by_bot(group)) == 3


async def test_a_mistake_that_comes_too_late_for_that_is_said(bench: Bench) -> None:
    front_end, _, group, entry = await asked_to_water(bench)
    stranger = bench.server.add_user("Eve")
    group.members[stranger.id] = "member"
    bench.server.faults.next("hang", "answerCallbackQuery", hang_s=0.2)
    press = stranger.press(entry, "Watered")
    press.expire()
    await bench.until(lambda: len(bench.server.by_bot(group)) == 4)
    assert "member" in bench.server.by_bot(group)[-1].text
    await bench.until(lambda: front_end.idle)


async def test_a_word_for_the_presser_that_comes_too_late_is_dropped(bench: Bench) -> None:
    front_end, ana, group, entry = await asked_to_water(bench)
    ana.press(entry, "Watered")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 4)
    ana.press(entry, "Watered").expire()
    await bench.until(lambda: bench.counts_of("answerCallbackQuery", 400) == 1)
    await bench.until(lambda: front_end.idle)
    assert len(bench.server.by_bot(group)) == 4
    assert {row.state for row in bench.rows(m.Outbox)} == {"sent"}


async def test_the_buttons_of_an_answered_question_go(bench: Bench) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    first = bench.server.by_bot(group)[0]
    ana.press(first, "Set up")
    question = (await bench.until(lambda: bench.server.by_bot(group)[1:]))[0]
    assert question.buttons
    ana.press(question, question.buttons[0].text)
    await bench.until(lambda: front_end.idle and not question.message.buttons)
    methods = [entry.method for entry in bench.server.by_bot(group)]
    assert methods.count("editMessageReplyMarkup") == 1
    assert first.message.buttons  # a menu stays


async def test_undo_goes_once_it_was_pressed(bench: Bench) -> None:
    _, ana, group, entry = await asked_to_water(bench)
    ana.press(entry, "Watered")
    answer = (await bench.until(lambda: bench.server.by_bot(group)[3:]))[0]
    bench.server.faults.next("reset_after", "editMessageReplyMarkup")
    ana.press(answer, "Undo")
    await bench.until(lambda: not answer.message.buttons, timeout=20)
    await bench.until(lambda: all(r.state == "sent" for r in bench.rows(m.Outbox)), timeout=20)
    shown = [e.method for e in bench.server.by_bot(group)]
    assert shown.count("editMessageReplyMarkup") == 1  # the second call changes nothing


async def test_a_press_that_nobody_handles_is_let_go_all_the_same(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(intake, "ANSWERED_WITHIN_S", 0.05)
    front_end, ana, _, entry = await asked_to_water(bench)
    monkeypatch.setattr(front_end.receiver, "_stored", lambda stored: None)
    press = ana.press(entry, "Watered")
    await bench.until(lambda: press.answered)
    assert press.text == ""
