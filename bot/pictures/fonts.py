"""The letters: the free faces that ReportLab carries, so that no machine needs fonts of its own."""

from __future__ import annotations

import functools
import unicodedata
from importlib.util import find_spec
from pathlib import Path

from PIL import ImageFont

ASCENT, DESCENT = 0.928, 0.236
"""Of the face, per unit of size."""

LINE = ASCENT + DESCENT
MEASURED_AT = 120
CUT = "…"

COVERED = frozenset(
    code
    for first, last in (
        (0x20, 0x7E), (0xA0, 0xFF), (0x106, 0x107), (0x10C, 0x111), (0x11E, 0x11F),
        (0x130, 0x131), (0x141, 0x142), (0x152, 0x153), (0x15E, 0x161), (0x178, 0x178),
        (0x17D, 0x17E), (0x2013, 0x2014), (0x2018, 0x201A), (0x201C, 0x201E), (0x2020, 0x2022),
        (0x2026, 0x2026), (0x20AC, 0x20AC), (0x2212, 0x2212), (0x2260, 0x2260), (0x2264, 0x2265),
    )
    for code in range(first, last + 1)
)  # fmt: skip
"""Code points the faces have; tests hold it against the files."""

INSTEAD = {"→": ">", "‑": "-", "‐": "-", "\u202f": " ", "\u2009": " ", "\t": " ", "\n": " "}


@functools.cache
def path(bold: bool = False) -> Path:
    """Return the file of a face."""
    spec = find_spec("reportlab")
    assert spec is not None
    assert spec.submodule_search_locations
    return (
        Path(spec.submodule_search_locations[0]) / "fonts" / ("VeraBd.ttf" if bold else "Vera.ttf")
    )


@functools.lru_cache(maxsize=64)
def face(pixels: int, bold: bool) -> ImageFont.FreeTypeFont:
    """Return a face at a size in pixels."""
    return ImageFont.truetype(str(path(bold)), pixels, layout_engine=ImageFont.Layout.BASIC)


def covered(text: str) -> str:
    """Return a text in letters the faces have: without marks they lack, else `?`."""
    if all(ord(char) in COVERED for char in text):
        return text
    found: list[str] = []
    for char in unicodedata.normalize("NFC", text):
        char = INSTEAD.get(char, char)
        if ord(char) in COVERED:
            found.append(char)
            continue
        base = "".join(c for c in unicodedata.normalize("NFKD", char) if ord(c) in COVERED)
        if base:
            found.append(base)
        elif not unicodedata.category(char).startswith(("M", "C")) and found[-1:] != ["?"]:
            found.append("?")
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
