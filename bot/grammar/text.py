"""Typed text made plain, and a bag from which known pieces are taken one by one."""

from __future__ import annotations

import functools
import re
import unicodedata
from collections.abc import Callable

from bot.grammar.context import Echo, GrammarContext
from core.folding import fold

TAKEN = "\x00"  # stands, sign for sign, where a piece was taken
MAX_TEXT = 4096  # UTF-16 units of one message on the platform; also plenty at a prompt

_VULGAR = re.compile(r"(\d?)[ \t]*([¼½¾⅐-⅞])")
_SAME = {
    **dict.fromkeys("‘’‚‛′`´", "'"),
    **dict.fromkeys("“”„‟«»", '"'),
    "″": '"',
    **dict.fromkeys("‐‑‒–—―−", "-"),
    "×": "x",
    "→": "->",
    "…": "...",
    "⁄": "/",
    "℃": "°C",
    "℉": "°F",
    "、": ",",
    "،": ",",
    "。": ".",
    TAKEN: " ",
}


def clean(text: str) -> str:
    """Return `text` with one form for each sign: plain digits, quotes, dashes and blanks.

    Signs without a width vanish, so that pasted text reads like typed text; line ends stay.
    """
    text = _VULGAR.sub(_fraction, text)
    out: list[str] = []
    for sign in text:
        same = _SAME.get(sign)
        if same is not None:
            out.append(same)
            continue
        kind = unicodedata.category(sign)
        if kind == "Nd":
            out.append(str(unicodedata.decimal(sign)))
        elif sign in "\n\r\v\f\x85\u2028\u2029":
            out.append("\n")
        elif kind.startswith("Z") or sign == "\t":
            out.append(" ")
        elif kind in ("Cf", "Cc", "Cs", "Cn") or sign in "\ufe0e\ufe0f\u20e3":
            continue
        else:
            out.append(sign)
    plain = unicodedata.normalize("NFKC", "".join(out))
    return "\n".join(" ".join(line.split()) for line in plain.split("\n"))


def _fraction(found: re.Match[str]) -> str:
    parts = unicodedata.normalize("NFKC", found[2]).replace("⁄", "/")
    return f"{found[1]} {parts}" if found[1] else parts


def word(pattern: str) -> str:
    """Return a pattern that matches whole words only."""
    return rf"(?<![\w])(?:{pattern})(?![\w])"


@functools.lru_cache(maxsize=4096)
def _compiled(pattern: str) -> re.Pattern[str]:
    """Return a pattern ready to search with: there are more of them than `re` itself keeps."""
    return re.compile(pattern, re.IGNORECASE)


class Bag:
    """The words of one command that nobody has claimed yet.

    Pieces are masked where they stood, so positions keep their meaning.
    """

    def __init__(self, text: str, context: GrammarContext, command: str) -> None:
        self.whole = text
        self.rest = text
        self.context = context
        self.command = command
        self.echoes: list[Echo] = []
        self.read: Callable[[str], object] | None = None  # of a command within a command
        self.variety: str | None = None  # a variety known here, claimed by its name
        self.variety_crops: tuple[str, ...] | None = None  # its crops; None = not looked for yet

    def find(self, pattern: str) -> re.Match[str] | None:
        """Return the first unclaimed piece that matches, without claiming it."""
        return _compiled(pattern).search(self.rest)

    def take(self, pattern: str) -> re.Match[str] | None:
        """Claim the first piece that matches."""
        found = self.find(pattern)
        if found is not None:
            self.mask(found.start(), found.end())
        return found

    def has(self, words: str) -> bool:
        """Claim the first of `words` (a pattern of whole words); tell whether one stood."""
        return self.take(word(words)) is not None

    def drop(self, words: str) -> None:
        """Claim every one of `words`: they add nothing to the meaning."""
        while self.has(words):
            pass

    def mask(self, start: int, end: int) -> None:
        """Claim a span."""
        self.rest = self.rest[:start] + TAKEN * (end - start) + self.rest[end:]

    def echo(self, typed: str, read: str) -> None:
        """Remember a slip read through."""
        self.echoes.append(Echo(typed=typed, read=read))

    def left(self) -> list[tuple[int, int, str]]:
        """Return the unclaimed words that are no mere link words: start, end, word."""
        found = re.finditer(r"[^\W_]+(?:['-][^\W_]+)*", self.rest)
        return [(m.start(), m.end(), m[0]) for m in found if fold(m[0]) not in LINK_WORDS]

    def left_text(self) -> str:
        """Return the unclaimed text with its inner signs, trimmed."""
        pieces = [piece.strip(" ,;.:-") for piece in self.rest.split(TAKEN)]
        return " ".join(" ".join(piece for piece in pieces if piece).split())


_LINKS = (
    "a an the of in on at to is are was were be been and or with please pls thanks thx my our "
    "we i i've we've have has had just now it its there this that so far from for by as also "
    "new ok okay hi hello hey got did do done"
)
LINK_WORDS = frozenset(_LINKS.split())

# Words of the grammar itself that lie near a crop's name: never read as a slip of one.
_OWN_WORDS = (
    "cell cells seed seeds plant plants seedling seedlings tray trays shelf lamp light row rows "
    "column columns below above more another none nothing all every everything soil mix compost "
    "outside inside tonight today date dates spring early late lower upper pots pot packet "
    "treated label lost leaf leaves damp damping mould mold slug slugs mouse mice heat cold dead "
    "died root roots stem stems letter paper file sheet share times depth deep beds garden bench "
    "chair corner sorry need minus cover many after maybe looks pans aphids mites core page mean "
    "means team class group house home helper sowed sown yesterday tomorrow march april june july"
)
NO_TYPO = LINK_WORDS | frozenset(_OWN_WORDS.split())
