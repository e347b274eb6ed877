"""What goes out: once, in order within a chat, and what becomes of each message."""

from __future__ import annotations

import io
import os
import time
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import update

from bot.delivery import courier
from bot.delivery.holding import HERE, new_holder
from bot.delivery.pace import Pace
from bot.telegram import sending
from core.records import models as m
from tests.server.chats import Json
from tests.telegram.conftest import BOT, Bench

HOUR = timedelta(hours=1)


def png(width: int = 40, height: int = 20, shade: int = 90) -> bytes:
    from PIL import Image

    data = io.BytesIO()
    Image.new("L", (width, height), shade).save(data, "PNG")
    return data.getvalue()


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes]:
    """What `bot.papers.attachments.content` draws, by name; a missing name fails."""
    import sys
    import types

    files: dict[str, bytes] = {}
    module = types.ModuleType("bot.papers.attachments")
    module.content = lambda database, attachment, now: files[attachment["name"]]  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "bot.papers.attachments", module)
    return files


def picture(name: str = "tray-T1.png", *, shown: bool = True) -> Json:
    return {"what": "tray", "name": name, "values": {}, "picture": shown}


@pytest.mark.usefixtures("both_engines")
async def test_messages_of_a_chat_keep_their_order_while_one_of_them_hangs(bench: Bench) -> None:
    _, group = bench.a_group()
    bo = bench.server.add_user("Bo", started=True)
    bench.server.faults.next("hang", "sendMessage", chat_id=group.id, hang_s=600)
    for text in ("one", "two", "three"):
        bench.put(group, text)
    bench.put(bo.private, "beside")
    await bench.start()
    await bench.until(lambda: bench.server.by_bot(bo.private))  # another chat does not wait
    assert len(bench.server.by_bot(group)) == 1  # and no second one is in flight here
    bench.server.let_go()
    await bench.until(lambda: len(bench.server.by_bot(group)) == 3)
    assert [entry.text for entry in bench.server.by_bot(group)] == ["one", "two", "three"]
    await bench.until(lambda: all(row.state == "sent" for row in bench.rows(m.Outbox)))
    assert len(bench.server.by_bot()) == 4


@pytest.mark.usefixtures("both_engines")
async def test_a_wait_asked_for_holds_that_chat_and_no_other(bench: Bench) -> None:
    _, group = bench.a_group()
    bo = bench.server.add_user("Bo", started=True)
    bench.server.faults.next("429", "sendMessage", chat_id=group.id, retry_after_s=1)
    bench.put(group, "one")
    await bench.start()
    began = time.monotonic()
    await bench.until(lambda: bench.server.faults.injected["429"])
    bench.put(bo.private, "beside")
    await bench.until(lambda: bench.rows(m.Chat, m.Chat.paused_until.is_not(None)))
    await bench.until(lambda: bench.server.by_bot(bo.private))
    await bench.until(lambda: bench.server.by_bot(group))
    assert time.monotonic() - began >= 1.0
    assert bench.server.pace.early == 0
    assert bench.server.counts["sendMessage", 429] == 1


async def test_another_chat_is_not_delayed_by_a_wait(bench: Bench) -> None:
    _, group = bench.a_group()
    bo = bench.server.add_user("Bo", started=True)
    front_end = await bench.start()
    bench.server.faults.next("429", "sendMessage", chat_id=group.id, retry_after_s=3600)
    bench.put(group, "one")
    front_end.courier.wake()
    await bench.until(lambda: bench.server.faults.injected["429"])
    bench.put(bo.private, "beside")
    front_end.courier.wake()
    await bench.until(lambda: bench.server.by_bot(bo.private))
    assert not bench.server.by_bot(group)


async def test_a_failed_call_is_made_again_and_said_once(bench: Bench) -> None:
    _, group = bench.a_group()
    bench.server.faults.next("500", "sendMessage")
    row = bench.put(group, "one")
    await bench.start()
    await bench.until(lambda: bench.row(row).state == "sent")
    assert len(bench.server.by_bot(group)) == 1
    assert bench.row(row).tries == 2
    assert bench.row(row).unknowns == 0


@pytest.mark.parametrize(("kind", "said"), [("reset_before", 1), ("reset_after", 2)])
async def test_what_may_not_have_arrived_is_said_again(bench: Bench, kind: str, said: int) -> None:
    _, group = bench.a_group()
    bench.server.faults.next(kind, "sendMessage")
    row = bench.put(group, "one")
    await bench.start()
    await bench.until(lambda: bench.row(row).state == "sent")
    assert len(bench.server.by_bot(group)) == said
    assert bench.row(row).unknowns == 1


async def test_a_reply_of_long_ago_is_not_repeated_on_doubt(bench: Bench) -> None:
    _, group = bench.a_group()
    bench.server.faults.next("reset_after", "sendMessage")
    row = bench.put(group, "one", due_at=datetime.now(UTC) - 2 * HOUR)
    await bench.start()
    await bench.until(lambda: bench.row(row).state == "parked")
    assert len(bench.server.by_bot(group)) == 1
    assert bench.row(row).error == "the outcome is unknown"


async def test_a_refused_message_is_parked_with_the_reason_and_blocks_nothing(
    bench: Bench,
) -> None:
    _, group = bench.a_group()
    bad = bench.put(group, {"text": "one", "buttons": [[["", "/help"]]]})
    good = bench.put(group, "two")
    await bench.start()
    await bench.until(lambda: bench.row(good).state == "sent")
    assert bench.row(bad).state == "parked"
    assert bench.row(bad).tries == 1
    assert "Bad Request" in bench.row(bad).error or "utton" in bench.row(bad).error


async def test_a_chat_that_blocks_the_bot_is_dead_until_it_is_heard(bench: Bench) -> None:
    bo = bench.server.add_user("Bo", started=True)
    bench.put(bo.private, "one")
    front_end = await bench.start()
    await bench.until(lambda: bench.server.by_bot(bo.private))
    bench.server.world.on_change()
    bo.private.bot = "kicked"  # without an update: only the refusal tells
    second = bench.put(bo.private, "two")
    third = bench.put(bo.private, "three")
    front_end.courier.wake()
    await bench.until(lambda: bench.row(third).state == "parked")
    assert bench.row(second).state == "parked"
    assert bench.counts_of("sendMessage", 403) == 1
    assert "blocked" in bench.chat(bo.private).dead_because
    bo.say(bo.private, "/help")
    await bench.until(lambda: len(bench.server.by_bot(bo.private)) == 2)
    assert bench.chat(bo.private).dead_since is None


async def test_nothing_is_sent_to_a_group_that_put_the_bot_out(bench: Bench) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    ana.kick_bot(group)
    await bench.until(lambda: bench.chat(group).dead_since is not None)
    row = bench.put(group, "one")
    front_end.courier.wake()
    await bench.until(lambda: bench.row(row).state == "parked")
    assert bench.row(row).error == "removed"
    assert bench.counts_of("sendMessage", 403) == 0
    ana.add_bot(group)
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    assert bench.chat(group).dead_since is None


@pytest.mark.usefixtures("both_engines")
async def test_a_move_first_heard_of_by_a_refusal_is_followed(bench: Bench) -> None:
    front_end = await bench.start()
    _, group = await bench.founded()
    new = bench.server.migrate(group, announce=False)
    row = bench.put(group, "one")
    front_end.courier.wake()
    await bench.until(lambda: bench.row(row).state == "sent")
    assert [entry.text for entry in bench.server.by_bot(new)] == ["one"]
    assert [chat.platform_chat for chat in bench.rows(m.Chat)] == [str(new.id)]


async def test_a_forum_topic_is_kept_and_left_when_it_is_gone(bench: Bench) -> None:
    front_end = await bench.start()
    ana, group = bench.a_group(forum=True)
    topic = bench.server.add_topic(group, "Seedlings")
    ana.say(group, f"/start{BOT}", topic=topic.id)
    first = (await bench.until(lambda: bench.server.by_bot(group)))[0]
    assert first.thread_id == topic.id
    bench.server.delete_topic(group, topic)
    assert bench.chat(group).thread == str(topic.id)
    bench.put(group, "one", thread=str(topic.id))
    front_end.courier.wake()
    said = await bench.until(lambda: bench.server.by_bot(group)[1:])
    assert said[0].text == "one"
    assert said[0].thread_id is None
    assert bench.chat(group).thread is None


async def test_a_long_text_goes_in_parts_and_goes_on_where_it_was_cut_off(bench: Bench) -> None:
    _, group = bench.a_group()
    lines = [f"{n:04d} " + "seedling " * 8 for n in range(150)]
    bench.server.faults.next("500", "sendMessage", skip=1)
    row = bench.put(group, {"text": "\n".join(lines), "buttons": [[["Help", "/help"]]]})
    await bench.start()
    await bench.until(lambda: bench.row(row).state == "sent")
    said = bench.server.by_bot(group)
    assert len(said) == 3
    assert "\n".join(entry.text for entry in said).split() == " ".join(lines).split()
    assert [len(entry.buttons) for entry in said] == [0, 0, 1]


@pytest.mark.usefixtures("both_engines")
async def test_a_mention_alerts_the_person_wherever_it_stands(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    bo = bench.server.add_user("Bo")
    bo.join(group)
    await bench.until(lambda: len(bench.rows(m.Person)) == 2)
    ids = {p.platform_user: p.id for p in bench.rows(m.Person)}
    text = "🌱🌱 Ana and Bo: T1 is thirsty"
    row = bench.put(
        group,
        {"text": text, "mentions": [[3, 3, ids[str(ana.id)]], [11, 2, ids[str(bo.id)]]]},
    )
    await bench.until(lambda: bench.row(row).state == "sent")
    said = bench.server.by_bot(group)[-1]
    assert said.text == text
    assert [(e["offset"], e["length"], e["user"]["id"]) for e in said.entities] == [
        (5, 3, ana.id),
        (13, 2, bo.id),
    ]


@pytest.mark.usefixtures("both_engines")
async def test_a_picture_carries_the_words_and_is_sent_by_name_the_second_time(
    bench: Bench, drawn: dict[str, bytes]
) -> None:
    drawn["tray-T1.png"] = png()
    _, group = bench.a_group()
    body = {"text": "Tray T1", "attachments": [picture()], "buttons": [[["Help", "/help"]]]}
    bench.put(group, body)
    bench.put(group, body)
    await bench.start()
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    first, second = bench.server.by_bot(group)
    assert (first.method, first.text, first.file.name) == ("sendPhoto", "Tray T1", "tray-T1.png")
    assert first.buttons
    assert second.file is first.file  # not uploaded again


async def test_a_name_the_platform_forgot_is_followed_by_the_file_itself(
    bench: Bench, drawn: dict[str, bytes]
) -> None:
    drawn["tray-T1.png"] = png()
    _, group = bench.a_group()
    bench.put(group, {"text": "one", "attachments": [picture()]})
    front_end = await bench.start()
    await bench.until(lambda: bench.rows(m.SentFile))
    bench.server.world.files.by_id.clear()
    bench.put(group, {"text": "two", "attachments": [picture()]})
    front_end.courier.wake()
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    assert [entry.text for entry in bench.server.by_bot(group)] == ["one", "two"]


async def test_long_words_stand_beside_a_picture_and_files_go_as_files(
    bench: Bench, drawn: dict[str, bytes]
) -> None:
    drawn |= {"tray-T1.png": png(), "labels.pdf": b"%PDF-1.4 labels"}
    _, group = bench.a_group()
    files = [picture(), picture("labels.pdf", shown=False)]
    bench.put(group, {"text": "word " * 300, "attachments": files})
    await bench.start()
    await bench.until(lambda: len(bench.server.by_bot(group)) == 3)
    said = bench.server.by_bot(group)
    assert [entry.method for entry in said] == ["sendMessage", "sendPhoto", "sendDocument"]
    assert said[2].file.data == b"%PDF-1.4 labels"


async def test_a_picture_of_no_picture_shape_goes_as_a_file(
    bench: Bench, drawn: dict[str, bytes]
) -> None:
    drawn["season.png"] = png(2000, 20)
    _, group = bench.a_group()
    bench.put(group, {"text": "The season", "attachments": [picture("season.png")]})
    await bench.start()
    said = (await bench.until(lambda: bench.server.by_bot(group)))[0]
    assert (said.method, said.text) == ("sendDocument", "The season")


async def test_words_go_without_a_picture_that_cannot_be_drawn(
    bench: Bench, drawn: dict[str, bytes]
) -> None:
    _, group = bench.a_group()
    row = bench.put(group, {"text": "Tray T1", "attachments": [picture(), picture()]})
    await bench.start()
    await bench.until(lambda: bench.row(row).state == "sent")
    assert [(e.method, e.text) for e in bench.server.by_bot(group)] == [("sendMessage", "Tray T1")]


async def test_a_row_that_no_call_can_be_made_of_is_parked_and_blocks_nothing(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: Any) -> None:
        raise RuntimeError("a fault of ours")

    _, group = bench.a_group()
    bad = bench.put(group, {"text": "one", "buttons": [[["Help", "/help"]]]})
    good = bench.put(group, "two")
    monkeypatch.setattr(sending, "markup", lambda _, rows: broken() if rows else None)
    await bench.start()
    await bench.until(lambda: bench.row(good).state == "sent")
    assert bench.row(bad).state == "parked"


def a_notice(bench: Bench, day: date, chat: Any, **values: Any) -> int:
    """A round of a day that waits in the outbox."""
    with bench.database.transaction() as session:
        group = session.query(m.Group).one()
        notice = m.Notice(
            group_id=group.id,
            recipient=0,
            kind="round",
            subject="day",
            on_day=day,
            made_at=datetime.now(UTC),
            body={},
            answered_at=None,
            answered_by_id=None,
        )
        session.add(notice)
        session.flush()
        notice_id = notice.id
    return bench.put(chat, f"round of {day}", notice_id=notice_id, **values)


@pytest.mark.usefixtures("both_engines")
async def test_stale_notices_are_not_fired_and_late_replies_still_are(bench: Bench) -> None:
    front_end = await bench.start()
    _, group = await bench.founded()
    await front_end.stop()
    now = datetime.now(UTC)
    today = now.date()
    old = a_notice(bench, today - timedelta(days=3), group, due_at=now - 72 * HOUR)
    yesterday = a_notice(bench, today - timedelta(days=1), group, due_at=now - 20 * HOUR)
    current = a_notice(bench, today, group, due_at=now - HOUR)
    reply = bench.put(group, "a late answer", due_at=now - 30 * HOUR)
    await bench.start()
    await bench.until(lambda: bench.row(current).state == "sent")
    assert bench.row(reply).state == "sent"
    assert [bench.row(row).state for row in (old, yesterday)] == ["stale", "stale"]
    texts = [entry.text for entry in bench.server.by_bot(group)[1:]]
    assert texts == ["a late answer", f"round of {today}"]


@pytest.mark.usefixtures("both_engines")
async def test_what_a_killed_process_had_in_hand_is_sent_again_and_only_that(
    bench: Bench,
) -> None:
    _, group = bench.a_group()
    killed = f"{HERE[:22]}:999999:abcdef"
    later = datetime.now(UTC) + HOUR
    in_hand = bench.put(group, "in hand", state="sending", lease_by=killed, lease_until=later)
    done = bench.put(group, "done", state="sent")
    await bench.start()
    await bench.until(lambda: bench.row(in_hand).state == "sent")
    assert [entry.text for entry in bench.server.by_bot(group)] == ["in hand"]
    assert bench.row(in_hand).unknowns == 1
    assert bench.row(done).state == "sent"


async def test_what_a_living_process_has_in_hand_is_left_to_it(bench: Bench) -> None:
    _, group = bench.a_group()
    other = new_holder().replace(f":{os.getpid()}:", f":{os.getppid()}:")
    later = datetime.now(UTC) + timedelta(minutes=1)
    in_hand = bench.put(group, "in hand", state="sending", lease_by=other, lease_until=later)
    bench.put(bench.server.add_user("Bo", started=True).private, "beside")
    await bench.start()
    await bench.until(lambda: bench.server.by_bot())
    assert [entry.text for entry in bench.server.by_bot()] == ["beside"]
    assert bench.row(in_hand).state == "sending"


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize("ends", [timedelta(seconds=2), timedelta(hours=2)], ids=["soon", "absurd"])
async def test_what_an_unknown_holder_has_in_hand_is_sent_once_its_lease_is_over(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, ends: timedelta
) -> None:
    """The holder ran on another host, or where process ids say nothing: only its lease tells.

    One that ends hours ahead was taken before the clock was set back.
    """
    monkeypatch.setattr(courier, "RECOVER_S", 0.2)
    _, group = bench.a_group()
    left = bench.put(
        group,
        "in hand",
        state="sending",
        lease_by="elsewhere:77:abcdef",
        lease_until=datetime.now(UTC) + ends,
    )
    await bench.start()
    await bench.until(lambda: bench.row(left).state == "sent")
    assert [entry.text for entry in bench.server.by_bot(group)] == ["in hand"]


async def test_what_is_of_no_use_any_more_is_not_sent_whatever_held_it_up(bench: Bench) -> None:
    _, group = bench.a_group()
    past = datetime.now(UTC) - timedelta(minutes=1)
    late = bench.put(group, "yesterday's word", rank=1, due_at=past, stale_at=past)
    on_time = bench.put(group, "today's word", rank=1, stale_at=datetime.now(UTC) + HOUR)
    await bench.start()
    await bench.until(lambda: bench.row(on_time).state == "sent")
    assert [entry.text for entry in bench.server.by_bot(group)] == ["today's word"]
    assert bench.row(late).state == "stale"


async def test_answers_go_before_what_is_said_unasked(bench: Bench) -> None:
    chats = [bench.server.add_user(f"P{n}", started=True).private for n in range(12)]
    for chat in chats[:-1]:
        bench.put(chat, "a round", rank=1, due_at=datetime.now(UTC) - HOUR)
    bench.put(chats[-1], "an answer")
    await bench.start()
    await bench.until(lambda: all(row.state == "sent" for row in bench.rows(m.Outbox)))
    assert bench.server.by_bot()[0].text == "an answer"


async def test_a_clock_set_back_holds_up_no_answer(bench: Bench) -> None:
    _, group = bench.a_group()
    row = bench.put(group, "an answer", due_at=datetime.now(UTC) + HOUR)
    with bench.database.transaction() as session:
        session.execute(update(m.Chat).values(paused_until=datetime.now(UTC) + 3 * HOUR))
    await bench.start()
    await bench.until(lambda: bench.row(row).state == "sent")


@pytest.mark.usefixtures("both_engines")
async def test_two_processes_never_send_the_same(bench: Bench) -> None:
    chats = [bench.server.add_user(f"P{n}", started=True).private for n in range(20)]
    for chat in chats:
        for n in range(3):
            bench.put(chat, f"{n}")
    await bench.start()
    await bench.start()
    await bench.until(lambda: all(row.state == "sent" for row in bench.rows(m.Outbox)))
    for chat in chats:
        assert [entry.text for entry in bench.server.by_bot(chat)] == ["0", "1", "2"]


async def test_our_own_pace_causes_no_refusal(bench: Bench) -> None:
    bench.server.pace.enabled = True
    _ana, group = bench.a_group()
    people = [bench.server.add_user(f"P{n}", started=True).private for n in range(30)]
    for n in range(5):
        bench.put(group, f"{n}")
    for chat in people:
        bench.put(chat, "one")
        bench.put(chat, "two")
    began = time.monotonic()
    await bench.start(pace=Pace())
    await bench.until(lambda: bench.server.said_by_bot == 65)
    took = time.monotonic() - began
    assert bench.server.pace.refused == {"overall": 0, "chat": 0, "group": 0}
    assert took > 2.0  # spread


async def test_without_a_connection_nothing_is_lost(bench: Bench) -> None:
    front_end = await bench.start()
    _, group = await bench.founded()
    port = bench.server.port
    await bench.server.stop()
    row = bench.put(group, "one")
    front_end.courier.wake()
    await bench.until(lambda: bench.row(row).tries >= 1 and bench.row(row).state == "due")
    assert bench.row(row).unknowns == 0
    assert bench.chat(group).paused_until is None
    assert port == bench.server.port
