"""The letters: two free faces shipped beside this file (faces/OFL.txt), and how wide they are."""

from __future__ import annotations

import functools
import unicodedata
from pathlib import Path

from PIL import ImageFont

ASCENT, DESCENT = 1.0, 0.245
"""Room of a letter above and below its line, per unit of size; the tallest marks included."""

LINE = ASCENT + DESCENT
MEASURED_AT = 120
CUT = "…"

COVERED = frozenset(
    code
    for first, last in (
        (0x20, 0x7E), (0xA0, 0x17F), (0x192, 0x192), (0x1A0, 0x1A1), (0x1AF, 0x1B0),
        (0x1CD, 0x1DC), (0x1E6, 0x1E7), (0x1EA, 0x1EB), (0x1FA, 0x1FF), (0x218, 0x21B),
        (0x2C6, 0x2C7), (0x2D8, 0x2DD), (0x386, 0x386), (0x388, 0x38A), (0x38C, 0x38C),
        (0x38E, 0x3A1), (0x3A3, 0x3CE), (0x400, 0x45F), (0x490, 0x491), (0x1E80, 0x1E85),
        (0x1E9E, 0x1E9E), (0x1EA0, 0x1EF9), (0x2010, 0x2015), (0x2018, 0x201E),
        (0x2020, 0x2022), (0x2026, 0x2026), (0x2030, 0x2030), (0x2032, 0x2033),
        (0x2039, 0x203A), (0x2044, 0x2044), (0x20AC, 0x20AC), (0x2122, 0x2122),
        (0x2153, 0x2154), (0x215B, 0x215E),
    )
    for code in range(first, last + 1)
)  # fmt: skip
"""Code points the faces have; tests hold it against the files."""

INSTEAD = {
    "→": ">", "−": "–", "≤": "<=", "≥": ">=", "≠": "/=", "\u202f": " ", "\u2009": " ",
    "\t": " ", "\n": " ",
}  # fmt: skip

BLANK = "____"
"""For a word in letters the faces lack: a line to write it on by hand; the caption has it."""


@functools.cache
def path(bold: bool = False) -> Path:
    """Return the file of a face."""
    return Path(__file__).parent / "faces" / f"NotoSans-{'Bold' if bold else 'Regular'}.ttf"


@functools.lru_cache(maxsize=64)
def face(pixels: int, bold: bool) -> ImageFont.FreeTypeFont:
    """Return a face at a size in pixels."""
    return ImageFont.truetype(str(path(bold)), pixels, layout_engine=ImageFont.Layout.BASIC)


def covered(text: str) -> str:
    """Return a text in letters the faces have.

    A letter loses a mark they lack; a run of letters of another script becomes a blank line; a
    sign such as a picture letter is left out.
    """
    if all(ord(char) in COVERED for char in text):
        return text
    found: list[str] = []
    for char in unicodedata.normalize("NFC", text):
        char = INSTEAD.get(char, char)
        if all(ord(c) in COVERED for c in char):
            found.append(char)
            continue
        base = "".join(c for c in unicodedata.normalize("NFKD", char) if ord(c) in COVERED)
        if base.strip():
            found.append(base)
        elif unicodedata.category(char)[0] in "LN" and found[-1:] != [BLANK]:
            found.append(BLANK)
    return "".join(found)


@functools.lru_cache(maxsize=4096)
def width(text: str, size: float, bold: bool = False) -> float:
    """Return the width of a text in points."""
    return face(MEASURED_AT, bold).getlength(text) * size / MEASURED_AT


def cut(text: str, size: float, most: float, bold: bool = False) -> str:
    """Return a text no wider than `most` points, shortened with `…` where it must be."""
    text = covered(text)
    if width(text, size, bold) <= most:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(text[:middle].rstrip() + CUT, size, bold) <= most:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + CUT


def wrapped(text: str, size: float, most: float, lines: int, bold: bool = False) -> tuple[str, ...]:
    """Return a text on at most `lines` lines no wider than `most`; the last is cut if it must."""
    words = covered(text).split()
    found: list[str] = []
    while words and len(found) < lines - 1:
        count = 1
        while count < len(words) and width(" ".join(words[: count + 1]), size, bold) <= most:
            count += 1
        found.append(cut(" ".join(words[:count]), size, most, bold))
        words = words[count:]
    if words:
        found.append(cut(" ".join(words), size, most, bold))
    return tuple(found)
