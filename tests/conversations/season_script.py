"""Read the season's script into what members reported and what was said unasked."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path

from tests.conversations.script import read_text

KINDS = {
    "water": "Feel the mix",
    "out": "Out ",
    "overdue": "nothing up",
    "count": "Should be showing",
    "break": "Closed ",
    "thin": "Thin to one",
    "pot_up": "Big enough to pot up",
    "first_feed": "First feed",
    "feed": "Feed, on moist mix",
    "harden": "Start hardening off",
    "plant": "Ready to plant out",
    "came": "Up so far this week",
    "thanks": "Thank you",
}
"""Kind of line in a round → how it begins."""

BY_TRAY = ("water", "first_feed", "feed")
YEAR = 2027
MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
DAY = r"(?:[A-Z][a-z]{2} )?(\d{1,2}) ([A-Z][a-z]{2})"

Item = tuple[str, str]  # kind, subject


def day_of(text: str) -> date:
    """Return the first date of a text such as `Wed 10 Feb`."""
    found = re.search(DAY, text)
    assert found, text
    return date(YEAR, MONTHS.index(found[2]) + 1, int(found[1]))


@dataclass(frozen=True, slots=True)
class Message:
    """One message said unasked: `kind` is round, nudge, rise or alarm."""

    kind: str
    place: str
    at: datetime
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        return "\n".join(line for line in self.lines if not line.startswith("["))

    def items(self) -> Iterator[Item]:
        """Yield what is reminded of, one (kind, subject) each, as often as it is said."""
        for line in self.lines[1:]:
            for kind, phrase in KINDS.items():
                if line.startswith(phrase):
                    for subject in _subjects(kind, line):
                        yield kind, subject


def _subjects(kind: str, line: str) -> list[str]:
    if kind in BY_TRAY:
        return re.findall(r"\bT\d+", line)
    if kind in ("break", "came", "thanks"):
        return [line]
    sowings = re.findall(r"\bS\d+", line)
    if kind == "out":
        number = re.search(r"day (\d+) of (\d+)", line)
        assert number, line
        return [f"{sowing} day {number[1]} of {number[2]}" for sowing in sowings]
    if kind == "harden":
        return [f"{sowing} out {day_of(line.partition('then out')[2])}" for sowing in sowings]
    if kind == "plant":
        counts = re.findall(r"(S\d+) [^;]*?, (\d+) plants?", line)
        return [f"{sowing} {count}" for sowing, count in counts]
    return sowings


@dataclass(frozen=True, slots=True)
class Report:
    """Something a member reported: the answer's lines tell what was recorded."""

    on: date
    by: str
    typed: str
    answer: tuple[str, ...]


@dataclass(slots=True)
class Day:
    """What was reported on a date, and what was said until the same hour of the next."""

    on: date
    reports: list[Report] = field(default_factory=list)
    after: list[Message] = field(default_factory=list)


def read_days(text: str) -> list[Day]:
    """Return the days of a season that moves by one day at a time, at 08:00."""
    script = read_text(text, Path("season.chat"))
    days: list[Day] = []
    speaker = "Robin"
    for step in script.steps:
        heard = _messages(script.expected[step.number])
        if step.what == "@":
            at = re.match(r"(\d{4}-\d\d-\d\d) 08:00", step.text)
            if at is not None:
                days.append(Day(date.fromisoformat(at[1])))
                continue
            assert step.text == "+1d", step.text
            days[-1].after += [_unasked(lines) for lines in heard]
            days.append(Day(days[-1].on + timedelta(days=1)))
        elif step.what == ":":
            speaker = step.text.removeprefix("as ") if step.text.startswith("as ") else speaker
        else:
            answers = [lines for lines in heard if lines[0].startswith("<")]
            days[-1].after += [_unasked(lines) for lines in heard if lines[0].startswith("!")]
            assert len(answers) == 1, step
            answer = (answers[0][0].removeprefix("< "), *answers[0][1:])
            days[-1].reports.append(Report(days[-1].on, speaker, step.text, answer))
    return days


def _messages(lines: list[str]) -> list[list[str]]:
    found: list[list[str]] = []
    for line in lines:
        if line[0] in "<!":
            found.append([line])
        else:
            found[-1].append(line.strip())
    return found


def _unasked(lines: list[str]) -> Message:
    _, place, _, day, hour = lines[0].split()
    at = datetime.fromisoformat(f"{day} {hour}")
    kind = {"07:30": "round", "07:45": "nudge", "12:45": "rise"}.get(hour, "alarm")
    body = tuple(lines[1:])
    return Message(kind, place, at, body if kind != "alarm" else ("", *body))
