"""Read the lines that begin with a colon: they move the speaker, the place and the clock."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

_WAIT = re.compile(r"(\d{1,4})\s*(w|d|h|m)[a-z]*", re.IGNORECASE)
_UNITS = {"w": timedelta(weeks=1), "d": timedelta(days=1), "h": timedelta(hours=1)}
MOST_WAIT = timedelta(days=1000)
LONGEST_NAME = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Colon:
    """A terminal line: its word, and its part as far as it takes one.

    `at` is a local wall time; `problem` says in one line what is wrong.
    """

    word: str = ""
    name: str = ""
    at: datetime | None = None
    wait: timedelta | None = None
    problem: str = ""


def read_colon(text: str) -> Colon:
    """Return what a line like `:wait 3d` asks for."""
    word, _, rest = text[1:].strip().partition(" ")
    word, rest = word.lower(), rest.strip()
    match word:
        case "quit" | "q" | "exit":
            return Colon(word="quit")
        case "private" | "group" | "help" | "":
            return Colon(word=word or "help")
        case "as":
            name = " ".join(rest.split())[:LONGEST_NAME]
            return Colon(word="as", name=name) if name else Colon(problem="Say who:  :as Ana")
        case "at":
            return _at(rest)
        case "wait":
            return _wait(rest)
        case _:
            return Colon(problem=f"There is no :{word[:20]}. Try  :help")


def _at(rest: str) -> Colon:
    for form in ("%Y-%m-%d %H:%M", "%Y-%m-%d", "%Y-%m-%dT%H:%M"):
        try:
            at = datetime.strptime(rest, form)  # noqa: DTZ007 - a wall time; the zone is the site's
        except ValueError:
            continue
        if 1970 < at.year < 2200:
            return Colon(word="at", at=at)
    return Colon(problem="Say when:  :at 2027-03-01 07:30")


def _wait(rest: str) -> Colon:
    parts = _WAIT.findall(rest)
    if not parts or _WAIT.sub("", rest).strip(" ,"):
        return Colon(problem="Say how long:  :wait 3d   (d, h, m or w)")
    wait = sum(
        (int(n) * _UNITS.get(unit.lower(), timedelta(minutes=1)) for n, unit in parts), timedelta()
    )
    if wait > MOST_WAIT:
        return Colon(problem=f"At most {MOST_WAIT.days} days at a time.")
    return Colon(word="wait", wait=wait)
