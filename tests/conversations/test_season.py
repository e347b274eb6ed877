"""Every reminder of the season stands on its date, none is missing, none comes twice.

The season is reckoned again by `season_reckoning`, from what members reported and the rules as
written down there; the bot's own arithmetic is not asked.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from tests.conversations.script import HERE
from tests.conversations.season_reckoning import PRIVATE, Season, complaints, read_season
from tests.conversations.season_script import KINDS

SEASON = HERE / "season.chat"
MOST_CHARACTERS = 1200
GAP = timedelta(minutes=10)
DELETED_OF_EACH = 3
STAMPS = ("! Ben Tue 2027-02-09 07:45", "! Dara Thu 2027-02-25 12:45")


@pytest.fixture(scope="module")
def text() -> str:
    return SEASON.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def season(text: str) -> Season:
    return read_season(text)


def test_every_reminder_stands_on_its_date(season: Season) -> None:
    assert complaints(season) == []


def test_the_season_holds_every_kind_of_reminder(season: Season) -> None:
    lists = [m for m in season.messages if m.kind in ("round", "nudge")]
    found = Counter(kind for m in lists for kind, _ in m.items())
    assert set(found) == set(KINDS) - {"overdue"}
    assert len(season.sowings) == 12
    assert len({s.crop for s in season.sowings.values()}) == 12


def test_the_season_spans_the_spring_clock_change_at_the_same_wall_time(season: Season) -> None:
    assert {m.at.strftime("%H:%M") for m in season.messages if m.kind == "round"} == {"07:30"}
    on = [m.at.date().isoformat() for m in season.messages if m.kind == "round"]
    assert {"2027-03-13", "2027-03-14"} <= set(on)
    assert len(on) == len(set(on))
    own = [m.at for m in season.messages if m.kind == "nudge"]
    assert {at.strftime("%H:%M") for at in own} == {"07:45"}
    assert "2027-03-15" in {at.date().isoformat() for at in own}


def test_no_message_exceeds_a_screen(season: Season) -> None:
    longest = max(season.messages, key=lambda m: len(m.text))
    assert len(longest.text) <= MOST_CHARACTERS, longest.text


def test_nobody_gets_two_messages_within_ten_minutes(season: Season) -> None:
    heard: dict[str, list[datetime]] = {}
    for message in season.messages:
        who = season.members if message.place == "group" else [message.place]
        for name in who:
            heard.setdefault(name, []).append(message.at)
    assert len(heard) == 8
    for name, times in heard.items():
        gaps = [b - a for a, b in zip(sorted(times), sorted(times)[1:], strict=False)]
        assert min(gaps) > GAP, name


def test_members_are_not_worn_out(season: Season) -> None:
    """One list on one's own day, at most once more; the group hears at most five times a week."""
    weeks = ((season.days[-1].on - season.days[0].on).days + 1) / 7
    for name in PRIVATE:
        count = sum(m.place == name for m in season.messages)
        assert count / weeks <= 1.5, (name, count / weeks)
    rounds = [m.at.date() for m in season.messages if m.kind == "round"]
    for first in rounds:
        assert sum(0 <= (on - first).days < 7 for on in rounds) <= 5, first


def test_nothing_is_said_in_both_places_and_nobody_is_blamed(season: Season) -> None:
    by_day: dict[object, list[str]] = {}
    for message in season.messages:
        if message.kind in ("round", "nudge"):
            by_day.setdefault(message.at.date(), []).extend(
                line for line in message.lines if not line.startswith("[")
            )
        if message.kind in ("again", "late"):
            assert not any(name in message.text for name in season.members), message.text
    for day, lines in by_day.items():
        assert len(lines) == len(set(lines)), day


def test_no_line_of_a_day_is_said_again_word_for_word(season: Season) -> None:
    """But for a cold night, told when it is forecast and once more before dark."""
    by_day: dict[object, list[str]] = {}
    for message in season.messages:
        if message.kind not in ("alarm", "dusk"):
            lines = (line for line in message.lines if not line.startswith("["))
            by_day.setdefault(message.at.date(), []).extend(lines)
    for day, lines in by_day.items():
        assert len(lines) == len(set(lines)), day


def test_no_message_has_more_than_three_buttons(season: Season) -> None:
    for message in season.messages:
        assert sum(line.count("[") for line in message.lines) <= 3, message.lines


# --- the check itself must be able to fail ---

Mutant = Callable[[list[str], int], list[str]]


def _lists(lines: list[str]) -> list[tuple[int, int]]:
    """Return (first, end) line numbers of each list's text, in the group or in private."""
    found = []
    for start, line in enumerate(lines):
        if re.fullmatch(r"! \w+ .* 07:(30|45)", line):
            end = start + 1
            while end < len(lines) and lines[end].startswith("  "):
                end += 1
            found.append((start, end))
    return found


def _places(lines: list[str], phrase: str) -> list[int]:
    """Return the numbers of a kind's lines in lists."""
    return [
        number
        for start, end in _lists(lines)
        for number in range(start + 1, end)
        if lines[number].startswith(f"  {phrase}")
    ]


def _delete(lines: list[str], at: int) -> list[str]:
    return lines[:at] + lines[at + 1 :]


def _double(lines: list[str], at: int) -> list[str]:
    return [*lines[:at], lines[at], *lines[at:]]


def _shift(lines: list[str], at: int) -> list[str]:
    """Move a line into the list after its own."""
    start, _ = next((s, e) for s, e in _lists(lines) if s > at)
    return [*lines[:at], *lines[at + 1 : start + 2], lines[at], *lines[start + 2 :]]


@pytest.mark.parametrize("mutant", [_delete, _double, _shift], ids=lambda m: m.__name__)
@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"overdue"}))
def test_the_check_notices_a_reminder_gone_doubled_or_late(
    text: str, kind: str, mutant: Mutant
) -> None:
    lines = text.splitlines()
    places = _places(lines, KINDS[kind])
    assert places, kind
    if mutant is _shift and places[-1] > _lists(lines)[-1][0]:
        places.pop()  # there is no list after the last
    for at in random.Random(3).sample(places, min(DELETED_OF_EACH, len(places))):
        assert complaints(read_season("\n".join(mutant(lines, at)))), lines[at]


def test_the_check_notices_a_message_gone_or_said_twice(text: str) -> None:
    for stamp in STAMPS:
        head, found, rest = text.partition(stamp)
        assert found
        block, _, after = rest.partition("\n\n")
        inner = re.split(r"(?m)^(?=!)", block, maxsplit=1)
        own, more = inner[0], (inner[1] if len(inner) > 1 else "")
        assert complaints(read_season(f"{head}{more}\n\n{after}")), stamp
        twice = f"{head}{stamp}{own.rstrip()}\n{stamp}{own}{more}\n\n{after}"
        assert complaints(read_season(twice)), stamp
