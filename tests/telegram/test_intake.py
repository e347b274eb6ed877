"""What comes in: stored before it is confirmed, handled once, in order, blocking nothing."""

from __future__ import annotations

import asyncio
import re
from datetime import date, timedelta
from typing import Any

import pytest
from sqlalchemy.exc import OperationalError

from core.records import inbox
from core.records import models as m
from tests.server.chats import Json
from tests.telegram.conftest import BOT, Bench


def settled(bench: Bench) -> bool:
    return not bench.rows(m.Inbox, m.Inbox.state == "new")


async def test_an_update_is_confirmed_only_once_it_is_on_disk(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    ana, group = bench.a_group()
    whole = inbox.store
    confirmed_at_failure: list[int] = []

    def broken(*args: Any, **kwargs: Any) -> int:
        confirmed_at_failure.append(bench.server.updates.confirmed)
        raise OperationalError("insert", {}, Exception("disk full"))

    monkeypatch.setattr(inbox, "store", broken)
    await bench.start()
    ana.say(group, f"/start{BOT}")
    await bench.until(lambda: len(confirmed_at_failure) >= 2)
    assert bench.server.updates.pending
    assert set(confirmed_at_failure) == {0}
    monkeypatch.setattr(inbox, "store", whole)
    await bench.until(lambda: not bench.server.updates.pending)
    await bench.until(lambda: bench.server.by_bot(group))
    assert [row.state for row in bench.rows(m.Inbox)] == ["done"]


@pytest.mark.usefixtures("both_engines")
async def test_a_replayed_update_changes_nothing(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    first, second = sorted(bench.server.updates.history)
    polls = bench.server.updates.polls
    bench.server.updates.replay(second)
    bench.server.updates.replay(first)
    await bench.until(lambda: bench.server.updates.polls > polls)
    assert len(bench.rows(m.Inbox)) == 2
    assert len(bench.rows(m.Tray)) == 1
    assert len(bench.server.by_bot(group)) == 2


@pytest.mark.parametrize(
    "broken",
    [
        {"message": {"text": "no id, no chat"}},
        {"message": []},
        {"callback_query": {"id": "7"}},
        {"my_chat_member": {"chat": {"id": 5, "type": "private"}}},
    ],
    ids=["message", "list", "press", "standing"],
)
async def test_an_update_that_cannot_be_read_is_set_aside_and_blocks_nothing(
    bench: Bench, broken: Json
) -> None:
    ana, group = bench.a_group()
    bench.server.updates.inject(broken)
    await bench.start()
    ana.say(group, f"/start{BOT}")
    await bench.until(lambda: bench.server.by_bot(group))
    parked = bench.rows(m.Inbox, m.Inbox.state == "parked")
    assert len(parked) == 1
    assert parked[0].error
    assert not bench.server.updates.pending


async def test_an_update_of_a_kind_unknown_is_stored_and_settled(bench: Bench) -> None:
    bench.server.updates.inject({"some_new_thing": {"id": 1}})
    await bench.start()
    await bench.until(lambda: not bench.server.updates.pending)
    assert [row.state for row in bench.rows(m.Inbox)] == ["done"]


@pytest.mark.usefixtures("both_engines")
async def test_an_update_that_cannot_be_handled_is_parked_and_the_next_goes_on(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bot.talk import worker

    whole = worker.respond

    def broken(session: Any, incoming: Any, *args: Any, **kwargs: Any) -> Any:
        if "T13" in incoming.text:
            raise RuntimeError("a fault of ours")
        return whole(session, incoming, *args, **kwargs)

    monkeypatch.setattr(worker, "respond", broken)
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, f"/tray{BOT} T13 72")
    ana.say(group, f"/tray{BOT} T1 72")
    said = await bench.until(
        lambda: len(bench.server.by_bot(group)) == 3 and bench.server.by_bot(group)
    )
    assert "Something went wrong here" in said[1].text
    assert "T1 added" in said[2].text
    assert [row.state for row in bench.rows(m.Inbox)] == ["done", "parked", "done"]
    assert [row.code for row in bench.rows(m.Tray)] == ["T1"]


async def test_an_edited_message_is_not_run_again(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    said = ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    ana.edit(said, f"/tray{BOT} T2 72")
    await bench.until(lambda: not bench.server.updates.pending and len(bench.rows(m.Inbox)) == 3)
    await bench.until(lambda: settled(bench))
    assert [row.code for row in bench.rows(m.Tray)] == ["T1"]
    assert len(bench.server.by_bot(group)) == 2


async def test_who_speaks_as_the_group_is_asked_who_they_are(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded(supergroup=True)
    ana.say(group, f"/tray{BOT} T1 72", anonymous=True)
    said = await bench.until(lambda: bench.server.by_bot(group)[1:])
    assert "as yourself" in said[0].text
    assert not bench.rows(m.Tray)


async def test_a_channel_is_asked_who_writes(bench: Bench) -> None:
    ana = bench.server.add_user("Ana")
    channel = bench.server.add_channel("News", creator=ana)
    await bench.start()
    bench.server.post(channel, "Seedlings for sale on Saturday")
    bench.server.post(channel, "/due")
    said = await bench.until(lambda: bench.server.by_bot(channel))
    assert len(said) == 1
    assert "as yourself" in said[0].text


async def test_a_press_is_acknowledged_before_it_is_handled(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    may_go = asyncio.Event()
    whole = front_end.workers._handle

    async def slow(*update: Any) -> bool:
        await may_go.wait()
        return await whole(*update)

    monkeypatch.setattr(front_end.workers, "_handle", slow)
    press = ana.press(bench.server.by_bot(group)[0], "What can I say")
    await bench.until(lambda: press.answered)
    assert len(bench.server.by_bot(group)) == 1
    assert len(bench.rows(m.Inbox)) == 2  # and it is on disk
    may_go.set()
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    assert "Say what happened" in bench.server.by_bot(group)[1].text


@pytest.mark.usefixtures("both_engines")
async def test_a_button_with_a_long_command_works(bench: Bench) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    command = "/tray T1-T4 72 shelf A " + "x" * 60
    bench.put(group, {"text": "Add?", "buttons": [[["Add", command], ["Help", "/help"]]]})
    front_end.courier.wake()
    entry = (await bench.until(lambda: bench.server.by_bot(group)[1:]))[0]
    kept, plain = (button.data for button in entry.buttons)
    assert plain == "/help"
    assert re.fullmatch(r"#[\w-]{22}", kept)
    ana.press(entry, "Add")
    await bench.until(lambda: bench.server.by_bot(group)[2:])
    assert bench.server.by_bot(group)[2].text
    assert settled(bench)


async def test_a_document_is_fetched_when_it_is_handled(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    days = (date(1990, 7, 1) + timedelta(days=n) for n in range(30 * 365))
    lines = ["date,tmin", *(f"{day},{-3 if day.month in (12, 1, 2, 3) else 6}" for day in days)]
    ana.send_document(group, "\n".join(lines).encode(), "lows.csv", caption=f"/frost{BOT}")
    said = (await bench.until(lambda: bench.server.by_bot(group)[1:]))[0]
    assert bench.server.counts["getFile", 200] == 1
    with bench.database.transaction() as session:
        assert session.query(m.Group).one().frost is not None, said.text


async def test_a_document_too_large_is_not_fetched(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.telegram.documents.MOST_BYTES", 1000)
    await bench.start()
    ana, group = await bench.founded()
    ana.send_document(group, b"x" * 2000, "lows.csv", caption=f"/frost{BOT}")
    await bench.until(lambda: bench.server.by_bot(group)[1:])
    assert ("getFile", 200) not in bench.server.counts


async def test_a_reply_to_the_bot_is_read_without_a_slash(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, "tray T1 72", reply_to=bench.server.by_bot(group)[0])
    said = (await bench.until(lambda: bench.server.by_bot(group)[1:]))[0]
    assert said.text.startswith("T1 added")


async def test_talk_among_members_is_left_alone_even_by_a_bot_that_sees_it(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded(bot="administrator")
    bo = bench.server.add_user("Bo")
    group.members[bo.id] = "member"
    said = ana.say(group, "water the trays please, somebody")
    bo.say(group, "tray T1 is dry", reply_to=said)
    ana.say(group, "/tray@some_other_test_bot T1 72")
    ana.say(group, f"{BOT} tray T1 72")
    await bench.until(lambda: settled(bench) and bench.server.by_bot(group)[1:])
    assert len(bench.server.by_bot(group)) == 2
    assert bench.server.by_bot(group)[1].text.startswith("T1 added")


async def test_updates_of_a_chat_keep_their_order_and_chats_do_not_wait_for_each_other(
    bench: Bench,
) -> None:
    await bench.start()
    ana, group = await bench.founded()
    bo = bench.server.add_user("Bo", started=True)
    bench.server.faults.next("hang_before", "getFile", hang_s=600)
    ana.send_document(group, b"date,tmin\n", "lows.csv", caption=f"/frost{BOT}")
    ana.say(group, f"/tray{BOT} T1 72")
    bo.say(bo.private, "/help")
    await bench.until(lambda: bench.server.by_bot(bo.private))
    assert len(bench.server.by_bot(group)) == 1
    bench.server.let_go()
    said = await bench.until(
        lambda: len(bench.server.by_bot(group)) == 3 and bench.server.by_bot(group)
    )
    assert said[2].text.startswith("T1 added")


async def test_people_who_come_and_go_are_members_meanwhile(bench: Bench) -> None:
    await bench.start()
    _ana, group = await bench.founded()
    bo = bench.server.add_user("Bo")
    bo.join(group)
    await bench.until(lambda: len(bench.rows(m.Member)) == 2)
    bo.leave(group)
    await bench.until(lambda: bench.rows(m.Member, m.Member.left_at.is_not(None)))
    assert [row.name for row in bench.rows(m.Member, m.Member.left_at.is_(None))] == ["Ana"]


async def test_the_bot_greets_a_group_it_is_brought_into(bench: Bench) -> None:
    ana = bench.server.add_user("Ana")
    group = bench.server.add_group("Bench", creator=ana, bot="left")
    await bench.start()
    ana.add_bot(group)
    await bench.until(lambda: bench.server.by_bot(group))
    await bench.until(lambda: settled(bench) and not bench.server.updates.pending)
    assert len(bench.server.by_bot(group)) == 1
    assert [row.name for row in bench.rows(m.Group)] == ["Bench"]


@pytest.mark.usefixtures("both_engines")
async def test_a_group_that_moves_keeps_all_it_has(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    new = bench.server.migrate(group)
    ana.say(new, f"/tray{BOT} T1 72")
    said = (await bench.until(lambda: bench.server.by_bot(new)))[0]
    assert said.text.startswith("T1 added")
    assert len(bench.rows(m.Group)) == 1
    assert [row.platform_chat for row in bench.rows(m.Chat, ~m.Chat.private)] == [str(new.id)]


@pytest.mark.usefixtures("both_engines")
async def test_what_was_said_before_the_move_is_handled_after_it(bench: Bench) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    await front_end.stop()
    ana.say(group, f"/tray{BOT} T1 72")
    new = bench.server.migrate(group)
    ana.say(new, f"/tray{BOT} T2 72")
    await bench.start()
    await bench.until(lambda: len(bench.server.by_bot(new)) == 2)
    assert [row.code for row in bench.rows(m.Tray)] == ["T1", "T2"]
    assert len(bench.rows(m.Chat, ~m.Chat.private)) == 1


@pytest.mark.usefixtures("both_engines")
async def test_one_process_polls_at_a_time_and_another_takes_over(bench: Bench) -> None:
    first = await bench.start()
    second = await bench.start()
    ana, group = await bench.founded()
    assert ("getUpdates", 409) not in bench.server.counts
    await first.stop()
    await second.holding.renew()
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)


async def test_no_words_stay_in_the_inbox(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, f"/note{BOT} the grey cat sleeps on T1")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    bodies = [row.body for row in bench.rows(m.Inbox)]
    assert {tuple(sorted(body)) for body in bodies} == {("event", "message")}
    # the platform's number of the message, for an edit of it: no word
    assert all(body["message"] is None or body["message"].isdigit() for body in bodies)
