"""The one way of drawing: paper, five inks, three weights of line, four sizes of letters.

What something is, is said by its name beside it; how it stands, by the form of a sign; how sure
it is, by the weight of a line. A colour repeats what a form says and never says it alone, so that
a copier and every eye lose nothing. Checked by: tests/pictures/test_style.py.
"""

from __future__ import annotations

PAPER = "#fcfaf5"

INK = "#26221c"
"""Every word, and the lines of what lives."""

ACCENT = "#1d5a4f"
"""What grows."""

WARN = "#a1341a"
"""What is lost, too much or too late, and today."""

MOSS = "#6a8c75"
STONE = "#857c6c"
"""The tints: moss for what is taken or expected, stone for rules, edges and what is only planned;
neither carries words."""

INKS = {"text": INK, "accent": ACCENT, "warning": WARN, "moss": MOSS, "stone": STONE}

FINE, PLAIN_LINE, STRONG = 0.7, 1.3, 2.6
"""Weights of lines, points: rules and plans; what is done; what lives."""

MARGIN = 14.0
SMALL = 11.0  # the least size of any word
PLAIN = 12.5
NAME = 14.0
HEAD = 17.0

MARKS = ("disc", "square", "diamond", "triangle", "ring", "cross")
"""Signs that tell several curves apart; each curve also ends in its name."""
