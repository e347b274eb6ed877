"""Questions nobody tuned to are answered as well as was measured; the rows are never read."""

from __future__ import annotations

from core.trouble.diagnosis import Chance
from tests.asking.score import score


def test_sealed_questions_are_answered_as_measured() -> None:
    totals = score("sealed")["all"]
    assert totals.ours >= 150
    assert totals.first / totals.ours >= 0.72
    assert totals.three / totals.ours >= 0.79
    assert totals.silent / totals.ours <= 0.05
    assert totals.harmful <= 1
    assert totals.out_told / totals.out >= 0.75
    likely, said = totals.calibration[Chance.LIKELY]
    assert likely / said >= 0.8
    possible, said = totals.calibration[Chance.POSSIBLE]
    assert 0.3 <= possible / said <= 0.8
