"""Typed words as the answer to the question that was asked: a button's words are its press."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.grammar.context import GrammarContext
from bot.grammar.text import clean
from bot.reading.asides import tells
from bot.reading.lexicon import lexicons
from bot.reading.mentions import mentions_of
from bot.reading.scan import Mention, Scan, scan_of
from bot.reading.set_up import frost_day
from bot.reading.tokens import words_of

_LONGEST = 8  # words of an answer: what is longer is a message of its own
_YES_LABELS = ("yes", "si", "record", "apuntar")
_NO_LABELS = ("no",)


def leaning(words: list[str]) -> tuple[str, int]:
    """Return `yes` or `no` and how many words at the start say so; an empty string for neither."""
    for size in range(min(4, len(words)), 0, -1):
        for key in ("no", "yes"):
            for lexicon in lexicons().values():
                for phrase, tags in lexicon.phrases.get(words[0], ()):
                    if len(phrase) == size and tuple(words[:size]) == phrase:
                        if ("answer", key) in tags:
                            return key, size
    return "", 0


def chosen(text: str, options: Sequence[Sequence[str]], context: GrammarContext) -> str | None:
    """Return the command of the button that typed words mean, or None."""
    words = [word for word in words_of(clean(text)) if word[0].isalnum()]
    if not words or len(words) > 2 * _LONGEST:
        return None
    labels = [[w for w in words_of(label) if w[0].isalnum()] for label, _ in options]
    exact = [i for i, label in enumerate(labels) if label == words]
    if (nth := _nth(words, len(labels))) is not None:
        return options[nth][1]
    if words[:1] in labels and labels.count(words[:1]) == 1 and not _tells(text, words, context):
        return options[labels.index(words[:1])][1]
    begun = [i for i, label in enumerate(labels) if label[: len(words)] == words]
    for fits in (exact, begun):
        if len(fits) == 1:
            return options[fits[0]][1]
    sides = {
        "yes": [i for i, label in enumerate(labels) if label[:1] and label[0] in _YES_LABELS],
        "no": [i for i, label in enumerate(labels) if label[:1] and label[0] in _NO_LABELS],
    }
    if len(labels) == 2 and len(sides["no"]) == 1 and not sides["yes"]:
        sides["yes"] = [1 - sides["no"][0]]  # `Remind` beside `No`
    side, size = leaning(words)
    if side and sides[side]:
        rest = words[size:]
        while rest and (again := leaning(rest))[0] == side:
            rest = rest[again[1] :]
        plain_yes = not [word for word in rest if not _small(word)]
        if plain_yes or (side == "yes" and _only_words(" ".join(rest), context)):
            return options[sides[side][0]][1]
        return None
    if len(words) > _LONGEST:
        return None
    scan = scan_of(clean(text), context)
    mentions = mentions_of(scan)
    if any(m.has("done") and not m.has("done", "put") for m in mentions):
        return None
    return _by_mention(scan, mentions, labels, options, context)


_ORDINALS = {
    "first": 0, "second": 1, "third": 2, "fourth": 3, "last": -1, "primera": 0, "primero": 0,
    "segunda": 1, "segundo": 1, "tercera": 2, "tercero": 2, "cuarta": 3, "ultima": -1, "ultimo": -1,
}  # fmt: skip


def _nth(words: list[str], most: int) -> int | None:
    """Return the place of `the second one` among so many buttons."""
    named = [_ORDINALS[word] for word in words if word in _ORDINALS]
    if len(named) != 1 or len(words) > 4 or any(not _small(w) for w in words if w not in _ORDINALS):
        return None
    return named[0] % most if -1 <= named[0] < most else None


def _tells(text: str, words: list[str], context: GrammarContext) -> bool:
    """Whether more than a remark follows the first word of an answer."""
    rest = mentions_of(scan_of(" ".join(words[1:]), context))
    return any(tells(m) for m in rest)


def _only_words(text: str, context: GrammarContext) -> bool:
    """Whether nothing behind a yes changes what was asked: no figure, place, crop or but."""
    return not any(
        m.kind not in ("word", "unknown", "common") or m.has("link", "but") or m.has("mood")
        for m in mentions_of(scan_of(text, context))
    )


def _small(word: str) -> bool:
    return any(word in lexicon.common for lexicon in lexicons().values())


_PRONOUNS = ("one", "una", "uno", "a", "un")


def _by_mention(
    scan: Scan,
    mentions: list[Mention],
    labels: list[list[str]],
    options: Sequence[Sequence[str]],
    context: GrammarContext,
) -> str | None:
    hits: set[int] = set()
    for m in mentions:
        if m.kind == "num" and m.text.lower() in _PRONOUNS and len(mentions) > 1:
            continue  # `the basil one`
        for i, label in enumerate(labels):
            other = mentions_of(scan_of(" ".join(label), context))
            for theirs in other:
                if m.kind == "crop" and theirs.kind == "tray":
                    if any((theirs.value[0], one) in context.holds for one in m.value):
                        hits.add(i)
                elif m.kind == theirs.kind == "crop" and set(m.value) & set(theirs.value):
                    hits.add(i)
                elif m.kind == theirs.kind and m.kind in ("tray", "shelf", "num", "sowing"):
                    if m.value == theirs.value:
                        hits.add(i)
                elif m.kind == "num" and theirs.kind == "tray":
                    if theirs.value == (f"T{m.value}",):
                        hits.add(i)
    return options[hits.pop()][1] if len(hits) == 1 else None


def filled(text: str, prefix: str, context: GrammarContext) -> str | None:
    """Return the command that a typed answer completes, or None for words of their own."""
    cleaned = clean(text)
    if prefix.startswith("/frost"):
        cleaned = cleaned.replace("-", " ")  # `mid-May`
    scan = scan_of(cleaned, context)
    mentions = [m for m in mentions_of(scan) if m.kind != "sign"]
    most = _LONGEST + (6 if prefix.startswith("/frost") else 2)
    if not mentions or len(mentions) > most or "?" in text:
        return None
    if any(m.has("done") and not m.has("done", "put") and not m.has("done", "up")
           for m in mentions):  # fmt: skip
        return None
    asked = re.findall(r"(?<!\w)T\d+(?!\w)", prefix)
    named = [code for m in mentions if m.kind == "tray" for code in m.value]
    if asked and set(named) - set(asked) and prefix.startswith(("/up ", "/lost ")):
        return None  # of another tray than was asked about
    if prefix.startswith("/frost"):
        day = frost_day(scan, mentions)
        return f"{prefix}{day.isoformat()}" if day is not None else None
    if prefix.startswith(("/temp ", "/out ")) and len(prefix.split()) > 1:
        return f"{prefix}{scan.text}" if any(c.isdigit() for c in scan.text) else None
    pieces = []
    for m in mentions:
        match m.kind:
            case "num" if m.value.denominator == 1:
                more = "more" if m.prep == "more" or any(
                    one.has("total", "more") for one in mentions
                ) else ""  # fmt: skip
                pieces.append(f"{m.value} {more}".strip())
            case "tray" | "sowing" | "lot" | "cells" | "shelf" | "person":
                pieces.append(m.text)
            case "crop":
                pieces.append(m.value[0].replace("_", " "))
            case "day":
                pieces.append(m.value.isoformat())
            case "word" if m.has("total", "none") and prefix.startswith("/up"):
                pieces.append("0")
            case "word" if m.has("total", "all"):
                pieces.append("all")
            case "unknown" if not any(one.kind in ("num", "tray", "crop") for one in mentions):
                return None
    kept = list(dict.fromkeys(pieces))
    if "all" in kept and len(kept) > 1:
        kept = [one for one in kept if one != "all"]
    if kept[:2] and kept[0] == "0" and len(kept) > 1:
        kept = kept[1:]
    return f"{prefix}{' '.join(kept)}" if kept else None
