"""Numbers and quantities with units: temperatures, lengths, light, hours, percentages."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from bot.grammar.problems import NumberOdd
from bot.grammar.text import Bag
from core.folding import fold

LUX_PER_FOOT_CANDLE = 10.764  # 1 lm ft-2 in lm m-2; NIST SP 811, appendix B.8
MM_PER_INCH = 25.4  # exact; NIST SP 811, appendix B.8

WORDS: dict[str, int | Fraction] = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "dozen": 12, "a dozen": 12,
    "half a": Fraction(1, 2), "half an": Fraction(1, 2), "half": Fraction(1, 2),
}  # fmt: skip
_WORDS = "|".join(sorted(WORDS, key=len, reverse=True)).replace(" ", r"\s+")
NUMBER = (
    r"(?<![\w.,/])(?:"
    r"\d{1,9}\s+\d{1,3}/\d{1,3}|\d{1,3}/\d{1,3}|"
    r"\d{1,3}(?:,\d{3})+(?![\d,])|"
    r"\d{1,9}(?:[.,]\d{1,9})?|[.,]\d{1,9}|"
    rf"{_WORDS})"
)
COUNT = rf"(?<![\w.,/-])(?:\d{{1,3}}(?:,\d{{3}})+(?![\d,/])|\d{{1,9}}|{_WORDS})(?![\w/%°\"]|[.,]\d)"


def value(text: str, *, thousands: bool = False) -> Fraction:
    """Return the number of a piece that NUMBER matched.

    `1,5` is one and a half; `4,500` is 4500 where `thousands`, else 4.5.
    """
    text = fold(text)
    if text in WORDS:
        return Fraction(WORDS[text])
    if " " in text:
        whole, part = text.split(" ")
        return Fraction(int(whole)) + value(part)
    if "/" in text:
        top, bottom = text.split("/")
        return Fraction(int(top), int(bottom)) if int(bottom) else Fraction(0)
    if thousands and re.fullmatch(r"\d{1,3}(,\d{3})+", text):
        return Fraction(text.replace(",", ""))
    try:
        return Fraction(Decimal(text.replace(",", ".")))
    except InvalidOperation:
        return Fraction(0)


def take_count(bag: Bag, *, most: int = 100_000) -> int | None:
    """Claim the first bare whole number and return it; raise NumberOdd above `most`."""
    found = bag.take(COUNT)
    if found is None:
        return None
    number = value(found[0], thousands=True)
    if number.denominator != 1 or number > most:
        raise NumberOdd(command=bag.command, given=float(number), lo=0, hi=most)
    return int(number)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A claimed piece: its value, and where it stood in the whole text."""

    value: float
    start: int
    end: int


def _take(bag: Bag, unit: str, *, thousands: bool = False) -> tuple[Fraction, re.Match[str]] | None:
    found = bag.take(rf"(?P<n>{NUMBER})\s*(?P<k>k\s*)?(?:{unit})(?!\w)")
    if found is None:
        return None
    number = value(found["n"], thousands=thousands)
    return (number * 1000 if found["k"] else number), found


_MM = (
    ("mm|millimet(?:er|re)s?", Fraction(1)),
    ("cm|cms|centimet(?:er|re)s?", Fraction(10)),
    ("inches|inch|ins?|\"|''", Fraction(254, 10)),
)


def take_length_mm(bag: Bag) -> float | None:
    """Claim the first length with a unit; millimetres."""
    for unit, factor in _MM:
        if found := _take(bag, unit):
            return number_of(found[0] * factor)
    return None


GRAMS_PER_OUNCE = 28.349523125  # avoirdupois, exact; NIST SP 811, appendix B.8


def take_grams(bag: Bag) -> float | None:
    """Claim the first weight, grams or ounces; grams."""
    if found := _take(bag, "g|gr|gms?|grams?|grammes?"):
        return number_of(found[0])
    if found := _take(bag, "oz|ounces?"):
        return round(float(found[0]) * GRAMS_PER_OUNCE, 2)
    return None


def number_of(exact: Fraction) -> float:
    """Return a float that shows no more digits than were typed."""
    return round(float(exact), 6)


def take_percent(bag: Bag) -> float | None:
    """Claim the first percentage, 0-100."""
    found = _take(bag, "%|percent|per cent|pct")
    return number_of(found[0]) if found else None


def take_hours(bag: Bag) -> float | None:
    """Claim the first length of time in hours or minutes, `3h`, `2 h 30`, `45 min`; hours."""
    found = bag.take(
        r"(?<![\w.,/])(\d{1,3})(?:h|\s*h(?:ours?|rs?)?(?=\s)|\s*h(?:ours?|rs?))\s*"
        r"(\d{1,2})(?:\s*m(?:in(?:ute)?s?)?)?(?!\w)"
    )  # never `1 H1`, which ends one place and names a cell
    if found:
        return number_of(int(found[1]) + Fraction(int(found[2]), 60))
    if found_hours := _take(bag, "h|hr|hrs|hours?"):
        return number_of(found_hours[0])
    if found_minutes := _take(bag, "m|min|mins|minutes?"):
        return number_of(found_minutes[0] / 60)
    return None


def take_lux(bag: Bag) -> float | None:
    """Claim the first illuminance in lux or foot-candles; lux."""
    if found := _take(bag, "lx|lux", thousands=True):
        return number_of(found[0])
    if found := _take(bag, "fc|foot[- ]?candles?|ft[- ]?c", thousands=True):
        return number_of(found[0] * Fraction(str(LUX_PER_FOOT_CANDLE)))
    return None


def take_ppfd(bag: Bag) -> float | None:
    """Claim the first photon flux density; µmol m-2 s-1."""
    tail = r"(?:\s*(?:/?\s*m-?2(?:\s*[/ ]?\s*s(?:-?1)?)?|/m2/s))?"
    unit = rf"(?:u|μ|micro)?mol(?:es?|s)?{tail}|ppfd"
    if found := _take(bag, unit, thousands=True):
        return number_of(found[0])
    if found_after := bag.take(rf"(?<!\w)(?:ppfd|par)\s*(?P<n>{NUMBER})(?!\w)"):
        return number_of(value(found_after["n"], thousands=True))
    return None


def take_ppm(bag: Bag) -> float | None:
    """Claim the first feed strength in parts per million; mg nitrogen per litre."""
    found = _take(bag, r"ppm(?:\s*n)?|mg/l", thousands=True)
    return number_of(found[0]) if found else None


def celsius(fahrenheit: Fraction | float) -> float:
    """Return degrees Celsius, to a hundredth."""
    return round(float((Fraction(fahrenheit) - 32) * 5 / 9), 2)


_SHARES = {
    "half": 0.5, "a half": 0.5, "1/2": 0.5, "½": 0.5, "quarter": 0.25, "a quarter": 0.25,
    "1/4": 0.25, "¼": 0.25, "third": 1 / 3, "a third": 1 / 3, "1/3": 1 / 3, "full": 1.0,
    "normal": 1.0, "double": 2.0, "media": 0.5, "mitad de": 0.5, "la mitad de": 0.5,
    "un cuarto de": 0.25, "cuarto de": 0.25, "un tercio de": 1 / 3, "doble": 2.0,
}  # fmt: skip

STRENGTH = (
    r"(?<![\w/])(?:(?:at|with|a|con) )?(?:(?P<share>"
    + "|".join(sorted(map(re.escape, _SHARES), key=len, reverse=True))
    + r")|(?P<percent>\d{1,3}) ?%)[ -]?(?:of (?:the )?|de (?:la )?|la )?"
    r"(?:label(?:'?s)? )?(?:strength|dose|rate|dosis|concentraci[oó]n)(?!\w)"
)
"""`half strength`, `at quarter strength`, `50% strength`, `a media dosis`."""


def share_said(found: re.Match[str]) -> float:
    """Return the share of the label's strength that a match of `STRENGTH` says."""
    if found["percent"]:
        return int(found["percent"]) / 100
    return _SHARES[found["share"].lower()]


def take_strength(bag: Bag) -> float | None:
    """Claim the strength of a feed as a share of what its label says."""
    found = bag.take(STRENGTH)
    return share_said(found) if found else None
