"""A message that was sent is changed where it stands: once, to its newest state, at the pace."""

from __future__ import annotations

import itertools
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from bot.delivery.holding import HERE
from bot.delivery.pace import Pace
from core.records import edits
from core.records import models as m
from tests.server.chats import Chat
from tests.server.transcript import Entry
from tests.telegram.conftest import Bench

pytestmark = pytest.mark.usefixtures("both_engines")

OF = "notice:1"
_KEYS = itertools.count(1)
BUTTONS = [[["Watered", "/done 1 water"], ["Fed", "/done 1 fed"]]]


async def said(bench: Bench, **options: Any) -> tuple[Any, Chat, Entry]:
    """Return the front end, and a group with the message of the day in it."""
    _, group = bench.a_group()
    row = bench.put(group, {"text": "T1 is thirsty", "buttons": BUTTONS}, key=OF, rank=1)
    front_end = await bench.start(**options)
    await bench.until(lambda: bench.row(row).state == "sent")
    return front_end, group, bench.server.by_bot(group)[0]


def change(bench: Bench, text: str, buttons: Any = None) -> bool:
    """Say the message of the day anew; return whether that can be done."""
    body = {"text": text} | ({"buttons": buttons} if buttons else {})
    with bench.database.transaction() as session:
        return edits.replace(session, OF, f"change:{next(_KEYS)}", body, datetime.now(UTC))


def changes(bench: Bench) -> list[m.Outbox]:
    """Return the changes as they stand on disk, oldest first."""
    return sorted(bench.rows(m.Outbox, m.Outbox.edit_of == OF), key=lambda row: row.id)


async def settled(bench: Bench) -> list[str]:
    """Wait until no change is left to be made; return what became of each."""
    await bench.until(lambda: all(r.state not in ("due", "sending") for r in changes(bench)))
    return [row.state for row in changes(bench)]


async def test_a_change_is_made_where_the_message_stands(bench: Bench) -> None:
    front_end, group, first = await said(bench)
    assert change(bench, "Ana saw to T1", [[["Undo", "/undo R1"]]])
    front_end.courier.wake()
    assert await settled(bench) == ["sent"]
    assert [entry.method for entry in bench.server.by_bot(group)] == [
        "sendMessage",
        "editMessageText",
    ]
    entry = bench.server.by_bot(group)[-1]
    assert (entry.message_id, entry.text) == (first.message_id, "Ana saw to T1")
    assert [button.text for button in entry.buttons] == ["Undo"]
    assert change(bench, "Ana saw to T1, Ben fed it")
    front_end.courier.wake()
    await settled(bench)
    assert bench.server.by_bot(group)[-1].buttons == []  # of work that is done none is left


async def test_what_says_nothing_new_is_not_sent(bench: Bench) -> None:
    front_end, group, _ = await said(bench)
    assert change(bench, "T1 is thirsty", BUTTONS)
    assert changes(bench) == []
    assert change(bench, "done")
    assert change(bench, "done")
    front_end.courier.wake()
    assert await settled(bench) == ["sent"]
    assert len(bench.server.by_bot(group)) == 2


async def test_a_change_whose_outcome_is_unknown_is_made_again_and_shows_once(
    bench: Bench,
) -> None:
    front_end, group, _ = await said(bench)
    bench.server.faults.next("reset_after", "editMessageText")
    assert change(bench, "done")
    front_end.courier.wake()
    assert await settled(bench) == ["sent"]
    assert changes(bench)[0].unknowns == 1
    assert bench.counts_of("editMessageText", 400) == 1  # it is not modified by the second call
    assert [entry.text for entry in bench.server.by_bot(group)][1:] == ["done"]


async def test_a_message_somebody_deleted_is_left_alone(bench: Bench) -> None:
    front_end, group, first = await said(bench)
    first.message.deleted = True
    assert change(bench, "done")
    row = bench.put(group, "and on it goes")
    front_end.courier.wake()
    await bench.until(lambda: bench.row(row).state == "sent")
    assert await settled(bench) == ["sent"]
    assert bench.counts_of("editMessageText", 400) == 1
    assert bench.chat(group).dead_since is None


async def test_only_the_newest_state_is_sent(bench: Bench) -> None:
    front_end, group, _ = await said(bench)
    bench.server.faults.next("429", "editMessageText", chat_id=group.id, retry_after_s=1)
    assert change(bench, "one is done")
    front_end.courier.wake()
    await bench.until(lambda: bench.rows(m.Chat, m.Chat.paused_until.is_not(None)))
    for count in ("two are", "three are", "all is"):
        assert change(bench, f"{count} done")
    assert await settled(bench) == ["stale", "stale", "stale", "sent"]
    assert [entry.text for entry in bench.server.by_bot(group)][1:] == ["all is done"]
    assert bench.server.pace.early == 0


async def test_an_older_change_in_hand_gives_way_to_the_newer_one(bench: Bench) -> None:
    front_end, group, _ = await said(bench)
    await front_end.stop()
    assert change(bench, "one is done")
    with bench.database.transaction() as session:
        session.query(m.Outbox).filter(m.Outbox.edit_of == OF).update(
            {"state": "sending", "lease_by": f"{HERE[:22]}:999999:abcdef"}
        )
    assert change(bench, "all is done")  # while the other is in the hand of a process killed since
    await bench.start()
    assert sorted(await settled(bench)) == ["sent", "stale"]
    assert [entry.text for entry in bench.server.by_bot(group)][1:] == ["all is done"]


async def test_what_is_not_sent_yet_is_changed_before_it_goes(bench: Bench) -> None:
    _, group = bench.a_group()
    bench.put(group, {"text": "T1 is thirsty"}, key=OF, rank=1)
    assert change(bench, "done")
    await bench.start()
    await bench.until(lambda: bench.server.by_bot(group))
    assert [entry.text for entry in bench.server.by_bot(group)] == ["done"]
    assert changes(bench) == []


async def test_a_change_waits_for_the_message_it_changes(bench: Bench) -> None:
    _, group = bench.a_group()
    bench.server.faults.next("hang", "sendMessage", chat_id=group.id, hang_s=0.3)
    bench.put(group, {"text": "T1 is thirsty"}, key=OF, rank=1)
    front_end = await bench.start()
    await bench.until(lambda: bench.rows(m.Outbox, m.Outbox.state == "sending"))
    assert change(bench, "done")
    front_end.courier.wake()
    assert await settled(bench) == ["sent"]
    assert [e.method for e in bench.server.by_bot(group)] == ["sendMessage", "editMessageText"]


async def test_there_is_nothing_to_change_of_a_message_that_never_went_out(bench: Bench) -> None:
    assert not change(bench, "done")
    _, group = bench.a_group()
    bench.put(group, "T1 is thirsty", key=OF, state="stale")
    assert not change(bench, "done")
    assert changes(bench) == []


async def test_a_change_in_hand_at_a_kill_is_made_by_the_next_process(bench: Bench) -> None:
    front_end, group, _ = await said(bench)
    await front_end.stop()
    assert change(bench, "done")
    with bench.database.transaction() as session:
        session.query(m.Outbox).filter(m.Outbox.edit_of == OF).update(
            {
                "state": "sending",
                "lease_by": f"{HERE[:22]}:999999:abcdef",
                "lease_until": datetime.now(UTC) + timedelta(minutes=1),
            }
        )
    await bench.start()
    assert await settled(bench) == ["sent"]
    assert [entry.text for entry in bench.server.by_bot(group)][1:] == ["done"]


async def test_changes_count_against_the_pace(bench: Bench) -> None:
    front_end, _, _ = await said(bench, pace=Pace())
    for number in range(3):
        assert change(bench, f"{number} done")
        front_end.courier.wake()
        await settled(bench)
    times = [c.at for c in bench.server.calls if c.method in ("sendMessage", "editMessageText")]
    assert len(times) == 4
    assert times[3] - times[0] > 0.9  # a burst of three, then one a second
    assert not any(bench.server.pace.refused.values())
