"""Five inks stand out on their paper for every eye and through a copier.

Colour blindness is simulated by the matrices of Machado, Oliveira and Fernandes (2009), IEEE
Transactions on Visualization and Computer Graphics 15(6): 1291-1298, severity 1.0, on linear
light; contrast is that of the Web Content Accessibility Guidelines 2.1.
A copier keeps the lightness alone.
"""

from __future__ import annotations

import numpy as np
import pytest

from bot.pictures import cell_signs, style
from tests.pictures.drawings import CASES

EYES = {
    "ordinary": np.eye(3),
    "copier": np.array([[0.2126, 0.7152, 0.0722]] * 3),
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


def linear(colour: str) -> np.ndarray:
    parts = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def seen(colour: str, eye: str) -> np.ndarray:
    return np.clip(EYES[eye] @ linear(colour), 0, 1)


def contrast(one: str, other: str, eye: str = "ordinary") -> float:
    light = sorted(float(TO_XYZ[1] @ seen(c, eye)) for c in (one, other))
    return (light[1] + 0.05) / (light[0] + 0.05)


TEXT, GRAPHICS = 4.5, 3.0
"""Least contrast, WCAG 2.1, 1.4.3 and 1.4.11."""


def test_there_are_five_inks_and_no_colour_besides() -> None:
    assert len(style.INKS) == 5
    allowed = {*style.INKS.values()}
    for name, make in CASES.items():
        for piece in make().pieces:
            for colour in (getattr(piece, n, None) for n in ("fill", "edge", "colour")):
                assert colour is None or colour in allowed, (name, piece)


@pytest.mark.parametrize("eye", EYES)
def test_words_stand_out_on_paper(eye: str) -> None:
    for ink in (style.INK, style.ACCENT, style.WARN):
        assert contrast(ink, style.PAPER, eye) >= TEXT, ink


@pytest.mark.parametrize("eye", EYES)
def test_every_ink_stands_out_on_paper(eye: str) -> None:
    for ink in style.INKS.values():
        assert contrast(ink, style.PAPER, eye) >= GRAPHICS, ink


def test_words_are_written_in_inks_for_words_only() -> None:
    for make in CASES.values():
        colours = {text.colour for text in make().texts()}
        assert colours <= {style.INK, style.ACCENT, style.WARN}


def test_letters_come_in_four_sizes() -> None:
    for make in CASES.values():
        sizes = {text.size for text in make().texts()}
        assert sizes <= {style.SMALL, style.PLAIN, style.NAME, style.HEAD}


def test_signs_of_cells_differ_in_form_and_not_in_colour_alone() -> None:
    assert len(set(cell_signs.SIGNS.values())) == len(cell_signs.SIGNS)


def test_a_pale_ink_would_not_pass() -> None:
    """The check can fail: a grid of the grey that is lost in sunlight."""
    assert contrast("#d4d4d4", style.PAPER) < GRAPHICS
