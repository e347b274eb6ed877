"""Lines made to be hard to read: phrases of both languages cut up, and signs nobody types."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date
from pathlib import Path

from bot.grammar import GrammarContext, Line, parse
from bot.grammar.commands import WORDS
from bot.reading import read
from tests.telegram.test_fuzz import ODD

FOLDER = Path(__file__).parent / "grammar"
SCRAPS = (
    "T1", "T2-T4", "T99999999999", "A1-Z99", "Z0", "½", "1/0", "-9", "9" * 40, "12", "29 feb",
    "9999-12-31", "0000-00-00", "in 999999 weeks", "°F", "µmol", "%", "→", "—", "for", "para", "to",
    "@traywarden_test_bot", "@", "/", "//", "#", "~", "R1", "S1", "L1", "'", '"', "(", "((((", "\\",
    "\n", "\r\n", "\t", "\x0b", "\x00", "\u202e", "\u2066", "\u200b", "\u0301" * 40, "\ud800",
    "\U0001f331", "👩\u200d🌾", "İ", "ı", "ß", "ﬁ", "１２", "١٢", "Ⅻ", "ｓｏｗ", "ѕow", "中文", "א",
)  # fmt: skip
ODD_WORDS = tuple(value[:600] for value in ODD if isinstance(value, str))
CONTEXTS = tuple(
    GrammarContext(
        today=date(2027, 3, 1),
        private=private,
        fahrenheit=private,
        language=language,
        trays=("T1", "T2", "T5"),
        shelves=("A", "B"),
        lots=("L1",),
        members=("Ana", "Ben Ode", "Işıl"),
        growing=("tomato", "pepper"),
        bot_name="traywarden_test_bot",
    )
    for private in (True, False)
    for language in ("en", "es")
)


def phrases() -> tuple[str, ...]:
    """Return what people type, as the tests of the grammar hold it."""
    found: list[str] = []
    for name in ("phrasings.txt", "phrasings_es.txt"):
        for line in (FOLDER / name).read_text(encoding="utf-8").splitlines():
            if line.strip() and not line.startswith("#"):
                found.append(line.partition("=>")[0].strip())
    return tuple(found)


def crafted(dice: random.Random, known: tuple[str, ...]) -> str:
    """Return one text; the same dice give the same texts."""
    ways: tuple[Callable[[], str], ...] = (
        lambda: _cut(dice, dice.choice(known)),
        lambda: _cut(dice, dice.choice(known)),
        lambda: _spliced(dice, dice.choice(known), dice.choice(known)),
        lambda: "/" + dice.choice((" ", "", "\n")).join(_words(dice, 25)),
        lambda: " ".join(_words(dice, 12)),
        lambda: "\n".join(dice.choice(known) for _ in range(dice.randrange(1, 12))),
        lambda: dice.choice(known) + dice.choice((*SCRAPS, *ODD_WORDS)) * dice.randrange(1, 4),
        lambda: "".join(chr(dice.randrange(0x3000)) for _ in range(dice.randrange(80))),
    )
    return dice.choice(ways)()


def _words(dice: random.Random, most: int) -> list[str]:
    every = (*SCRAPS, *WORDS, *ODD_WORDS)
    return [dice.choice(every) for _ in range(dice.randrange(1, most))]


def _cut(dice: random.Random, text: str) -> str:
    """Return a phrase with a few letters gone, doubled, exchanged or put in."""
    signs = list(text)
    for _ in range(dice.randrange(1, 5)):
        at = dice.randrange(len(signs) + 1)
        match dice.randrange(4):
            case 0:
                del signs[at : at + dice.randrange(1, 4)]
            case 1:
                signs[at:at] = signs[max(0, at - 3) : at]
            case 2:
                signs[at:at] = dice.choice(SCRAPS)
            case _:
                signs[at : at + 1] = chr(
                    dice.choice((0x20, 0x2D, 0x2E, 0x131, 0xE9, 0x4E2D, 0x202E))
                )
    return "".join(signs)


def _spliced(dice: random.Random, one: str, other: str) -> str:
    return one[: dice.randrange(len(one) + 1)] + other[dice.randrange(len(other) + 1) :]


def outcomes(text: str, context: GrammarContext) -> tuple[Line, ...]:
    """Read a text both ways; assert that every line has exactly one outcome."""
    both = (*parse(text, context), *read(text, context))
    for line in both:
        said = [line.request is not None, line.problem is not None, bool(line.choices)]
        assert sum(said) + bool(line.proposed and not any(said)) == 1, (text, line)
    return both
