"""Score the reader against the corpus: `python -m tests.reading.score learn`.

Each message is read as the conversation reads it, and what would be done is done in a transaction
that is rolled back. Only totals are printed; `--misses` names rows, and only of the learning half.
"""

from __future__ import annotations

import re
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from sqlalchemy import select

from bot.talk import caller as caller_of
from bot.talk import conversation, dialogues
from core import errors, set_up_errors
from core import requests as r
from core.errors import UserError
from core.folding import fold
from core.handlers.table import answer
from core.records import models as m
from core.records.database import Database
from core.replies.base import Choice
from tests.databases import new_database
from tests.reading import garden
from tests.reading.notation import (
    REPORTS,
    SHARED,
    Item,
    by_tray,
    items_of,
    matches,
    meant_places,
    singly,
)

CORPUS = Path(__file__).parent / "corpus"
UNDERSTOOD, READ_BACK, WRONG, REFUSED, NOT_SAID = (
    "understood",
    "read right but only offered",
    "wrong",
    "refused",
    "recorded what was not said",
)
_TRADE = ("out_early", "pots_shelf", "sown_twice")
"""Questions of the trade on a report that was read whole: nothing of it is missing."""
_SAME_QUESTION = ({"which_sowing", "tray", "crop", "what", "place"}, {"cells", "count"})
_ASKED_BY: tuple[tuple[str, tuple[type[UserError], ...]], ...] = (
    ("count", (errors.CountFalls, errors.CountTooHigh)),
    ("cells", (errors.CellOutside, errors.CellsTaken, errors.NoRoom, errors.CellsEmpty)),
    ("tray", (errors.TrayUnknown, errors.NoSuchSowing, errors.SowingUnknown)),
    ("place", (errors.ShelfUnknown, set_up_errors.PlaceUnknown)),
    ("date", (errors.DateInFuture, errors.DateTooOld)),
    ("unit", (errors.ValueAbsurd,)),
    ("person", (errors.MemberUnknown,)),
)
"""What a mistake found in the records asks for, where it says what stands and what to send."""


@dataclass(frozen=True, slots=True)
class Row:
    """One message of the corpus."""

    text: str
    lang: str
    state: str
    decision: str
    expected: str
    kind: str
    file: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a message: what was recorded, proposed, asked, answered or refused."""

    recorded: tuple[r.Request, ...] = ()
    proposed: tuple[r.Request, ...] = ()
    asked: tuple[str, ...] = ()
    looked: tuple[r.Request, ...] = ()
    chosen: tuple[str, ...] = ()
    held: tuple[r.Request, ...] = ()
    silent: bool = False
    failed: tuple[str, ...] = ()


def rows(half: str) -> Iterator[Row]:
    """Yield the messages of a half."""
    for path in sorted((CORPUS / half).glob("*.tsv")):
        for line in path.read_text(encoding="utf-8").splitlines()[1:]:
            cells = [*line.split("\t"), "", "", ""][:6]
            if cells[0]:
                yield Row(cells[0].replace("\\n", "\n"), *cells[1:6], file=path.stem)


class Scorer:
    """Gardens built once, and messages read in them."""

    def __init__(self) -> None:
        self._made: dict[str, Database] = {}

    def _database(self, state: str) -> Database:
        name = "garden-es" if state == "garden-es" else "new" if state[:3] == "new" else "garden"
        if name not in self._made:
            database = new_database()
            garden.build(database, spanish=name == "garden-es", empty=name == "new")
            self._made[name] = database
        return self._made[name]

    def close(self) -> None:
        """Close every garden."""
        for database in self._made.values():
            database.close()

    def outcome(self, row: Row) -> Outcome:
        """Return what the bot would do with a message."""
        quiet = row.kind == "chat"
        speaker = "Ana" if row.kind == "setup" or row.state.startswith("new") else garden.SPEAKER
        with self._database(row.state).transaction() as session:
            try:
                incoming = garden.incoming(speaker, row.text, "x", private=not quiet)
                if quiet:
                    incoming = type(incoming).of({**incoming.body(), "addressed": False})
                caller = caller_of.find_caller(session, incoming, garden.NOW)
                _ask(session, caller, row)
                understood = conversation.understood(session, incoming, caller, garden.NOW)
                return self._outcome(session, understood)
            finally:
                session.rollback()

    def _outcome(self, session, understood) -> Outcome:  # type: ignore[no-untyped-def]
        if understood is None or not understood.lines:
            return Outcome(silent=True)
        found: dict[str, list] = defaultdict(list)  # type: ignore[type-arg]
        for line in understood.lines:
            if line.typed.startswith("/help choice:"):
                found["chosen"].append(line.typed.removeprefix("/help choice:"))
            elif getattr(line, "proposed", None):
                found["proposed"] += [
                    one for one in line.proposed if not isinstance(one, r.SetReminder)
                ]  # to remind of what is asked of others is no reading of a report
            elif line.choices:
                found["asked"].append(_asked(line))
            elif line.problem is not None:
                found["failed"].append(type(line.problem).__name__)
                if missing := getattr(line.problem, "asks", "") or _missing(line.problem):
                    found["asked"].append(missing)
            elif line.request is not None:
                self._answer(session, line.request, understood.scene, found)
        return Outcome(**{name: tuple(values) for name, values in found.items()})

    def _answer(self, session, request, scene, found) -> None:  # type: ignore[no-untyped-def]
        reports = isinstance(request, r.Report)
        if not reports:
            found["looked"].append(request)
            return
        try:
            with session.begin_nested():
                reply = answer(request, scene, session)
        except UserError as error:
            kind = next((k for k, kinds in _ASKED_BY if isinstance(error, kinds)), "")
            found["failed"].append(f"{type(error).__name__}")
            if kind:
                found["asked"].append(kind)
            return
        if isinstance(reply, Choice):
            found["asked"].append("which_sowing")
            if reply.question in _TRADE:
                found["held"].append(request)
        else:
            found["recorded"].append(request)


def _missing(problem: UserError) -> str:
    return {
        "CropNotSaid": "crop", "NumberNotSaid": "count", "TrayNotSaid": "tray",
        "CellsNotSaid": "cells", "DateNotUnderstood": "date", "WhatNotSaid": "what",
    }.get(type(problem).__name__, "")  # fmt: skip


def _asked(line) -> str:  # type: ignore[no-untyped-def]
    return {"member": "person", "sowing": "which_sowing"}.get(line.choice_kind, line.choice_kind)


_PLACE_ASKED = re.compile(r"^ ?(?:you are in|est(?:ás?|áis|án?|amos) en)", re.IGNORECASE)


def _ask(session, caller, row: Row) -> None:  # type: ignore[no-untyped-def]
    """Put the question of a state on the table, as the bot would have."""
    _, asked, question = row.state.partition("asked: ")
    if not asked:
        return
    state: dict[str, object] = {}
    labels = re.findall(r"\[([^\]]+)\]", question)
    if labels:
        state["options"] = [[label, f"/help choice:{label}"] for label in labels]
    if hit := re.search(r"(?:up in|salido en|nacido en|en) (T\d+)\?", question):
        state["prefix"] = f"/up {hit[1]} "
    elif re.search(r"frost|helada", question):
        state["prefix"] = "/frost "
    elif re.search(r"^(?:where|¿?d[oó]nde)", question, re.IGNORECASE):
        state |= {"prefix": '/site place "', "suffix": '"'}
    elif labels[:2] in (["Yes", "No"], ["Sí", "No"]) and _PLACE_ASKED.search(question):
        state["otherwise"] = ['/site place "', '"']
    session.add(
        m.Dialogue(
            chat_id=caller.chat.id, person_id=caller.person.id,
            group_id=caller.group.id if caller.group else None,
            kind="first_minute" if row.state.startswith("new") else "asked",
            state=state, asked_at=garden.NOW, ended_at=None,
        )
    )  # fmt: skip
    session.flush()
    assert session.scalars(select(m.Dialogue)).first() is not None
    assert dialogues.PATIENCE


def verdict(row: Row, out: Outcome) -> str:
    """Return one of the five classes."""
    items = tuple(one for item in items_of(row.expected) for one in by_tray(item))
    out = replace(
        out,
        recorded=tuple(one for request in out.recorded for one in singly(request)),
        proposed=tuple(one for request in out.proposed for one in singly(request)),
        looked=tuple(one for request in out.looked for one in singly(request)),
        held=tuple(one for request in out.held for one in singly(request)),
    )
    reports = [item for item in items if item.name not in ("yes", "no", "choice")]
    left = list(out.recorded)
    if row.decision in ("record", "check", "set", "answer"):
        for item in reports:
            hit = next((one for one in left if matches(item, one)), None)
            if hit is not None:
                left.remove(hit)
    if left or (out.recorded and row.decision in ("ask", "none", "silent", "check")):
        return NOT_SAID
    kind, _, what = row.decision.partition(" ")
    match kind:
        case "silent":
            return UNDERSTOOD if out.silent else WRONG
        case "none":
            return WRONG if out.proposed else UNDERSTOOD
        case "ask":
            return _ask_verdict(what, out)
        case "answer":
            done = _all_met(items, out.looked, out.recorded)
            return UNDERSTOOD if done else WRONG if out.looked else REFUSED
    met = _answers(items, out) and _all_met(
        reports, (*out.recorded, *out.proposed, *out.held, *out.looked)
    )
    if kind == "record" and _pressed(reports, out):
        return UNDERSTOOD
    if kind == "check":
        asked_first = met or bool(out.asked)
        return UNDERSTOOD if asked_first else REFUSED
    if (
        kind == "record"
        and met
        and all(
            _all_met((i,), (*out.recorded, *out.held) if i.name in REPORTS else out.looked)
            for i in reports
        )
    ):
        return UNDERSTOOD
    shared = {i.said.get("crop", "") for i in items} & SHARED
    if shared and "crop" in out.asked:
        return UNDERSTOOD
    if kind == "set" and met:
        return UNDERSTOOD
    if kind == "record" and met and out.proposed and not out.asked:
        return READ_BACK
    return WRONG if out.asked or out.proposed or out.looked or out.recorded else REFUSED


def _answers(items: tuple[Item, ...], out: Outcome) -> bool:
    for item in items:
        if item.name in ("yes", "no", "choice"):
            words = {"yes": ("yes", "sí"), "no": ("no",)}.get(item.name, ())
            said = {one.casefold() for one in out.chosen}
            if not (said & set(words) or item.said.get("_", "?").casefold() in said):
                return False
    return True


def _all_met(items, *found) -> bool:  # type: ignore[no-untyped-def]
    pool = [one for group in found for one in group]
    for item in items:
        hit = next((one for one in pool if matches(item, one)), None)
        if hit is None:
            return False
        pool.remove(hit)
    return True


_YES = ("yes", "sí", "si")


def _pressed(reports: list[Item], out: Outcome) -> bool:
    """Whether the one button pressed is the expected answer: yes to what was asked, or a label
    that names what is expected (`T9`, `12`, `Lettuce S5`)."""
    if len(out.chosen) != 1 or out.recorded or out.proposed or len(reports) != 1:
        return False
    label = out.chosen[0].casefold()
    if label in _YES:
        return True
    meant = {fold(value) for value in reports[0].said.values()}
    meant |= {fold(code) for code, _ in meant_places(reports[0])}
    words = set(fold(label).split()) - {"all", "cells", "celdas", "todas"}
    return bool(words) and words <= meant | {code for one in meant for code in one.split()}


def _ask_verdict(what: str, out: Outcome) -> str:
    if what == "into" and any(isinstance(one, r.Potted) for one in out.held):
        return UNDERSTOOD  # where the pots stand is asked
    for asked in out.asked:
        if asked == what or any({asked, what} <= same for same in _SAME_QUESTION):
            return UNDERSTOOD
    return WRONG if out.asked or out.proposed or out.looked else REFUSED


def main(arguments: list[str]) -> None:
    """Print the totals of a half, by kind and language; misses only of the learning half."""
    half = arguments[0] if arguments else "learn"
    only = next((one.removeprefix("--only=") for one in arguments if one.startswith("--only=")), "")
    tell = "--misses" in arguments and half == "learn"
    scorer = Scorer()
    by: dict[str, Counter[str]] = defaultdict(Counter)
    for row in rows(half):
        if only and only not in (row.kind, row.file):
            continue
        out = scorer.outcome(row)
        said = verdict(row, out)
        language = "es" if row.lang.startswith("es") else "en"
        for key in ("all", language, f"{language} {row.kind}", row.file):
            by[key][said] += 1
        if tell and said != UNDERSTOOD:
            print(f"{said.upper()[:8]:8} {row.kind}/{row.state[:20]}: {row.text!r}\n"
                  f"     want {row.decision}: {row.expected}")  # fmt: skip
            for name in out.__slots__:
                if value := getattr(out, name):
                    print(f"     {name}: {_short(value)}")
    for key in sorted(by):
        n = sum(by[key].values())
        print(f"{key:16} n={n:4} " + "  ".join(
            f"{name} {by[key][name]} ({100 * by[key][name] / n:.0f}%)"
            for name in (UNDERSTOOD, READ_BACK, WRONG, REFUSED, NOT_SAID)))  # fmt: skip


def _short(value: object) -> str:
    text = re.sub(r"\b\w+=(?:None|False|0|\(\)|''),? ?", "", repr(value))
    return text.replace("where=Where()", "")[:400]


if __name__ == "__main__":
    main(sys.argv[1:])
