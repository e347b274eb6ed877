"""Colours stay apart for every eye, and letters can be read on them.

Colour blindness is simulated by the matrices of Machado, Oliveira and Fernandes (2009), IEEE
Transactions on Visualization and Computer Graphics 15(6): 1291-1298, severity 1.0, on linear
light; contrast is that of the Web Content Accessibility Guidelines 2.1; distance is CIE 1976
in CIELAB, white point D65.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from bot.pictures import palette as p

EYES = {
    "ordinary": np.eye(3),
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
WHITE = np.array([0.9505, 1.0, 1.089])
APART = 25.0
"""Least distance; two is just noticeable side by side."""


def linear(colour: str) -> np.ndarray:
    parts = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def seen(colour: str, eye: str) -> np.ndarray:
    return np.clip(EYES[eye] @ linear(colour), 0, 1)


def lab(light: np.ndarray) -> np.ndarray:
    x = (TO_XYZ @ light) / WHITE
    f = np.where(x > 216 / 24389, np.cbrt(x), (24389 / 27 * x + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def contrast(one: str, other: str, eye: str = "ordinary") -> float:
    light = sorted(float(TO_XYZ[1] @ seen(c, eye)) for c in (one, other))
    return (light[1] + 0.05) / (light[0] + 0.05)


@pytest.mark.parametrize("eye", EYES)
def test_crops_are_told_apart_by_every_eye(eye: str) -> None:
    for one, other in combinations((*p.CROPS, p.PAPER), 2):
        assert np.linalg.norm(lab(seen(one, eye)) - lab(seen(other, eye))) >= APART, (one, other)


@pytest.mark.parametrize("eye", EYES)
def test_letters_stand_out_on_every_fill(eye: str) -> None:
    for fill in (*p.CROPS, p.PAPER, p.SHADE):
        assert contrast(p.INK, fill, eye) >= 4.5, fill


@pytest.mark.parametrize("eye", EYES)
def test_lesser_words_and_lines_stand_out_on_paper(eye: str) -> None:
    for colour in (p.SOFT, p.WARM, *p.LINES):
        assert contrast(colour, p.PAPER, eye) >= 4.5, colour


def test_patterns_show_on_their_fill() -> None:
    for fill in p.CROPS:
        assert contrast(p.darker(fill), fill) >= 2.5, fill


def test_red_and_green_of_equal_light_would_not_pass() -> None:
    """The check can fail: a pair that deuteranopes famously confuse."""
    pair = [lab(seen(c, "deuteranopia")) for c in ("#d95f5f", "#9a8a4a")]
    ordinary = [lab(seen(c, "ordinary")) for c in ("#d95f5f", "#9a8a4a")]
    assert np.linalg.norm(ordinary[0] - ordinary[1]) > APART
    assert np.linalg.norm(pair[0] - pair[1]) < APART
