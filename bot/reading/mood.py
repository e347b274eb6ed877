"""Tense, mood, polarity and speaker: whether a clause tells what happened."""

from __future__ import annotations

from bot.reading.clauses import Clause
from bot.reading.scan import Mention, Scan

_NOBODY = ("nobody", "no one", "noone", "nadie")
_SUBJECTS = ("the", "it", "there", "we", "i", "you", "they", "anyone", "anybody", "my", "this")
_ORDER = ("elsewhere", "question", "if", "request", "ahead", "not")


def sentence_moods(scan: Scan, mentions: list[Mention]) -> list[str]:
    """Return for each sentence, in order, `question`, `elsewhere`, `if` or nothing."""
    found: list[str] = []
    now: list[Mention] = []
    asks = False

    def close(ending: str) -> None:
        nonlocal now, asks
        found.append(_of(now, ending, asks))
        now, asks = [], False

    for index, m in enumerate(mentions):
        new_line = index > 0 and "\n" in scan.text[
            scan.tokens[mentions[index - 1].last].end : scan.tokens[m.first].start
        ]  # fmt: skip
        hard = m.kind == "sign" and (m.value in ".!?;…¿¡" or str(m.value).startswith(".."))
        if new_line and not hard:
            close("")
        follows = mentions[index + 1] if index + 1 < len(mentions) else None
        if hard and m.value == "?" and follows is not None and follows.value == "!":
            continue  # `already?!` wonders, it does not ask
        if hard:
            close(str(m.value))
            asks = m.value == "¿"
        else:
            now.append(m)
    close("")
    return found


def _of(mentions: list[Mention], ending: str, asks: bool) -> str:
    if any(m.has("mood", "elsewhere") for m in mentions):
        return "elsewhere"
    said = [m for m in mentions if m.kind != "sign"]
    if asks or ending == "?":
        return "question"
    while said and said[0].has("noun", "greet") and not said[0].has("mood"):
        said = said[1:]
    if said and said[0].has("mood", "question"):
        return "question"
    if len(said) > 1 and said[0].has("mood", "aux") and (
        said[1].kind in ("tray", "crop", "person", "shelf", "sowing")
        or said[1].text.lower() in _SUBJECTS
    ):  # fmt: skip
        return "question"
    if any(m.has("mood", "if") for m in said):
        return "if"
    return ""


def mood_of(clause: Clause, frame: str, sentence: str, carried: str) -> str:
    """Return why a clause reports nothing, or an empty string."""
    if sentence:
        return sentence
    cue = next(
        (i for i, m in enumerate(clause.mentions) if m.has("done", frame) or m.has("weak", frame)
         or (frame == "moist" and m.has("level"))),
        len(clause.mentions),
    )  # fmt: skip
    before = clause.mentions[:cue]
    after = clause.mentions[cue:]
    if frame not in ("up", "temp", "sow", "light") and any(
        m.has("total", "none") and m.text.lower() != "no" and not m.has("level")
        for m in clause.mentions
    ):  # fmt: skip
        return "not"
    if any(m.text.lower() in _NOBODY for m in after):
        return "not"
    forecast = frame == "temp" and any(m.has("kind", "forecast") for m in clause.mentions)
    for name in _ORDER[3:]:
        hits = [m for m in before if m.has("mood", name)]
        if name == "not":
            hits = [
                m
                for m in hits
                if not (
                    frame == "up"
                    and (clause.has("total", "none") or clause.of("num") or m.text in ("no", "sin"))
                )
            ]
        if name == "ahead":
            hits += [m for m in after if m.has("day", "ahead") or m.text in ("manana",)]
            if forecast or frame == "temp":
                hits = []
        if hits:
            return name
    if carried in ("ahead", "request", "not") and not any(
        m.has("done", frame) or m.has("level") for m in clause.mentions
    ):
        return carried
    return ""
