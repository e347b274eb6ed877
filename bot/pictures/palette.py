"""Colours and patterns that stay apart for every eye.

The crop colours were searched for: seven fills, light enough for dark letters (contrast of at
least 5 to 1), whose least distance from each other and from white, in CIELAB, is the greatest
found under ordinary sight, protanopia, deuteranopia and tritanopia alike.
Checked by: tests/pictures/test_palette.py.
"""

from __future__ import annotations

PAPER = "#ffffff"
INK = "#111111"
SOFT = "#595959"  # lesser words; contrast with paper 7 to 1
RULE = "#d4d4d4"
WARM = "#9c3d10"  # warnings and today's line; never alone, always with words
SHADE = "#e9e9ef"

CROPS = ("#a4ffa4", "#b1b1f2", "#f2d856", "#e5703c", "#708aff", "#b18aa4", "#d88a7d")

LINES = ("#1f4e8c", "#9c3d10", "#2f6b3c", "#6b2a7a", "#3b3b3b", "#7a6500")
"""Colours of curves; each also has its own mark and dash."""

DASHES: tuple[tuple[float, float] | None, ...] = (None, (6, 3), (2, 3), (9, 3), (4, 2), (1, 2))
MARKS = ("disc", "square", "diamond", "triangle", "ring", "disc")

PATTERNS = ("dots", "slant", "cross", "rows", "bars")

STAGES = {
    "sown": "dots",
    "up": "slant",
    "thinned": None,
    "potted": "cross",
    "hardening": "rows",
}
"""Pattern of each stage of a sowing; None = plain."""


def darker(colour: str, share: float = 0.45) -> str:
    """Return a colour with its light reduced to `share`."""
    parts = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return "#" + "".join(f"{round(part * share):02x}" for part in parts)
