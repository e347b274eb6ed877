"""Read the season's script into what members reported and what was said unasked."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path

from tests.conversations.script import read_text

KINDS = {
    "eve": "Nobody can get in",
    "back": "First look after the closure",
    "water": "Feel the mix in",
    "out": "Take the ",
    "overdue": "Does any ",
    "count": "Count the ",
    "break": "Closed from ",
    "thin": "Thin the ",
    "pot_up": "Pot up the ",
    "first_feed": "Give ",
    "feed": "Feed ",
    "harden": "Start hardening off the ",
    "bed": "Just planted out",
    "plant": "Ready to plant out",
    "came": "Up so far this week",
    "thanks": "Thank you",
}
"""Kind of line in a list → how it begins."""

BY_TRAY = ("water", "first_feed", "feed")
CROPS = (
    "onion",
    "leek",
    "pepper",
    "eggplant",
    "broccoli",
    "kale",
    "lettuce",
    "basil",
    "tomato",
    "marigold",
    "zinnia",
    "cucumber",
)
"""The season's crops, each sown once: a list names plants by crop and tray."""
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
    """One message said unasked: `kind` is round, nudge, again, late, dusk or alarm."""

    kind: str
    place: str
    at: datetime
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        return "\n".join(line for line in self.lines if not line.startswith("["))

    def items(self) -> Iterator[Item]:
        """Yield what is reminded of, one (kind, subject) each, as often as it is said."""
        for line in self.lines:
            for kind, phrase in KINDS.items():
                if line.startswith(phrase):
                    for subject in _subjects(kind, line):
                        yield kind, subject


def _subjects(kind: str, line: str) -> list[str]:
    if kind in BY_TRAY:
        return re.findall(r"\bT\d+", line)
    if kind in ("break", "came", "thanks", "eve", "back"):
        return [line]
    crops = [crop for crop in CROPS if re.search(rf"\b{crop}\b", line)]
    if kind == "out":
        number = re.search(r"day (\d+) of (\d+)", line)
        assert number, line
        return [f"{crop} day {number[1]} of {number[2]}" for crop in crops]
    if kind == "harden":
        return [f"{crop} out {day_of(line.partition('for good about')[2])}" for crop in crops]
    if kind == "plant":
        found = []
        for part in line.partition(":")[2].split(";"):
            count = re.search(r"(\d+) plants?", part)
            found += [f"{c} {count[1]}" for c in CROPS if count and re.search(rf"\b{c}\b", part)]
        return found
    return crops


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
    living: dict[str, list[str]] = {}  # what each list of a day says, by where and when it was said
    codes: dict[str, str] = {}  # crop → sowing
    for step in script.steps:
        heard = _messages(script.expected[step.number])
        before = dict(living)
        for lines in heard:
            if lines[0][0] in "!~":
                living[lines[0][2:]] = lines
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
            if step.what == "*" and not answers:
                answers = [_ticked(before, living, codes)]
            assert len(answers) == 1, step
            answer = (answers[0][0].removeprefix("< "), *answers[0][1:])
            if sown := re.match(r"(S\d+): (\w+) sown in", answer[0]):
                codes[sown[2]] = sown[1]
            days[-1].reports.append(Report(days[-1].on, speaker, step.text, answer))
    return days


def _ticked(
    before: dict[str, list[str]], after: dict[str, list[str]], codes: dict[str, str]
) -> list[str]:
    """Return what a press recorded, by the ticks it set, in the words of an answer."""
    changed = [at for at, lines in after.items() if lines != before.get(at)]
    named: list[set[str]] = [
        set().union(*(_done(lists.get(at, []), codes) for at in changed))
        for lists in (before, after)
    ]
    return [f"< Thank you. Recorded for {', '.join(sorted(named[1] - named[0]))}.", "[Undo]"]


def _done(lines: list[str], codes: dict[str, str]) -> set[str]:
    """Return the trays watered, and the sowings taken outside, by a message's ticks."""
    found: set[str] = set()
    for line in lines:
        if line.startswith("✓") and " saw to the water in " in line:
            found.update(re.findall(r"\bT\d+", line))
        elif line.startswith("✓") and line.endswith(" outside."):
            found.update(codes[crop] for crop in CROPS if re.search(rf"\b{crop}\b", line))
    return found


def _messages(lines: list[str]) -> list[list[str]]:
    found: list[list[str]] = []
    for line in lines:
        if line[0] in "<!~":
            found.append([line])
        else:
            found[-1].append(line.strip())
    return found


def _unasked(lines: list[str]) -> Message:
    _, place, _, day, hour = lines[0].split()
    at = datetime.fromisoformat(f"{day} {hour}")
    kind = {"07:30": "round", "07:45": "nudge", "12:45": "again", "20:00": "late"}.get(hour)
    kind = kind or ("dusk" if at.hour >= 15 else "alarm")
    return Message(kind, place, at, tuple(lines[1:]))
