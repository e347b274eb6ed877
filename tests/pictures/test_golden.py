"""Each picture has its pieces where they were when it was last looked at."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.pictures.drawings import CASES, GOLDEN, keeps_the_rules

SLACK = 1.5  # points by which another build of the letters may measure differently


def alike(was: Any, now: Any, path: str = "") -> list[str]:
    """Return where two drawings differ in more than a hair's breadth."""
    if isinstance(was, dict) and isinstance(now, dict):
        keys = {*was, *now}
        return [d for k in sorted(keys) for d in alike(was.get(k), now.get(k), f"{path}.{k}")]
    if isinstance(was, list) and isinstance(now, list) and len(was) == len(now):
        return [
            d
            for n, (a, b) in enumerate(zip(was, now, strict=True))
            for d in alike(a, b, f"{path}[{n}]")
        ]
    numbers = all(isinstance(v, int | float) and not isinstance(v, bool) for v in (was, now))
    if numbers and abs(was - now) <= SLACK:
        return []
    return [] if was == now else [f"{path}: {was!r} is now {now!r}"]


@pytest.mark.parametrize("name", CASES)
def test_a_picture_is_built_as_it_was_when_looked_at(name: str) -> None:
    kept = json.loads((GOLDEN / f"{name}.json").read_text(encoding="utf-8"))
    assert alike(kept, json.loads(json.dumps(CASES[name]().values()))) == []


@pytest.mark.parametrize("name", CASES)
def test_a_picture_keeps_the_rules(name: str) -> None:
    keeps_the_rules(CASES[name]())


def test_a_moved_piece_and_a_changed_word_are_seen() -> None:
    kept = {"pieces": [{"x": 10.0, "text": "one"}]}
    assert alike(kept, {"pieces": [{"x": 10.9, "text": "one"}]}) == []
    assert alike(kept, {"pieces": [{"x": 14.0, "text": "one"}]})
    assert alike(kept, {"pieces": [{"x": 10.0, "text": "two"}]})
    assert alike(kept, {"pieces": []})
