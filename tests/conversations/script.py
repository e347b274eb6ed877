"""Conversation scripts: what members type, what comes back, time moving, messages unasked.

A script is plain text, one step a line:

    # a comment
    @ 2027-02-01 08:00 America/Chicago    the clock is set to a wall time of that zone
    @ +3d                                 time passes; what falls due on the way is said
    : as Ana                              somebody else speaks
    : private       : group               the place
    > 12 tomato up T1                     typed; `\\n` begins a new line of the same message
    * Undo R5                             the newest button of that label is pressed
    < S1 tomato: 12 of 24 up, today.      the answer; its further lines are indented
      [Undo]                              a row of buttons
      (picture tray-T1.png)               what is attached
    ! group Mon 2027-03-01 07:30          said unasked: where and when; its lines are indented
      ...
    ~ group Mon 2027-03-01 07:30          the message of then was changed; what it says now
      ...

Blank lines are for the eye. A missing, extra or different message fails.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

HERE = Path(__file__).parent
INDENT = "  "
NEW_LINE = "\\n"  # as written in a script


@dataclass(frozen=True, slots=True)
class Step:
    """One thing done: `what` is `@`, `:`, `>` or `*`; `number` its line in the script."""

    what: str
    text: str
    number: int


@dataclass(frozen=True, slots=True)
class Heard:
    """One message from the bot.

    Attributes:
        unasked: not an answer to what was just typed or pressed.
        place: `group` or the name of whose private chat; of unasked messages.
        at: local time, of unasked messages, `Mon 2027-03-01 07:30`.
        lines: its text, then attachments, then button rows, as in a script.
        changed: no new message, but one of before that says this now.
    """

    unasked: bool
    place: str
    at: str
    lines: tuple[str, ...]
    changed: bool = False

    def written(self) -> list[str]:
        """Return the message as a script writes it."""
        if self.unasked:
            mark = "~" if self.changed else "!"
            return [f"{mark} {self.place} {self.at}", *(INDENT + line for line in self.lines)]
        first, *rest = self.lines or ("",)
        return [f"< {first}".rstrip(), *((INDENT + line).rstrip() for line in rest)]


@dataclass(frozen=True, slots=True)
class Passage:
    """A step and what was heard after it."""

    step: Step
    heard: tuple[Heard, ...] = ()


@dataclass(slots=True)
class Script:
    """A whole script: leading comments, then passages."""

    path: Path
    head: list[str] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    expected: dict[int, list[str]] = field(default_factory=dict)  # step line → written messages
    comments: dict[int, list[str]] = field(default_factory=dict)  # step line → comments before it


class Player(Protocol):
    """A front end that plays steps. Texts must be the same on every front end."""

    def play(self, step: Step) -> list[Heard]:
        """Do one step and return everything the bot said because of it, in order."""
        ...

    def close(self) -> None: ...


def read(path: Path) -> Script:
    """Return a script; raise ValueError with the line for what is none."""
    return read_text(path.read_text(encoding="utf-8"), path)


def read_text(text: str, path: Path) -> Script:
    """Return the script of a text; `path` names it in complaints."""
    script = Script(path)
    comments: list[str] = []
    current: list[str] | None = None
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        mark = line[0]
        if mark == "#":
            comments.append(line)
        elif mark in "@:>*":
            step = Step(mark, line[1:].strip().replace(NEW_LINE, "\n"), number)
            if not script.steps:
                script.head, comments = comments, []
            script.steps.append(step)
            script.comments[number] = comments
            comments = []
            current = script.expected.setdefault(number, [])
        elif (mark in "<!~" or line.startswith(INDENT)) and current is not None:
            current.append(line.rstrip())
        else:
            raise ValueError(f"{path.name}:{number}: {line!r} is no step and no message")
    return script


def written(script: Script, passages: Iterable[Passage]) -> str:
    """Return the script with what was heard as its expectation."""
    lines = [*script.head, ""]
    for passage in passages:
        lines += script.comments.get(passage.step.number, [])
        typed = passage.step.text.replace("\n", NEW_LINE)
        lines.append(f"{passage.step.what} {typed}")
        for heard in passage.heard:
            lines += heard.written()
        if passage.heard:
            lines.append("")
    return "\n".join(lines).rstrip() + "\n"


def perform(script: Script, player: Player) -> list[Passage]:
    """Play every step and return what was heard."""
    return [Passage(step, tuple(player.play(step))) for step in script.steps]


def differences(script: Script, passages: Iterable[Passage]) -> list[str]:
    """Return, for each step whose messages differ from the script's, what was awaited and heard."""
    found = []
    for passage in passages:
        heard = [line for message in passage.heard for line in message.written()]
        awaited = script.expected[passage.step.number]
        if heard != awaited:
            found.append(
                "\n".join(
                    [
                        f"{script.path.name}:{passage.step.number}: "
                        f"{passage.step.what} {passage.step.text}",
                        "awaited:",
                        *awaited,
                        "heard:",
                        *heard,
                    ]
                )
            )
    return found


def body_lines(
    text: str, buttons: Iterable[Iterable[str]], attachments: Iterable[str]
) -> tuple[str, ...]:
    """Return a message's lines as a script writes them."""
    return (
        *text.split("\n"),
        *attachments,
        *(" ".join(f"[{label}]" for label in row) for row in buttons),
    )
