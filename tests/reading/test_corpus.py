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

HARDEST = ("hand12", "hand13", "hand14")
"""Hands that were asked for the kinds read worst: set-up, answers, planting, outings, Spanish."""

# half -> at least this share understood, at most this share recorded that was not said
MEASURED = {"learn": (0.83, 0.001), "sealed": (0.68, 0.038)}
OF_THE_HARDEST = {"learn": (0.55, 0.013), "sealed": (0.5, 0.03)}


@pytest.mark.parametrize("half", sorted(MEASURED))
@pytest.mark.parametrize("hardest", [False, True], ids=["usual", "hardest"])
def test_a_half_is_read_at_least_as_well_as_measured(half: str, hardest: bool) -> None:
    scorer = Scorer()
    those = [row for row in rows(half) if (row.file in HARDEST) is hardest]
    found = Counter(verdict(row, scorer.outcome(row)) for row in those)
    number = sum(found.values())
    assert set(found) <= {UNDERSTOOD, READ_BACK, WRONG, REFUSED, NOT_SAID}
    least, most = (OF_THE_HARDEST if hardest else MEASURED)[half]
    assert found[UNDERSTOOD] / number >= least
    assert found[NOT_SAID] / number <= most


def test_chat_between_people_is_never_answered() -> None:
    scorer = Scorer()
    chat = [row for half in MEASURED for row in rows(half) if row.kind == "chat"]
    assert chat
    assert all(scorer.outcome(row).silent for row in chat)
