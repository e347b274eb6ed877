"""How many messages may be in doubt at a kill: one, as long as that is fast enough."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bot.delivery.hand import HURRY_S, MOST, SLOW_S, Hand
from bot.delivery.pace import OVERALL_PER_S


def _behind(in_hand_s: float) -> tuple[Hand, float]:
    """Return a hand behind with its work for long, each message in hand so long, and the time."""
    hand, now = Hand(), 100.0
    for chat in range(200):
        hand.looked(now, more=True)
        hand.take(chat, now)
        now += in_hand_s
        hand.settle(chat, now)
    return hand, now + HURRY_S


@given(in_hand_s=st.floats(0.001, SLOW_S / 2))
def test_one_at_a_time_when_nothing_waits_long(in_hand_s: float) -> None:
    hand, _ = _behind(in_hand_s)
    now = 1000.0
    hand.looked(now, more=False)
    for chat in range(50):
        assert hand.room(now) == 1
        hand.take(chat, now)
        assert hand.room(now) == 0
        assert hand.room(now + SLOW_S / 2) == 0
        now += in_hand_s
        hand.settle(chat, now)


def test_a_short_line_is_served_one_by_one_however_much_waits() -> None:
    hand, now = _behind(0.8 / OVERALL_PER_S)
    assert hand.room(now) == 1


@given(in_hand_s=st.floats(1.1 / OVERALL_PER_S, SLOW_S * 0.9))
def test_a_long_line_carries_the_pace_once_behind(in_hand_s: float) -> None:
    hand, now = _behind(in_hand_s)
    at_once = hand.room(now)
    assert at_once / in_hand_s >= OVERALL_PER_S  # so many a second get through
    assert (at_once - 1) / in_hand_s <= OVERALL_PER_S * 1.001  # and no more than needed at once
    hand.looked(now, more=False)
    assert hand.room(now) == 1


def test_a_call_that_hangs_is_not_waited_for() -> None:
    hand = Hand()
    for n in range(MOST):
        now = 10.0 + n * SLOW_S
        assert hand.room(now) == 1
        hand.take(n, now)
        assert hand.room(now) == 0
        assert hand.free_at(now) == now + SLOW_S
    assert hand.room(now + SLOW_S) == 0  # as many connections as there are
    hand.settle(3, now + SLOW_S)
    assert hand.room(now + SLOW_S) == 1
