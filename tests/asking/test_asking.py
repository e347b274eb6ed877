"""Questions nobody tuned to are answered as well as was measured; the rows are never read."""

from __future__ import annotations

from core.trouble.diagnosis import Chance
from core.trouble.looked_up import sought_in
from tests.asking.fresh import own_out, own_records, rows
from tests.asking.fresh import score as brought
from tests.asking.score import rows_of, score


def test_sealed_questions_are_answered_as_measured() -> None:
    totals = score("sealed")["all"]
    assert totals.ours >= 150
    assert totals.first / totals.ours >= 0.72
    assert totals.three / totals.ours >= 0.8
    assert totals.silent / totals.ours <= 0.04
    assert totals.harmful <= 1
    assert totals.out_told / totals.out >= 0.79
    likely, said = totals.calibration[Chance.LIKELY]
    assert likely / said >= 0.8
    possible, said = totals.calibration[Chance.POSSIBLE]
    assert 0.3 <= possible / said <= 0.8


def test_sealed_questions_are_brought_to_their_answerer_as_measured() -> None:
    found = {name: (one.of, one.share) for name, one in brought("sealed").items()}
    assert found["told"][0] == 240
    least = {"first": 0.66, "three": 0.77, "told": 0.39, "offered": 0.57, "out": 0.7}
    assert {name for name, share in least.items() if found[name][1] < share} == set()


def test_questions_of_the_records_in_members_words_are_known() -> None:
    found = own_records()
    assert found.of >= 250
    assert found.share >= 0.98


def test_questions_of_other_worlds_written_by_situation_are_told_to_be_elsewhere() -> None:
    found = own_out()
    assert found.of >= 90
    assert found.share >= 0.93


def test_questions_for_others_are_not_taken_for_questions_of_the_records() -> None:
    texts = [row["text"] for name in ("howto", "out") for row in rows(name, "learn")]
    texts += [row.text for row in rows_of("learn")]
    assert len(texts) >= 400
    assert [text for text in texts if sought_in(text) is not None] == []
