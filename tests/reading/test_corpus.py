"""What the corpus holds the reader to: shares that may rise and not fall."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.reading.score import (
    NOT_SAID,
    READ_BACK,
    REFUSED,
    UNDERSTOOD,
    WRONG,
    Scorer,
    rows,
    verdict,
)

# half -> at least this share understood, at most this share recorded that was not said
MEASURED = {"learn": (0.82, 0.002), "sealed": (0.67, 0.052)}


@pytest.mark.parametrize("half", sorted(MEASURED))
def test_a_half_is_read_at_least_as_well_as_measured(half: str) -> None:
    scorer = Scorer()
    found = Counter(verdict(row, scorer.outcome(row)) for row in rows(half))
    number = sum(found.values())
    assert set(found) <= {UNDERSTOOD, READ_BACK, WRONG, REFUSED, NOT_SAID}
    least, most = MEASURED[half]
    assert found[UNDERSTOOD] / number >= least
    assert found[NOT_SAID] / number <= most


def test_chat_between_people_is_never_answered() -> None:
    scorer = Scorer()
    chat = [row for half in MEASURED for row in rows(half) if row.kind == "chat"]
    assert chat
    assert all(scorer.outcome(row).silent for row in chat)
