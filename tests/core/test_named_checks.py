"""What the code says it is checked by is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NAMED = re.compile(r"tests/[\w/]+\.(?:py|toml|txt|csv|chat)")
TEXTS = (*sorted(ROOT.glob("core/**/*.py")), *sorted(ROOT.glob("bot/**/*.py")),
         *sorted(ROOT.glob("core/data/*.toml")), *sorted(ROOT.glob("*.md")))  # fmt: skip


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_check_named_in_a_file_exists(path: Path) -> None:
    named = set(NAMED.findall(path.read_text("utf-8")))
    assert [one for one in named if not (ROOT / one).is_file()] == []


def test_checks_are_named() -> None:
    assert sum(bool(NAMED.search(path.read_text("utf-8"))) for path in TEXTS) > 20
