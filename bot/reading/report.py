"""A message → the reports in it."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.grammar.context import GrammarContext
from bot.reading.build import build
from bot.reading.clauses import CARE, Clause, clauses_of, one_report
from bot.reading.frames import frame_of
from bot.reading.mentions import mentions_of
from bot.reading.mood import mood_of, sentence_moods
from bot.reading.readings import Reading
from bot.reading.scan import Mention, Scan, scan_of
from bot.reading.slots import slots_of
from core import requests as r
from core.requests import Where

_INHERITS = ("tray", "shelf", "sowing", "crop")
_QUOTED = re.compile(r"[\"“«][^\"”»]{3,}[\"”»]")


def scanned(text: str, context: GrammarContext) -> tuple[Scan, list[Mention]]:
    """Return a cleaned message with its mentions; what is quoted is not the speaker's."""
    scan = scan_of(_QUOTED.sub(lambda hit: " " * len(hit[0]), text), context)
    scan.quotes = [(hit.start(), hit[0][1:-1].strip()) for hit in _QUOTED.finditer(text)]
    return scan, mentions_of(scan)


def asks(scan: Scan, mentions: list[Mention]) -> bool:
    """Whether a sentence of the message is a question."""
    return "question" in sentence_moods(scan, mentions)


def reports_of(scan: Scan, mentions: list[Mention], context: GrammarContext) -> list[Reading]:
    """Return a reading for each report of a message, and for each clause that reports nothing."""
    mentions = _dictated(mentions)
    if whole := _whole_message(scan, mentions):
        return [whole]
    mentions = _corrected(mentions)
    moods = sentence_moods(scan, mentions)
    clauses = clauses_of(scan, mentions, moods)
    frames = [frame_of(scan, clause) for clause in clauses]
    _elliptic(clauses, frames)
    found: list[Reading] = []
    carried = ""
    speaks = _spokesman(scan, mentions) if len(clauses) > 1 else None
    for index, clause in enumerate(clauses):
        frame, how = frames[index]
        sentence = moods[clause.sentence] if clause.sentence < len(moods) else ""
        if clause.joint == "hard":
            carried = ""
        mood = mood_of(clause, frame, sentence, carried)
        if not frame:
            carried = mood or carried
            if mood:
                found.append(Reading(blocked=mood, typed=_typed(scan, clause)))
            elif _left_open(clauses, frames, index):
                unread = Reading(frame="unread", missing="what", typed=_typed(scan, clause))
                found.append(unread)
            continue
        if mood:
            carried = mood if mood in ("ahead", "request", "not") else ""
            found.append(Reading(frame=frame, blocked=mood, typed=_typed(scan, clause)))
            continue
        carried = ""
        if frame == "lost" and clause.has("noun", "part") and not clause.of("num"):
            found.append(Reading(frame=frame, blocked="part", typed=_typed(scan, clause)))
            continue
        placed = bool(clause.places())
        _inherit(clauses, index, frame)
        for one in _read_one(scan, clause, frame, how, context):
            if not placed and clause.places() and frame in _MOVES and clause.joint == "hard":
                one.doubts.append("guess")
            if _two_frames(clause, frame):
                one.doubts.append("guess")
            if speaks and isinstance(one.request, r.Report) and one.request.for_whom is None:
                one.request = replace(one.request, for_whom=speaks)
            found.append(one)
    return found


def _left_open(clauses: list[Clause], frames: list[tuple[str, str]], index: int) -> bool:
    """Whether trays of a clause go unread beside a report: `T2 T4 done, T5 was dry`."""
    clause = clauses[index]
    beside = any(frame for frame, _ in frames) and len(clause.mentions) > len(clause.of("tray"))
    heads = index == 0 and bool(clause.heads)
    return bool(clause.of("tray")) and beside and not heads


_MOVES = ("lost", "planted", "potted")


def _two_frames(clause: Clause, frame: str) -> bool:
    """Whether a cue of another report stands in a clause that was read as one."""
    others = clause.frames() - {frame, "put", "give", "moist", "temp", "up", "out", "light"}
    return any(not one_report({frame}, {other}) for other in others)


def _spokesman(scan: Scan, mentions: list[Mention]) -> str | None:
    """Return for whom a whole message speaks: `For bench 1: T1 wet, T2 dry`."""
    said = [m for m in mentions if m.kind != "sign"][:3]
    for index, m in enumerate(said):
        if m.kind == "person" and index and said[index - 1].text.lower() in ("for", "from", "de"):
            return str(m.value)
    return None


def _read_one(
    scan: Scan, clause: Clause, frame: str, how: str, context: GrammarContext
) -> list[Reading]:
    slots = slots_of(scan, clause, frame)
    if frame == "sow" and slots.variety is None:
        slots.variety = _quoted_variety(scan, clause)
    if how == "weak" and (slots.on is not None or frame in ("planted", "sow")):
        return [Reading(frame=frame, blocked="ahead", typed=_typed(scan, clause))]
    reading = build(frame, how, slots, context)
    reading.typed = _typed(scan, clause)
    more = [reading]
    request = reading.request
    if isinstance(request, r.Report) and not reading.missing and frame in (
        "watered", "fed", "moist", "thinned", "light"
    ):  # fmt: skip
        for shelf in slots.shelves[1:]:
            more.append(_again(reading, replace(request, where=Where(shelf=shelf))))
        if not slots.trays:
            for ids in slots.crops[1:]:
                if ids[0] != request.where.crop:
                    more.append(_again(reading, replace(request, where=Where(crop=ids[0]))))
    return more


def _quoted_variety(scan: Scan, clause: Clause) -> str | None:
    """Return the one name in quotation marks that stands within a sowing."""
    start = scan.tokens[min(m.first for m in clause.mentions)].start
    end = scan.tokens[max(m.last for m in clause.mentions)].end
    inside = [hit for hit in scan.quotes if start <= hit[0] <= end]
    return inside[0][1] if len(inside) == 1 else None


def _again(reading: Reading, request: r.Request) -> Reading:
    return replace(reading, request=request)


def _typed(scan: Scan, clause: Clause) -> str:
    tokens = scan.tokens
    start = min(m.first for m in clause.mentions)
    end = max(m.last for m in clause.mentions)
    return scan.text[tokens[start].start : tokens[end].end]


def _elliptic(clauses: list[Clause], frames: list[tuple[str, str]]) -> None:
    """Give `T1 45, T2 13, T3 36 up` its one cue thrice, from before or from behind."""
    for index in range(len(clauses)):
        frame, how = frames[index]
        if how in ("cue", "weak") or (how == "shape" and frame != "up"):
            continue
        clause = clauses[index]
        if not clause.values() and not (clause.of("day") or clause.has("how", "below")
                                        or clause.of("person")):  # fmt: skip
            continue
        if any(m.prep == "more" for m in clause.of("num")):
            continue
        for other in (index - 1, *range(index + 1, len(clauses))):
            if not 0 <= other < len(clauses) or (clauses[other].joint == "hard" and other > index):
                continue
            name, its = frames[other]
            counted = clauses[other].values() or (name in _MOVES and clauses[other].of("crop"))
            if other > index and not counted:
                continue
            if its in ("cue", "elliptic") and name not in ("sow", "moist"):
                frames[index] = (name, "elliptic")
                if other < index and name in _MOVES:
                    _as_before(clauses[other], clause)
                if name == "temp":
                    kinds = [m for m in clauses[other].mentions if m.has("kind")]
                    if not clause.has("kind"):
                        clause.mentions += kinds
                if name == "up" and not clause.has("total", "more"):
                    pass
                break


def _as_before(first: Clause, clause: Clause) -> None:
    """Take the day and the people of the clause before: `Jo took 7 kale on Monday and 1 basil`."""
    for kind in ("day", "person"):
        if not clause.of(kind):
            clause.mentions = [*clause.mentions, *first.of(kind)]


def _inherit(clauses: list[Clause], index: int, frame: str) -> None:
    """Take the place from the clause before, or from the one after: `T4: thinned and fed`."""
    clause = clauses[index]
    everything = clause.has("total", "all") and frame in ("watered", "fed", "moist", "out")
    if clause.places() or everything or frame == "sow":
        return
    if index > 1 and any(m.text.lower() in _BOTH for m in clause.mentions):
        clause.mentions += [m for one in clauses[index - 2 : index] for m in one.places()]
        return
    if clause.has("kind", "low") or clause.has("kind", "forecast") or clause.has("kind", "outside"):
        return
    if index and clause.joint == "hard" and _points_back(clause, frame):
        clause.mentions += _handed_on(clauses[index - 1], frame)
        return
    if index and clause.joint != "hard" and clauses[index - 1].sentence == clause.sentence:
        clause.mentions += _handed_on(clauses[index - 1], frame)
    if not clause.places() and (head := _heading(clauses[0])):
        clause.mentions += head
    if not clause.places() and index + 1 < len(clauses):
        after = clauses[index + 1]
        if after.joint != "hard" and after.sentence == clause.sentence and not clause.values():
            clause.mentions += [m for m in after.mentions if m.kind in _INHERITS]


def _handed_on(clause: Clause, frame: str) -> list[Mention]:
    """Return the place a clause hands on; of `sowed zinnia in T5 and watered it`, the tray."""
    kinds: tuple[str, ...] = _INHERITS
    if frame in CARE and clause.of("tray") and clause.has("done", "sow"):
        kinds = ("tray",)
    return [m for m in clause.mentions if m.kind in kinds]


_BOTH = ("both", "ambas", "ambos")
_PRONOUNS = ("it", "them", "la", "lo", "las", "los")


def _points_back(clause: Clause, frame: str) -> bool:
    """Whether a short sentence says a pronoun for the place: `La T8 seca. La he regado.`"""
    short = len(clause.mentions) <= 4 and clause.has("done", frame)
    return short and any(m.text.lower() in _PRONOUNS for m in clause.mentions)


def _heading(first: Clause) -> list[Mention]:
    """Return the place that stands alone on the first line, which heads the others."""
    if first.heads:
        return [m for m in first.mentions[: first.heads] if m.kind in _INHERITS]
    return []


_THAT = ("that", "que")
_PUT_DOWN = ("put down", "for the record", "mark down", "log", "jot down", "anota", "apunta")
_LEAD = 8  # words within which a message says what is to be done with the rest


def _dictated(mentions: list[Mention]) -> list[Mention]:
    """Leave out `can you put down that`, where a report follows: it asks to record it."""
    for index, m in enumerate(mentions[:_LEAD]):
        if m.kind == "sign":
            return mentions
        if not m.has("done", "note"):
            continue
        rest = mentions[index + 1 :]
        that = m.text.lower().split()[-1] in _THAT or m.text.lower() in _PUT_DOWN
        if not that and rest and rest[0].text.lower() in _THAT:
            that, rest = True, rest[1:]
        told = any(
            (one.has("done") and not one.has("done", "note")) or one.has("level") for one in rest
        )
        return rest if that and told else mentions
    return mentions


def _corrected(mentions: list[Mention]) -> list[Mention]:
    """Let `32 up in T2, sorry, T3` mean T3."""
    taken_back = [i for i, m in enumerate(mentions) if m.has("link", "kidding")]
    if taken_back and taken_back[-1] + 1 < len(mentions):
        mentions = mentions[taken_back[-1] + 1 :]
    at = next((i for i, m in enumerate(mentions) if m.has("link", "sorry")), None)
    if at is None or at == 0:
        return mentions
    after = next((m for m in mentions[at + 1 :] if m.kind in ("tray", "num", "shelf")), None)
    if after is None:
        return mentions
    index = mentions.index(after)
    if index - at > 3:
        return mentions
    for back in range(at - 1, -1, -1):
        if mentions[back].kind == after.kind:
            return [*mentions[:back], after, *mentions[back + 1 : at], *mentions[index + 1 :]]
    return mentions


_NOTE_FIRST = 4
_WRONG = ("wrong", "that's wrong", "that was wrong", "is a mistake", "mistake", "my mistake", "mal")
"""Said beside a word of taking back: `I wrote T2 watered but that's wrong. Undo it.`"""


def _whole_message(scan: Scan, mentions: list[Mention]) -> Reading | None:
    """Return a note or an undo, which a whole message is."""
    said = [m for m in mentions if m.kind != "sign"]
    for index, m in enumerate(said[:_NOTE_FIRST]):
        if (
            m.has("done", "note")
            and all(one.kind in ("tray", "common", "word") for one in said[:index])
            and not any(one.has("done") or one.has("mood", "not") for one in said[:index])
        ):
            return _note(scan, m, said)
    if len(said) > _NOTE_FIRST and said[-1].has("done", "note"):
        if not any(one.has("mood") or one.has("done") or one.kind == "day" for one in said[:-1]):
            return _note(scan, said[-1], said)
    report = next((one.value for one in said if one.kind == "report"), None)
    for m in said:
        if m.has("done", "undo"):
            other = any(one.has("done") and not one.has("done", "undo") for one in said)
            placed = any(one.kind in ("tray", "crop", "sowing", "shelf") for one in said)
            if any(one.text.lower() in _WRONG for one in said):
                last = report is None and not placed  # what is named may not be the last
                return Reading(frame="undo", request=r.Undo(report=report, last=last))
            if not placed and (report or not other or m in said[:3]):
                if report or not any(one.has("mood", "not") for one in said):
                    request = r.Undo(report=report, last=report is None)
                    return Reading(frame="undo", request=request)
    return None


def _doubtful_mood(m: Mention) -> bool:
    return any(key != "aux" for key in m.keys("mood"))


_LEAST_SAID = 3
"""Words of a remark worth keeping."""


def observed(scan: Scan, mentions: list[Mention]) -> r.Note | None:
    """Return a note for a plain remark on one tray or crop that reports nothing else."""
    said = [m for m in mentions if m.kind != "sign"]
    places = [m for m in said if m.kind in ("tray", "crop", "sowing")]
    if len(places) != 1 or len(said) < _LEAST_SAID + 1:
        return None
    if any(_doubtful_mood(m) or m.has("done") or m.has("setup") or m.kind == "num" for m in said):
        return None
    place = _noted_place(scan, said)
    return None if place == Where() else r.Note(text=scan.text.strip(), where=place)


def _noted_place(scan: Scan, said: list[Mention]) -> Where:
    where = Where()
    for m in said:
        if m.kind == "tray" and not where.trays:
            where = replace(where, trays=m.value)
        if m.kind == "shelf" and where == Where():
            where = replace(where, shelf=str(m.value[0]))
        if m.kind == "crop" and where.crop is None and not where.trays and len(m.value) == 1:
            if m.value[0] in scan.context.growing:
                where = replace(where, crop=m.value[0])
    return replace(where, crop=None) if where.trays else where


def _note(scan: Scan, cue: Mention, said: list[Mention]) -> Reading:
    where = _noted_place(scan, said)
    behind = [m for m in said if m.first > cue.last]
    if (
        where != Where()
        and behind
        and len(said) <= _NOTE_FIRST + 1
        and not any(m.kind == "unknown" or (m.kind == "word" and not m.has("link")) for m in behind)
    ):  # `make a note on T6` tells nothing yet
        return Reading(
            frame="note", missing="what", typed=scan.text,
            prefix=f"/note {' '.join(where.trays)} ",
        )  # fmt: skip
    text = scan.text[scan.tokens[cue.last].end :].strip(" ,:;.-") or scan.text
    if not scan.text[scan.tokens[cue.last].end :].strip(" ,:;.-"):
        text = scan.text[: scan.tokens[cue.first].start].strip(" ,:;.-")
        if len(text.split()) < _LEAST_SAID:
            return Reading(frame="note", missing="what")
    return Reading(frame="note", request=r.Note(text=text, where=where))


__all__ = ["asks", "observed", "reports_of", "scanned"]
