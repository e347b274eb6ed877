"""Our pace stays within the platform's limits, as the local server counts them."""

from __future__ import annotations

import heapq

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.delivery.pace import BURST, GROUP_PER_MIN, OVERALL_PER_S, Pace
from tests.server.pace import Pace as Limits


def simulated(
    messages: list[tuple[int, bool]], delays_s: list[float], *, pace: Pace | None = None
) -> tuple[Limits, float]:
    """Send messages (chat, is a group) in order as the courier does; one a chat in flight.

    Returns what the platform counted and when the last was sent. `delays_s` are the times on
    the way, used in turn. A refusal raises.
    """
    pace, limits = pace or Pace(), Limits()
    now, sent = 1000.0, 0
    waiting: dict[int, list[bool]] = {}
    for chat, group in messages:
        waiting.setdefault(chat, []).append(group)
    flying: list[tuple[float, int, bool]] = []
    while waiting or flying:
        while flying and flying[0][0] <= now:
            at, chat, group = heapq.heappop(flying)
            pace.end(chat, group, at)
        if not waiting and not flying:
            break
        busy = {chat for _, chat, _ in flying} | set(pace.held(now))
        free = next((chat for chat in waiting if chat not in busy), None)
        if free is not None and pace.room(now):
            group = waiting[free].pop(0)
            if not waiting[free]:
                del waiting[free]
            pace.start(now)
            delay_s = delays_s[sent % len(delays_s)]
            limits.take(free, group, now + delay_s / 2)
            heapq.heappush(flying, (now + delay_s, free, group))
            sent += 1
            continue
        times = [at for at, _, _ in flying]
        times += [pace.next_at()] if free is not None else list(pace.held(now).values())
        now = max(now + 1e-6, min(times))
    return limits, now - 1000.0


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(1, 12), max_size=120),
    st.lists(st.floats(0.001, 0.02), min_size=1, max_size=7),
)
def test_no_mix_of_chats_is_refused(chats: list[int], delays_s: list[float]) -> None:
    limits, _ = simulated([(chat, chat % 2 == 0) for chat in chats], delays_s)
    assert limits.refused == {"overall": 0, "chat": 0, "group": 0}


def test_a_broadcast_takes_little_more_than_the_limit_allows() -> None:
    limits, took_s = simulated([(chat, True) for chat in range(1500)], [0.01, 0.03])
    assert limits.refused["overall"] == 0
    assert took_s <= 1.05 * 1500 / limits.overall_per_s


@pytest.mark.parametrize("group", [False, True])
def test_one_chat_gets_a_short_burst_and_then_one_a_second(group: bool) -> None:
    limits, took_s = simulated([(1, group)] * 15, [0.01])
    assert limits.refused == {"overall": 0, "chat": 0, "group": 0}
    assert 15 - BURST - 0.5 < took_s < 15 - BURST + 1.5


def test_a_group_gets_no_more_than_twenty_a_minute() -> None:
    limits, took_s = simulated([(1, True)] * (GROUP_PER_MIN + 1), [0.01])
    assert limits.refused["group"] == 0
    assert 60 <= took_s < 62


def test_a_sender_that_was_held_up_does_not_catch_up_at_once() -> None:
    pace = Pace()
    pace.start(0.0)
    late = [at for at in (5.0, 5.001, 5.002, 5.003) if pace.room(at) and not pace.start(at)]
    assert late == [5.0]
    assert pace.next_at() > 5.0 + 0.4 / OVERALL_PER_S


def test_a_hold_stops_even_an_unlimited_pace() -> None:
    pace = Pace(unlimited=True)
    pace.hold(10.0)
    assert pace.room(9.9) == 0
    assert pace.room(10.0) > 1
