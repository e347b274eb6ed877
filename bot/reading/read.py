"""One message → what may be done with it: the one entry of the reader."""

from __future__ import annotations

import re
from dataclasses import replace

from bot import grammar
from bot.grammar.commands import command_of
from bot.grammar.context import Echo, GrammarContext, Line
from bot.grammar.quantities import STRENGTH, share_said
from bot.grammar.text import clean
from bot.reading.problems import Asks, NothingTold
from bot.reading.questions import look_of, question_of, says_fine, where_of
from bot.reading.readings import Reading
from bot.reading.report import asks, observed, reports_of, scanned
from bot.reading.requested import asked_politely, offer, reminder_wanted
from bot.reading.scan import Mention, Scan
from bot.reading.set_up import language_wanted, set_up_of
from bot.reading.tokens import MOST_TOKENS
from core import requests as r
from core.trouble.looked_up import sought_in

LONGEST = 4096
NEWCOMER_SAYS = 14  # words and signs of `hi, I am new here, what do I do?`
MOST_UNREAD = {"watered": 2, "moist": 2, "temp": 2, "light": 2, "up": 2, "fed": 2, "thinned": 2,
               "out": 1, "note": 99}  # fmt: skip
"""Words that may stay unread in a report that is acted on: none where plants or cells move."""

MOST_BESIDE = {"sow": 1, "lost": 2, "potted": 2, "planted": 2}
"""Words that may stay unread there where the plants counted are named: `threw away 6 mouldy
peppers`."""


def read(text: str, context: GrammarContext) -> tuple[grammar.Line, ...]:
    """Return what a message asks, reports, or leaves open, in order.

    A line with a slash is a command and read by the command grammar. Never raises.
    """
    commands = grammar.parse(text, context)
    if re.match(r"^[^\w]*/", text.lstrip()) or not commands:
        return commands
    cleaned = _plain(clean(text[:LONGEST]), context)
    scan, mentions = scanned(cleaned, context)
    if len(scan.tokens) >= MOST_TOKENS:
        return (Line(typed=cleaned[:80], problem=NothingTold(why="unread")),)
    if (bare := _bare_question(scan, mentions)) is not None:
        return tuple(replace(line, typed=cleaned[:80]) for line in read(bare, context))
    wonders = asks(scan, mentions)
    if (wanted := reminder_wanted(scan, mentions, context)) is not None:
        return (wanted,)
    if any(m.has("look", "newcomer") for m in mentions) and len(mentions) <= NEWCOMER_SAYS:
        return (Line(typed=cleaned, request=r.Ask(text=cleaned)),)
    if wonders and asked_politely(mentions) and (asked := offer(scan, mentions, context)):
        return (asked,)
    if not wonders and all(_set_up_command(line) for line in commands):
        return commands
    if not wonders and (changes := set_up_of(scan, mentions)):
        return tuple(_change(cleaned, change) for change in changes)
    if wonders and (language := language_wanted([m for m in mentions if m.kind != "sign"])):
        return (Line(typed=cleaned, request=language),)
    if _for_figures(cleaned):
        return (
            Line(typed=cleaned, request=r.Ask(text=cleaned, where=where_of(mentions, context))),
        )
    if not wonders and (fed := _fed_at(cleaned, context)):
        return fed
    readings = reports_of(scan, mentions, context)
    told = [one for one in readings if one.frame and not one.blocked]
    if told and (_trouble(scan, told, wonders) or _of_records(cleaned)):
        told = []
    if told:
        lines = tuple(decided(one) for one in told)
        if wonders and (look := look_of(scan, _asking(scan, mentions), True)) is not None:
            lines = (*lines, Line(typed=cleaned, request=look))
        return lines
    found = look_of(scan, mentions, wonders)
    blocked = [one.blocked for one in readings if one.blocked]
    part = "part" in blocked
    if found is None and not part and all(_harmless(line) for line in commands):
        return commands
    kept_back = bool(set(blocked) & {"ahead", "request", "not", "if", "elsewhere"})
    if found is None and part:
        found = r.Ask(text=cleaned, where=where_of(mentions, context))
    if found is None and (wonders or not kept_back):
        found = question_of(scan, mentions, wonders)
    if found is not None:
        return (Line(typed=cleaned, request=found),)
    if not wonders and set(blocked) <= {"not"} and _unwell(scan, mentions):
        return (
            Line(typed=cleaned, request=r.Ask(text=cleaned, where=where_of(mentions, context))),
        )
    if not wonders and not blocked and (note := observed(scan, mentions)) is not None:
        return (Line(typed=cleaned, proposed=(note,)),)
    if "request" in blocked and (offered := offer(scan, mentions, context)) is not None:
        return (offered,)
    why = blocked[0] if blocked else "thanks" if _thanks(mentions) else "unread"
    return (Line(typed=cleaned[:80], problem=NothingTold(why=why)),)


def _change(typed: str, change: r.Request) -> Line:
    """Set up what was told; who is to be taken off the list is asked about first."""
    if isinstance(change, r.SetMember) and change.removed:
        return Line(typed=typed, proposed=(change,))
    return Line(typed=typed, request=change)


def _bare_question(scan: Scan, mentions: list[Mention]) -> str | None:
    """Return the question of `not sure how deep these go` without what leads to it."""
    first = next((m for m in mentions if m.kind != "sign"), None)
    if first is None or not first.has("mood", "question") or first.last - first.first < LEAD:
        return None
    last = scan.tokens[first.last]
    if any(lexicon.is_if(last.text) for lexicon in scan.order):
        return None
    return f"{scan.text[last.start :].rstrip(' .!')}?"


LEAD = 2
"""Words before the question word of `no idea when`, `not sure how`."""


def _thanks(mentions: list[Mention]) -> bool:
    """Whether a message only thanks or praises."""
    return any(m.has("mood", "thanks") for m in mentions) and not any(
        m.kind in ("tray", "crop", "num", "sowing") or m.has("done") for m in mentions
    )


def _unwell(scan: Scan, mentions: list[Mention]) -> bool:
    """Whether plants somewhere are only said to look ill: `T2 looks a bit sad`."""
    from core.trouble.kind import names_a_sign, sounds_unwell

    placed = any(m.kind in ("tray", "crop", "sowing", "variety") for m in mentions)
    if not placed and any(m.kind == "person" for m in mentions):
        return False  # Robin is no bird
    if says_fine(mentions):
        return False
    plants = placed or any(m.has("noun", "plant") for m in mentions)
    return (placed and sounds_unwell(scan.text)) or (plants and names_a_sign(scan.text))


def _trouble(scan: Scan, told: list[Reading], wonders: bool) -> bool:
    """Whether what looks like a report is what somebody sees and wonders about."""
    from core.trouble.kind import speaks_of_trouble

    if wonders and {one.frame for one in told} <= {"moist", "up", "lost"}:
        return speaks_of_trouble(scan.text)
    asked = all(one.missing for one in told) and {one.frame for one in told} <= {"up", "moist"}
    return asked and speaks_of_trouble(scan.text)


def _asking(scan: Scan, mentions: list[Mention]) -> list[Mention]:
    """Return the mentions of the last sentence, where a report is followed by a question."""
    ends = [i for i, m in enumerate(mentions) if m.kind == "sign" and m.value in ".!?;"]
    inner = [i for i in ends if i < len(mentions) - 1]
    return mentions[inner[-1] + 1 :] if inner else mentions


def _of_records(text: str) -> bool:
    """Whether a message is one sentence that asks what the records say, with or without a mark."""
    return (
        not re.search(r"[.;,!\n]", text.rstrip(" .!?"))
        and sought_in(text, loosely=False) is not None
    )


def _fed_at(text: str, context: GrammarContext) -> tuple[Line, ...]:
    """Return the lines of a feeding with its strength: `fed T2 at half strength`; else none."""
    found = re.search(STRENGTH, text, re.IGNORECASE)
    if found is None:
        return ()
    lines = read(f"{text[: found.start()]} {text[found.end() :]}", context)
    share = share_said(found)
    made = [line for line in lines if isinstance(line.request, r.Fed)]
    if len(made) != 1 or len(lines) != 1:
        return ()
    (line,) = made
    assert isinstance(line.request, r.Fed)
    return (replace(line, typed=text, request=replace(line.request, strength=share)),)


def _for_figures(text: str) -> bool:
    """Whether a message is one question that the group's own figures answer: how high, how warm."""
    if re.search(r"[.;,!\n]", text.rstrip(" .!?")) or sought_in(text, loosely=False) is not None:
        return False
    from core.trouble.topics import asks_for_figures

    return asks_for_figures(text)


def _plain(text: str, context: GrammarContext) -> str:
    if context.bot_name:
        name = re.escape(context.bot_name)
        text = re.sub(rf"(?<!\w)@{name}(?!\w)[,:]?", " ", text, flags=re.IGNORECASE)
    return _DASHED.sub(r"\1\2", text).strip()


_DASHED = re.compile(r"(?<!\w)([TtSsLl])-(\d{1,3})(?!\w)")
"""`T-4`, which is no minus four."""


def _set_up_command(line: Line) -> bool:
    """Whether a line is a set-up command in its own words, such as `tray T1 72`."""
    kinds = r.SetTray | r.SetShelf | r.SetLot | r.SetDuty
    return isinstance(line.request, kinds) and not (line.echoes or line.choices)


def _harmless(line: Line) -> bool:
    """Whether a command line writes nothing of what happened."""
    if isinstance(line.request, r.Help) and line.request.topic:
        return command_of(line.request.topic) is not None
    if isinstance(line.request, r.Ask):
        return False
    if line.request is not None:
        return not isinstance(line.request, r.Report | r.Undo) and not line.echoes
    return False


def decided(reading: Reading) -> Line:
    """The table of decisions: what is done with one reading.

    missing piece            → ask, with a button for each likely answer
    a doubt, words unread    → propose: read back, recorded at a yes
    otherwise                → act
    """
    echoes = tuple(Echo(typed=typed, read=read_as) for typed, read_as in reading.slips)
    if reading.missing:
        problem = Asks(asks=reading.missing, frame=reading.frame, typed=reading.typed[:80])
        return Line(
            typed=reading.typed, problem=None if reading.choices else problem,
            choices=reading.choices, choice_kind=reading.missing if reading.choices else "",
            prefix=reading.prefix, echoes=echoes,
        )  # fmt: skip
    most = MOST_UNREAD.get(reading.frame, 0)
    if reading.counted:
        most = max(most, MOST_BESIDE.get(reading.frame, 0))
    if reading.doubts or len(reading.unread) > most:
        assert reading.request is not None
        return Line(typed=reading.typed, proposed=(reading.request,), echoes=echoes)
    return Line(typed=reading.typed, request=reading.request, echoes=echoes)
