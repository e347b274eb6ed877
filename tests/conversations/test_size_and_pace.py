"""No message of any script exceeds a screen, and nobody is told two things within ten minutes."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.conversations.script import HERE, read

SCRIPTS = sorted(HERE.glob("*.chat"))
MOST_CHARACTERS = 1200
GAP = timedelta(minutes=10)


def messages(path: Path) -> Iterator[tuple[str, str]]:
    """Yield (first line as written, text without buttons and attachments)."""
    script = read(path)
    for step in script.steps:
        lines: list[str] = []
        for line in [*script.expected[step.number], "<"]:
            if line[0] in "<!~" and lines:
                body = [part.strip() for part in lines[1:] if part.strip()[:1] not in ("[", "(")]
                first = lines[0].removeprefix("< ") if lines[0][0] == "<" else ""
                yield lines[0], "\n".join([first, *body]).strip()
                lines = []
            lines.append(line)


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_no_message_exceeds_a_screen(path: Path) -> None:
    found = list(messages(path))
    assert found
    for _, text in found:
        assert len(text) <= MOST_CHARACTERS, text


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_nobody_is_told_two_things_within_ten_minutes(path: Path) -> None:
    said: dict[str, list[datetime]] = {}
    for first, _ in messages(path):
        if first[0] == "!":
            place, _, on, hour = first.removeprefix("! ").rsplit(" ", 3)
            said.setdefault(place, []).append(datetime.fromisoformat(f"{on} {hour}"))
    group = said.get("group", [])
    for place, times in said.items():
        heard = sorted(times if place == "group" else [*group, *times])
        for before, after in itertools.pairwise(heard):
            assert after - before > GAP, (place, before, after)
