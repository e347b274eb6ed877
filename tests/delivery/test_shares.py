"""Whose turn it is: who has used least; nobody waits for ever, nothing is stored up."""

from __future__ import annotations

import asyncio

from hypothesis import given
from hypothesis import strategies as st

from bot.delivery import shares as s
from bot.delivery.shares import Lane, Shares


def test_who_has_used_least_is_first_and_a_newcomer_before_who_used_much() -> None:
    shares = Shares()
    shares.charge("flood", 3.0)
    assert shares.turn("new") < shares.turn("flood")
    shares.charge("new", 0.01)
    assert shares.turn("new") < shares.turn("flood")


def test_time_away_stores_up_nothing() -> None:
    shares = Shares()
    shares.charge("away", 0.01)
    for _ in range(100):
        shares.charge("busy", 1.0)
    shares.charge("busy", 1.0)
    assert shares.turn("away") >= 99.0  # on the scale of what is in service


@given(
    costs=st.lists(st.tuples(st.sampled_from("abcd"), st.floats(0.001, 2.0)), max_size=60),
    rounds=st.integers(100, 300),
)
def test_chats_that_always_wait_get_like_shares(
    costs: list[tuple[str, float]], rounds: int
) -> None:
    """Whatever came before, no two that wait all the time differ by more than the dearest work."""
    shares = Shares()
    for chat, cost in costs:
        shares.charge(chat, cost)
    start = max(shares.turn(chat) for chat in "abcd")
    price = {"a": 0.01, "b": 0.05, "c": 0.2, "d": 1.0}
    used = dict.fromkeys("abcd", 0.0)
    for _ in range(rounds * 100):
        chat = min("abcd", key=shares.turn)
        if shares.turn(chat) >= start:
            used[chat] += price[chat]
        shares.charge(chat, price[chat])
    assert max(used.values()) - min(used.values()) <= 2 * max(price.values())


def test_few_are_remembered() -> None:
    shares = Shares()
    for number in range(2 * s.MOST_KNOWN):
        shares.charge(str(number), 0.001)
    assert len(shares._ends) <= s.MOST_KNOWN + 1


async def test_a_lane_gives_room_to_who_has_used_least_and_is_never_overfull() -> None:
    lane, done, inside, most = Lane(2), [], 0, 0
    lane.shares.charge("flood", 60.0)
    begin = asyncio.Event()

    async def work(chat: str) -> None:
        nonlocal inside, most
        async with lane.turn(chat):
            inside += 1
            most = max(most, inside)
            await begin.wait()
            done.append(chat)
            inside -= 1

    tasks = []
    for chat in ("x", "y", "flood", "flood", "flood", "good"):
        tasks.append(asyncio.create_task(work(chat)))
        await asyncio.sleep(0)
    tasks[3].cancel()
    begin.set()
    await asyncio.gather(*tasks, return_exceptions=True)
    assert done == ["x", "y", "good", "flood", "flood"]
    assert most == 2
    async with lane.turn("a"), lane.turn("b"):
        pass  # all room was given back
