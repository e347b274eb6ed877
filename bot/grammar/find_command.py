"""Which command a line gives: at its start, later in it, or by a slip of the keyboard."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from bot.grammar.commands import WORDS, Command
from bot.grammar.context import Echo, GrammarContext
from bot.grammar.crop_words import exact
from core.folding import fold, plain
from core.real_words import is_real
from core.requests import CropInfo, Request, ShowTray

_LEAD = re.compile(
    r"^(?:[^\w/?]|_)*(?P<slash>/\s?)?"
    r"(?P<polite>(?:(?:please|pls|hi|hello|hey|i've|i have|i|we've|we have|we|just)[\s,]+)*)",
    re.IGNORECASE,
)
_QUESTION = re.compile(
    r"^\W*(?:what|why|how|is|are|should|can|could|do|does|my|help)(?!\w).*|.*\?\W*$", re.IGNORECASE
)
# `when should we thin?` is a question, `when do we sow tomatoes?` asks for a crop's dates.
_WHEN_TO = re.compile(
    r"^\W*when\s+(?:should|can|could|will|is|are|do|does)(?!\w)"
    r"(?!.*\b(?:sow|start|plant|transplant|put out|set out|go out|harden|frosts?)\b)",
    re.IGNORECASE,
)
_READINGS = (
    (re.compile(r"\d\s*(?:°\s*|deg(?:rees?)?\s*)?(?:[fc]|fahrenheit|celsius)(?!\w)", re.I), "temp"),
    (re.compile(r"\d\s*(?:lx|lux|fc|ppfd|[uμ]mol)(?!\w)", re.IGNORECASE), "light"),
)
# The usual dates of frost are set by `/frost`; these words are of one night, and take a reading.
_ONE_NIGHT = re.compile(
    r"^\W*frosts?\s+(?:warning|forecast|alert|expected|coming|due|is|for|again|\s)*"
    r"(?:tonight|tomorrow|this|last\s+night|overnight|warning|forecast|alert|expected|coming)(?!\w)",
    re.IGNORECASE,
)
_GREETING = re.compile(
    r"^\W*(?:hi|hiya|hello|hey|good\s+(?:morning|afternoon|evening|day))"
    r"(?:\s+(?:there|all|everyone|bot))?\W*$",
    re.IGNORECASE,
)
# `can I plant out tomatoes?` and `when do peppers go out?` ask for a crop's dates too.
_OUT_YET = re.compile(
    r"^\W*(?:(?:can|could|may|should)\s+(?:i|we|you|one)|is\s+it\s+(?:safe|time|ok|okay|too\s+early)\s+to)"
    r"\s+(?:plant|put|set|transplant|move)(?!\w)(?=.*\b(?:out|outside|outdoors|transplant)\b)",
    re.IGNORECASE,
)
_IN_TRAY = re.compile(
    r"^\W*(?:show(?:\s+me)?|what'?s\s+in|what\s+is\s+in)\s+(?=(?:tray\s+)?t?\d{1,4}\W*$)",
    re.IGNORECASE,
)
_OUT_OF = re.compile(r"out\s+of\s", re.IGNORECASE)  # `10 out of 12 up` is no hardening
_LEAST_NEAR = 3  # letters below which a word lies near too many others
_NEAR = {3: 66.0}  # likeness (0-100) from which a command word is offered, by letters typed
_NEAR_LONGER = 75.0  # `thanks` is no slip of `tasks`
_WEAK = ("up", "out", "low", "light", "dry", "wet", "showing", "outside", "tonight", "plant")


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A command and the words that belong to it."""

    command: Command
    args: str
    echoes: tuple[Echo, ...] = ()


@functools.cache
def _phrases(later: bool) -> re.Pattern[str]:
    words = [
        word for word, command in WORDS.items() if (command.later or not later)
        and not (later and command.section == "buttons")
    ]  # fmt: skip
    ordered = sorted(words, key=len, reverse=True)
    listed = "|".join(re.escape(one).replace("\\ ", r"\s+") for one in ordered)
    return re.compile(rf"(?<![\w'-])(?:{listed})(?![\w'-])", re.IGNORECASE)


def find_command(line: str) -> Found | None:
    """Return the command of a cleaned line, or None."""
    flat = plain(line)
    lead = _LEAD.match(flat)
    at = lead.end() if lead else 0
    slash = bool(lead and lead["slash"])
    if line[at:].strip() == "?":
        return Found(command=WORDS["help"], args="")
    if _GREETING.match(flat):
        return Found(command=WORDS["start"], args="")
    if tray := _IN_TRAY.match(flat):
        return Found(command=WORDS["tray"], args=line[tray.end() :].strip(" .!?"))
    if _ONE_NIGHT.match(flat):
        return Found(command=WORDS["forecast"], args=line)
    if not slash and (asked := _OUT_YET.match(flat)):
        return Found(command=WORDS["when"], args=_trim(line[asked.end() :]))
    if not slash and _WHEN_TO.match(flat):
        return Found(command=WORDS["ask"], args=line)
    for begin in (lead.start("polite") if lead else 0, at):
        if start := _phrases(False).match(flat, begin):
            return _found(_of(start[0]), line[begin:], 0, start.end() - begin)
    if slash:
        return _slip(line, at, slash=True)
    hits = [hit for hit in _phrases(True).finditer(flat) if not _OUT_OF.match(flat, hit.start())]
    strong = [hit for hit in hits if fold(hit[0]) not in _WEAK]
    if _QUESTION.match(flat):
        return Found(command=WORDS["ask"], args=line)
    if hits:
        hit = (strong or hits)[0]
        return _found(_of(hit[0]), line, hit.start(), hit.end())
    if slip := _slip(line, at, slash=False):
        return slip
    for reading, word in _READINGS:
        if reading.search(flat):  # `T1 68F` says what it is by its unit
            return Found(command=WORDS[word], args=_trim(line[at:]))
    return None


def _of(text: str) -> Command:
    return WORDS[fold(text)]


def _found(command: Command, line: str, start: int, end: int) -> Found:
    typed = fold(line[start:end])
    if typed in command.kept:
        args = line
    else:
        args = line[:start] + " " + line[end:]
    return Found(command=command, args=_trim(args))


def _trim(args: str) -> str:
    return re.sub(r"^(?:[^\w:#\"'(.@°+-]|_)+", "", args).strip()


def _slip(line: str, at: int, *, slash: bool) -> Found | None:
    """Return the command whose word lies one or two slips from the first word."""
    word = re.match(r"[^\W\d_]+", line[at:])
    if not word:
        return None
    near = _near(fold(word[0]), slash)
    if near is None:
        return None
    rest = line[at + word.end() :]
    return Found(
        command=WORDS[near], args=_trim(f"{near if near in WORDS[near].kept else ''} {rest}"),
        echoes=(Echo(typed=word[0], read=near),),
    )  # fmt: skip


@functools.lru_cache(maxsize=512)
def _near(typed: str, slash: bool) -> str | None:
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    if not 3 < len(typed) < 20 or is_real(typed):
        return None  # `/list` and `/weather` are words of their own, no slips of `lost` and `water`
    allowed = 1 if len(typed) < (6 if slash else 8) else 2
    words = [word for word in WORDS if len(word) > 3 and " " not in word]
    hits = process.extract(typed, words, scorer=OSA.distance, score_cutoff=allowed, limit=None)
    if not hits:
        return None
    best = min(distance for _, distance, _ in hits)
    nearest = [word for word, distance, _ in hits if distance == best]
    if len({WORDS[word].word for word in nearest}) > 1:
        return None
    own = [word for word in nearest if word == WORDS[word].word]
    return (own or nearest)[0]


def nearest_words(typed: str) -> tuple[str, ...]:
    """Return up to three command words somewhat like a typed one, best first."""
    from rapidfuzz import fuzz, process

    if len(typed) < _LEAST_NEAR:
        return ()
    words = [word for word, command in WORDS.items() if command.section != "buttons"]
    if len(typed) == _LEAST_NEAR:
        words = [word for word in words if word == WORDS[word].word and word[0] == plain(typed[0])]
    hits = process.extract(
        fold(typed[:40]),
        words,
        scorer=fuzz.ratio,
        limit=6,
        score_cutoff=_NEAR.get(len(typed), _NEAR_LONGER),
    )
    return tuple(dict.fromkeys(WORDS[word].word for word, _, _ in hits))[:3]


def bare_look(line: str, context: GrammarContext) -> Request | None:
    """Return what a line shows that is nothing but a tray's code or a crop's name."""
    text = line.strip(" .!?")
    if text.upper() in {code.upper() for code in context.trays} or re.fullmatch(
        r"[tT]\d{1,4}", text
    ):
        return ShowTray(tray=text.upper())
    if len(text) <= 60 and (crop := exact(text).crop) is not None:
        return CropInfo(crop=crop.id)
    return None
