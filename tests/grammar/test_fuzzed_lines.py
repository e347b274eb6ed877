"""A few hundred crafted texts through grammar and reading; many more in tests/bench."""

from __future__ import annotations

import random

from tests.crafted import CONTEXTS, crafted, outcomes, phrases

SEED, COUNT = 20270301, 400


def test_crafted_texts_get_an_outcome_each() -> None:
    dice, known = random.Random(SEED), phrases()
    kinds = {"request": 0, "problem": 0}
    for number in range(COUNT):
        for line in outcomes(crafted(dice, known), CONTEXTS[number % len(CONTEXTS)]):
            kinds["request"] += line.request is not None
            kinds["problem"] += line.problem is not None
    assert min(kinds.values()) > COUNT / 10  # neither all sense nor all nonsense
