"""Mentions → clauses: the words of one report each, and what is common to their sentence."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.reading.scan import Mention, Scan

CARE = frozenset({"watered", "fed", "moist", "thinned", "out"})
PLACES = ("tray", "shelf", "sowing", "crop", "variety")
_HARD = {".", "!", "?", ";", "...", "\n", "¿", "¡"}
_ONE_FRAME = (
    {"sow", "put"}, {"planted", "put"}, {"potted", "put"}, {"potted", "planted"}, {"out", "put"},
    {"out", "temp"}, {"up", "put"}, {"planted", "out"}, {"sow", "planted"}, {"temp", "up"},
    {"light", "temp"}, {"light", "put"}, {"watered", "put"}, {"fed", "put"},
    {"give", "watered"}, {"give", "fed"}, {"give", "planted"}, {"give", "put"},
)  # fmt: skip
"""Cues of two frames that are said of one thing: `put seed`, `planted out`."""


@dataclass(slots=True)
class Clause:
    """The mentions of one report.

    Attributes:
        joint: what parts it from the one before: `hard`, `soft` or empty for the first.
        sentence: number of the sentence it begins in.
        heads: how many of the mentions stand alone on the first line.
    """

    mentions: list[Mention] = field(default_factory=list)
    joint: str = ""
    sentence: int = 0
    heads: int = 0

    def frames(self) -> set[str]:
        """Return the frames whose cues stand here; a quantity with its unit is a cue."""
        found: set[str] = set()
        for index, m in enumerate(self.mentions):
            cues = set(m.keys("done"))
            down = index == 0 and any(one.text.lower() == "down" for one in self.mentions)
            if m.has("level") and ("watered" not in cues or self._looked(index)):
                cues = {"watered"} if down and m.has("level", "wet") else {"moist"}
            if m.has("level_doubt"):
                cues = {"moist"}
            found |= cues
            if m.kind in ("c", "f") or (m.has("kind") and self.values()):
                found.add("temp")
            if m.kind in ("lux", "ppfd", "fc"):
                found.add("light")
            if m.has("noun", "lamp") and self.of("mm", "cm", "inch", "hour"):
                found.add("light")
        if not found - {"put"} and self.places() and self._fine():
            found.add("moist")
        if "moist" in found and found & {"lost", "up"} and not self.has("level"):
            found.discard("moist")
        return found

    def _looked(self, index: int) -> bool:
        """Whether a word of the can tells of the mix here: `the soil is soaked`."""
        before = self.mentions[:index]
        if any(m.text in ("is", "are", "was", "were", "looks", "found", "esta") for m in before):
            return True
        return any(m.has("kind", "mix") for m in before)

    def _fine(self) -> bool:
        """Whether `ok` and its like stand right behind the place: `T6 ok`."""
        for index, m in enumerate(self.mentions):
            if m.has("level_weak"):
                before = [
                    one for one in self.mentions[:index]
                    if one.kind != "common" and not one.has("link")
                ]  # fmt: skip
                told = any(one.has("kind", "mix") or one.has("done", "moist") for one in before)
                last = bool(before) and all(one.kind in ("tray", "shelf") for one in before)
                return told or (last and len(self.mentions) <= index + 1)
        return False

    def has(self, section: str, key: str | None = None) -> bool:
        return any(m.has(section, key) for m in self.mentions)

    def of(self, *kinds: str) -> list[Mention]:
        return [m for m in self.mentions if m.kind in kinds]

    def values(self) -> list[Mention]:
        return self.of("num", "degree", "c", "f", "lux", "ppfd", "fc")

    def places(self) -> list[Mention]:
        return self.of(*PLACES)

    def told(self) -> bool:
        """Whether something is said of a place here: a number, a level, a cue."""
        return bool(
            self.frames() or self.values() or self.has("level") or self.has("total", "more")
            or self.has("total", "none") or self.of("lux", "ppfd", "fc", "inch", "cm", "hour")
        )  # fmt: skip


def clauses_of(scan: Scan, mentions: list[Mention], moods: list[str]) -> list[Clause]:
    """Part mentions into clauses; a question or condition never joins a report before it."""
    chunks: list[Clause] = []
    for chunk in _chunks(scan, mentions):
        chunks += _alternating(scan, chunk)
    found: list[Clause] = []
    for chunk in chunks:
        last = found[-1] if found else None
        apart = last is not None and _mood(moods, last) != _mood(moods, chunk)
        if last is None or apart or _begins(last, chunk):
            found.append(chunk)
        elif chunk.joint != "hard" or _adds(last, chunk):
            if not last.told() and not last.places():
                last.sentence = chunk.sentence  # what was said before tells nothing
            last.mentions += chunk.mentions
    return found


def _mood(moods: list[str], clause: Clause) -> str:
    return moods[clause.sentence] if clause.sentence < len(moods) else ""


_LONGEST = 40  # mentions of one clause
_ADDS = ("cells", "lot", "variety", "mm", "cm", "inch", "tray", "crop", "shelf", "sowing", "c", "f")


def _adds(last: Clause, new: Clause) -> bool:
    """Whether a sentence of its own still speaks of the report before it: `Row C, 2 a cell.`"""
    if not last.frames() and not last.told():
        return not (last.places() and new.places())
    if new.frames() - {"put"}:
        return _counts(last, new)
    if new.of(*PLACES) and not _bare(new):
        return False  # `Also T9 is still empty` says nothing of what was sown before
    if new.of(*_ADDS) or new.has("noun", "per_cell") or new.has("noun", "cell"):
        return True
    if new.has("cause") or new.has("share") or new.has("how"):
        return True
    short = len(new.mentions) <= 4
    if short and new.of("num") and not last.of("num"):
        return True
    return short and bool(new.of("day")) and len(new.mentions) <= 2


def _counts(last: Clause, new: Clause) -> bool:
    """Whether a sentence gives the number for the one before: `Counted the kale. 66 showing.`"""
    if not (new.frames() <= last.frames() and new.of("num") and not last.values()):
        return False
    return not {m.kind for m in new.places()} & {m.kind for m in last.places()}


_MOST_BARE = 2


def _bare(new: Clause) -> bool:
    """Whether a sentence is hardly more than the pieces it adds: `In T5, row C.`"""
    beside = [m for m in new.mentions if m.kind in ("common", "unknown")]
    others = [m for m in new.mentions if m.has("mood") or m.has("level_weak")]
    return len(beside) <= _MOST_BARE and not others


def _chunks(scan: Scan, mentions: list[Mention]) -> list[Clause]:
    found = [Clause()]
    sentence, joint = 0, ""
    for index, m in enumerate(mentions):
        hard = m.kind == "sign" and (m.value in _HARD or str(m.value).startswith(".."))
        new_line = index > 0 and "\n" in scan.text[
            scan.tokens[mentions[index - 1].last].end : scan.tokens[m.first].start
        ]  # fmt: skip
        if new_line and not hard:
            if not sentence and all(one.kind in PLACES for one in found[-1].mentions):
                found[-1].heads = len(found[-1].mentions)
            sentence += 1
            found.append(Clause([m], "hard", sentence))
            continue
        soft = (m.kind == "sign" and m.value in (",", ":", "-", "/", "(", ")", "–")) or (
            m.kind in ("word", "common") and (m.has("link", "and") or m.has("link", "but"))
            and not m.has("total")
        )  # fmt: skip
        if hard:
            sentence += 1
            joint = "hard"
        elif soft:
            joint = joint or ("comma" if m.value == "," else "soft")
        if hard or soft:
            found.append(Clause([], joint, sentence))
            continue
        found[-1].mentions.append(m)
        joint = ""
    kept: list[Clause] = []
    carried = ""
    for chunk in found:
        if not chunk.mentions:
            carried = "hard" if "hard" in (carried, chunk.joint) else chunk.joint or carried
            continue
        if carried == "hard":
            chunk.joint = "hard"
        carried = ""
        kept.append(chunk)
    return kept


def _alternating(scan: Scan, chunk: Clause) -> list[Clause]:
    """Part `T4 dry T6 wet` and `watered T1 T3 dry` where a new place or deed begins."""
    found = [Clause([], chunk.joint, chunk.sentence)]
    moves = bool(chunk.frames() & {"potted", "planted", "sow", "put"})
    for index, m in enumerate(chunk.mentions):
        now = found[-1]
        if len(now.mentions) >= _LONGEST:
            found.append(Clause([], "soft", chunk.sentence))
            now = found[-1]
        if not moves and m.kind in ("tray", "sowing") and now.of("tray", "sowing") and now.told():
            before = chunk.mentions[index - 1]
            if not (before.has("link") or before.text in ("in", "en", "on", "of")):
                found.append(Clause([], "soft", chunk.sentence))
        elif m.has("done") and now.places() and now.frames() and not m.has("done", "put"):
            frames = now.frames()
            if frames == {"moist"} and not now.has("level") and not now.has("level_doubt"):
                frames = set(m.keys("done"))  # `a good drink` tells nothing of the mix
            if not frames & set(m.keys("done")) and not one_report(frames, set(m.keys("done"))):
                found.append(Clause([], "soft", chunk.sentence))
        found[-1].mentions.append(m)
    return [one for one in found if one.mentions]


def one_report(left: set[str], right: set[str]) -> bool:
    """Whether cues of two frames may be said of one report."""
    return bool(left & right) or any(
        {a, b} <= pair for a in left for b in right for pair in _ONE_FRAME
    )


_OWN = ("i", "we", "yo", "nosotros", "nosotras")


def _own_doing(new: Clause) -> bool:
    """Whether a clause begins with its own doer: `and I did T2`."""
    return any(m.text.lower() in _OWN for m in new.mentions[:2])


def _begins(cur: Clause, new: Clause) -> bool:
    """Whether a chunk begins a clause of its own, or goes on with the one before."""
    mine, its = cur.frames(), new.frames()
    its = its - {"put"} or its  # `put the kale out`
    if cur.has("mood", "not") and not mine - {"put"} and (its or new.places()):
        return True
    if mine == {"moist"} and "lost" in its and not cur.places():
        return False
    if its:
        if not mine:
            both = cur.of("tray") and new.of("tray") and cur.mentions[-1].kind not in PLACES
            return bool(both or (cur.places() and cur.told() and new.places()))
        if one_report(mine, its):
            if not new.told() and not new.places():
                return False
            same = {m.kind for m in cur.places()} & {m.kind for m in new.places()}
            both = bool(cur.values()) and bool(new.values())
            if its <= {"put"} or ("sow" in mine and not same):
                return False
            return bool(both or (same and (new.values() or new.has("level") or mine & CARE)))
        return True
    if new.has("mood", "not") and new.places():
        return True
    if "planted" in mine and new.of("person") and cur.of("person"):
        return True
    if mine and cur.of("person") and new.places() and _own_doing(new):
        return True
    moved = mine & {"sow", "potted", "planted", "put", "give"}
    if new.joint == "hard" and not moved and cur.told() and cur.of("tray", "sowing"):
        if new.of("tray", "sowing"):
            return True  # a line or a sentence of its own: `T1: 45 up`, `T2: 13 up`
    if not new.places():
        return bool(
            new.values() and cur.values() and mine & {"up", "temp"} and cur.joint != "x"
            and not mine & {"sow"} and (new.of("day") or new.has("kind"))
        )  # fmt: skip
    if not cur.told():
        return False
    moves = mine & {"sow", "potted", "planted"}
    counted = any(m.prep == "more" for m in new.of("num")) or new.joint == "hard"
    if counted and new.values() and new.of("tray", "sowing") and cur.places() and not moves:
        return True
    same = {m.kind for m in cur.places()} & {m.kind for m in new.places()}
    if new.values() and cur.values() and cur.places():
        return bool(same) or "sow" not in mine
    how = (new.has("how", "below") and new.joint == "comma") or (new.of("day") and cur.of("day"))
    return bool(how and same and mine & CARE)
