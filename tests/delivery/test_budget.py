"""What one chat may ask: a burst, then so much a second; others are not concerned."""

from __future__ import annotations

import pytest

from bot.delivery import budget as b
from bot.delivery.budget import Budget, Waits


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Return the seconds that pass, to be moved."""
    now = [1000.0]
    monkeypatch.setattr(b.time, "monotonic", lambda: now[0])
    return now


def test_after_the_burst_a_chat_waits_and_another_does_not(clock: list[float]) -> None:
    budget = Budget()
    for _ in range(int(b.BURST)):
        budget.take("one")
    with pytest.raises(Waits) as waits:
        budget.take("one")
    assert waits.value.wait_s == pytest.approx(1 / b.A_SECOND)
    budget.take("other")
    clock[0] += waits.value.wait_s
    budget.take("one")
    clock[0] += 3600
    for _ in range(int(b.BURST)):
        budget.take("one")


def test_heavy_work_is_counted_by_itself(clock: list[float]) -> None:
    budget = Budget()
    for _ in range(int(b.HEAVY_BURST)):
        budget.take_heavy("one")
    budget.take("one")
    with pytest.raises(Waits):
        budget.take_heavy("one")


def test_who_waits_is_told_once_in_a_while(clock: list[float]) -> None:
    budget = Budget()
    assert budget.tell("one")
    assert not budget.tell("one")
    assert budget.tell("other")
    clock[0] += b.TOLD_EVERY_S
    assert budget.tell("one")


def test_chats_long_quiet_are_not_kept(clock: list[float]) -> None:
    budget = Budget()
    for number in range(b.MOST_KNOWN + 1):
        budget.take(str(number))
    clock[0] += b.FORGOTTEN_S + 1
    budget.take("one more")
    assert len(budget._light) == 1


def test_one_person_has_a_share_of_what_a_group_may(clock: list[float]) -> None:
    budget = Budget()
    assert all(budget.take_person("eve") for _ in range(int(b.PERSON_BURST)))
    assert not budget.take_person("eve")
    assert budget.take_person("ana")
    assert b.PERSON_BURST < b.BURST
    assert b.PERSON_A_SECOND < b.A_SECOND
    clock[0] += 1 / b.PERSON_A_SECOND
    assert budget.take_person("eve")


def test_heavy_work_of_one_person_is_counted_over_all_chats(clock: list[float]) -> None:
    budget = Budget()
    for number in range(int(b.HEAVY_BURST)):
        budget.take_heavy(f"group {number}", "eve")
    with pytest.raises(Waits):
        budget.take_heavy("one more", "eve")
    budget.take_heavy("one more", "ana")
