"""Numbers in figures and words, and quantities with their units."""

from __future__ import annotations

from fractions import Fraction

from bot.reading.scan import Mention, Scan


def number_at(scan: Scan, i: int) -> tuple[Fraction, int] | None:
    """Return the number that begins at token `i` and the index behind it."""
    if i >= len(scan.tokens):
        return None
    token = scan.tokens[i]
    if token.kind == "num":
        text = token.text
        if "," in text and len(text.split(",")[-1]) == 3 and not text.startswith("0"):
            return Fraction(text.replace(",", "")), i + 1
        return Fraction(text.replace(",", ".")), i + 1
    if token.kind == "frac":
        whole, _, part = token.text.replace("-", " ").rpartition(" ")
        top, bottom = part.split("/")
        if int(bottom) not in (2, 3, 4, 8):
            return None
        return Fraction(int(whole or 0)) + Fraction(int(top), int(bottom)), i + 1
    return _words_number(scan, i)


def _words_number(scan: Scan, i: int) -> tuple[Fraction, int] | None:
    for lexicon in scan.order:
        for size in (3, 2, 1):
            words = scan.words[i : i + size]
            value = lexicon.numbers.get(" ".join(words))
            if value is None or len(words) < size:
                continue
            if lexicon is not scan.order[0] and scan.common(words[0]):
                continue
            after = i + size
            if scan.words[after : after + 1] in (["dozen"], ["docenas"]) and value < 12:
                return Fraction(12 * value), after + 1
            if value in (20, 30, 40, 50, 60, 70, 80, 90):
                joint = after + 1 if scan.words[after : after + 1] in (["y"], ["-"]) else after
                unit = lexicon.numbers.get(" ".join(scan.words[joint : joint + 1]))
                if unit is not None and 1 <= unit <= 9:
                    return Fraction(value + unit), joint + 1
            return Fraction(value), after
        hyphened = scan.words[i].split("-")
        parts = [lexicon.numbers.get(part) for part in hyphened]
        if len(parts) == 2 and parts[0] and parts[1] and parts[0] >= 20:
            return Fraction(parts[0] + parts[1]), i + 1
    return None


def _part_of_unit(scan: Scan, i: int) -> tuple[Fraction, int] | None:
    """Return `half an` and `a quarter of an` before a unit of length or time."""
    for key, value in (("half", Fraction(1, 2)), ("quarter", Fraction(1, 4))):
        size = scan.is_(i, "fraction", key)
        if size and any(
            scan.is_(i + size, "unit", unit) for unit in ("inch", "cm", "hour")
        ):  # fmt: skip
            return value, i + size
    if (
        i + 1 < len(scan.words)
        and scan.words[i] in _ARTICLES
        and any(
            scan.is_(i + 1, "unit", unit) and len(scan.words[i + 1]) > 2
            for unit in ("inch", "cm", "hour", "minute")
        )
    ):  # `an inch deep`, `out for an hour`
        return Fraction(1), i + 1
    return None


_ARTICLES = ("a", "an", "un", "una")
_UNITS = ("c", "f", "mm", "cm", "lux", "ppfd", "fc", "hour", "minute", "ppm", "percent", "litre")


def quantity(scan: Scan, i: int) -> Mention | None:
    start, minus, plus = i, False, False
    if scan.words[i] in ("-", "minus", "menos"):
        glued = scan.words[i] != "-" or (
            i + 1 < len(scan.tokens) and scan.tokens[i + 1].start == scan.tokens[i].end
            and (i == 0 or scan.tokens[i - 1].end < scan.tokens[i].start)
        )  # fmt: skip
        if not glued:
            return None
        minus, i = True, i + 1
    elif scan.words[i] == "+":
        plus, i = True, i + 1
    got = _part_of_unit(scan, i) or number_at(scan, i)
    if got is None:
        return None
    value, after = got
    if scan.is_(after, "link", "point") and value.denominator == 1:  # as it is dictated
        tenth = number_at(scan, after + 1)
        if tenth is not None and tenth[0].denominator == 1 and 0 <= tenth[0] < 10:
            if _unit(scan, tenth[1]) is not None:
                value, after = value + tenth[0] / 10, tenth[1]
    if minus:
        value = -value
    if scan.words[after : after + 1] == ["k"]:
        value, after = value * 1000, after + 1
    if plus:
        return Mention("num", value, start, after - 1, prep="more")
    if unit := _unit(scan, after):
        name, size = unit
        return Mention(name, value, start, after + size - 1)
    return Mention("num", value, start, after - 1)


def _unit(scan: Scan, i: int) -> tuple[str, int] | None:
    for name in _UNITS:
        if size := scan.is_(i, "unit", name):
            return name, size
    if size := scan.is_(i, "unit", "inch"):
        after = scan.words[i + size] if i + size < len(scan.words) else ""
        closes = not after or not after[0].isalnum() or after[0].isdigit()
        if scan.words[i] != "in" or closes or after in ("deep", "down", "over", "above", "and"):
            return "inch", size
    if size := scan.is_(i, "unit", "degree"):
        return "degree", size
    return None
