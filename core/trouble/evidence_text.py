"""Readings inside a sentence: "lamp is 30 cm above", "it's 15C in there", "soil is soaked".

Only what carries its unit, or stands beside the word that says what it measures, is taken.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass

from core.trade.tables.registry import Complaint, ident, plain, register, text
from core.trouble.conditions import Value
from core.trouble.evidence import VARIABLES, Evidence, Origin, variables_if_sound


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """Words that stand for a reading; patterns are regular expressions, lower case."""

    id: str = ident()
    variable: str = ident()
    value: float | bool | str = plain()
    patterns: tuple[str, ...] = text()


def _check_cues(rows: tuple[Cue, ...]) -> Iterator[Complaint]:
    variables = variables_if_sound()
    for row in rows:
        variable = None if variables is None else variables.get(row.variable)
        if variables is not None and (variable is None or not variable.accepts(row.value)):
            yield Complaint(row=row.id, field="value", values={"given": row.value})
        for pattern in row.patterns:
            try:
                re.compile(pattern)
            except re.error as error:
                yield Complaint(row=row.id, field="patterns", values={"reason": str(error)})


CUES = register("cue", Cue, file="evidence.toml", check=_check_cues)

_NUMBER = r"(?P<n>(?<![\d.,])-?\d{1,6}(?:[.,]\d{1,2})?)"
_COUNT = r"(?P<n>\d{1,3}|an?|one|two|three|four|five|six|seven|eight|nine|ten|couple of)"
_LAMP = r"(?:lamps?|lights?|tubes?|bulbs?|leds?|fixtures?|panels?|l[aá]mparas?|luz|luces|tubos?)"
_DENIED = re.compile(
    r"\b(?:not|no|never|isnt|arent|isn't|aren't|wasn't|wasnt|without|sin|nunca)\W+(?:\w+\W+)?$"
)
_NUMBER_WORDS = (
    *("zero", "one", "two", "three", "four", "five"),
    *("six", "seven", "eight", "nine", "ten"),
)
_COUNTS = {
    **{"a": 1, "an": 1, "couple of": 2},
    **{word: n for n, word in enumerate(_NUMBER_WORDS)},
}
_CM = {
    "cm": 1.0,
    "mm": 0.1,
    "m": 100.0,
    "in": 2.54,
    "inch": 2.54,
    "inches": 2.54,
    '"': 2.54,
    "ft": 30.48,
    "feet": 30.48,
    "foot": 30.48,
}
_DAYS_ES = {"d": 1, "s": 7, "m": 30}
_DAYS = {"day": 1, "days": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7, "month": 30, "months": 30}

_TEMPERATURE = re.compile(
    _NUMBER + r"\s?(?:°|º|degrees?|deg|grados?)?\s?(?P<u>c|f|celsius|fahrenheit|centigrade)\b"
)
_BARE_DEGREES = re.compile(_NUMBER + r"\s?(?:°|º|degrees?\b|deg\b|grados?\b)(?!\s?[cf]\b)")
_LENGTH = _NUMBER + r'\s?(?P<u>cm|mm|m|inches|inch|in|ft|feet|foot|")(?![a-z])'
_DISTANCE = re.compile(_LENGTH)
_AGO = re.compile(_COUNT + r"\s?(?P<u>days?|weeks?|wks?|months?)(?: or so)? ago")
_AGO_ES = re.compile(r"hace (?P<n>\d{1,3}|una?) (?P<u>d[ií]as?|semanas?|mes(?:es)?)")
_FOR_DAYS = re.compile(r"(?:for|the last|past)\s" + _COUNT + r"\s?(?P<u>days?|weeks?|wks?)\b")

# pattern -> variable and factor; each pattern names what it measures
_SIMPLE: tuple[tuple[re.Pattern[str], str, float], ...] = tuple(
    (re.compile(pattern), variable, factor)
    for pattern, variable, factor in (
        (
            rf"{_LAMP}[^.;]{{0,24}}?\b{_NUMBER}\s?(?:h|hrs?|hours?|horas?)\b(?! ago)",
            "light_hours",
            1.0,
        ),
        (
            rf"{_NUMBER}\s?(?:h|hrs?|hours?|horas?)(?: (?:of|a|per|each|de))?(?: day)?(?: of)? "
            r"(?:light|lamp|luz|l[aá]mpara)",
            "light_hours",
            1.0,
        ),
        (rf"\bdli\b\D{{0,8}}{_NUMBER}", "dli", 1.0),
        (rf"{_NUMBER}\s?(?:umol|µmol|μmol)", "light_ppfd_umol", 1.0),
        (rf"\bppfd\b\D{{0,8}}{_NUMBER}", "light_ppfd_umol", 1.0),
        (rf"{_NUMBER}\s?(?:lux|lx)\b", "light_lux", 1.0),
        (rf"\b(?:rh|humidity|humedad)\b\D{{0,12}}{_NUMBER}\s?(?:%|percent)?", "rh_pct", 1.0),
        (rf"{_NUMBER}\s?(?:%|percent) (?:rh|humidity)", "rh_pct", 1.0),
        (rf"\bph\b\D{{0,8}}{_NUMBER}", "mix_ph", 1.0),
        (rf"\bec\b\D{{0,8}}{_NUMBER}", "ec_ds_m", 1.0),
        (rf"{_NUMBER}\s?ppm", "feed_ppm_n", 1.0),
        (rf"{_NUMBER}\s?(?:km/?h|kph)", "wind_kmh", 1.0),
        (rf"{_NUMBER}\s?mph", "wind_kmh", 1.609344),
        (
            rf"{_COUNT} (?:plants?|seedlings?|seeds?)? ?"
            r"(?:per|in each|in every|to a|in a|in one) cell",
            "plants_per_cell",
            1.0,
        ),
        (
            rf"{_COUNT} (?:plantas?|pl[aá]ntulas?|semillas?)? ?(?:por|en cada|en una) celda",
            "plants_per_cell",
            1.0,
        ),
    )
)


_RANGE = re.compile(
    r"(?<![\d.])(\d{1,3}(?:\.\d)?)\s?(?:-|–|to|a|y)\s?(\d{1,3}(?:\.\d)?)(?=\s?(?:°|º|c\b|f\b|grados|degrees"
    r"|cm\b|in\b|inches|days|d[ií]as|weeks|semanas|hours|h\b))"
)


def _middle(found: re.Match[str]) -> str:
    """Return the middle of `18-20C`: a range in words is one reading with its uncertainty."""
    return f"{(float(found[1]) + float(found[2])) / 2:g}"


_SPANS = re.compile(
    r"(?P<n>\d{1,3}|an?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fourteen"
    r"|un|una|dos|tres|cuatro|cinco|seis|siete|ocho|nueve|diez|doce|quince|veinte)"
    r"(?P<half> and a half| y media| y medio)?\s"
    r"(?P<u>days?|weeks?|wks?|months?|d[ií]as?|semanas?|mes(?:es)?)"
    r"(?P<more> and a half| y media| y medio)?"
)
_SPAN_WORDS = {
    **{"eleven": 11, "twelve": 12, "fourteen": 14, "un": 1, "una": 1, "dos": 2, "tres": 3},
    **{"cuatro": 4, "cinco": 5, "seis": 6, "siete": 7, "ocho": 8, "nueve": 9, "diez": 10},
    **{"doce": 12, "quince": 15, "veinte": 20},
}


def days_said(sentence: str) -> float | None:
    """Return the one span of days a sentence speaks of ("two and a half weeks"), or None."""
    lower = _RANGE.sub(_middle, sentence[:600].lower())
    if re.search(r"\b(?:fortnight|quincena)\b", lower):
        return 14.0
    if "mes y medio" in lower:
        return 45.0
    found = _SPANS.search(lower)
    if found is None:
        return None
    word = found["n"]
    count = float(_SPAN_WORDS[word]) if word in _SPAN_WORDS else _count(word)
    count += 0.5 if found["half"] or found["more"] else 0.0
    unit = found["u"][0]
    factor = 1 if unit == "d" else 30 if unit == "m" else 7
    return count * factor


def evidence_in(sentence: str, *, temperature_unit: str | None = None) -> Evidence:
    """Return the readings a sentence states, all with origin `report`.

    Args:
        sentence: plain words, at most its first 600 characters are read.
        temperature_unit: "C" or "F" for a bare "15 degrees"; None leaves such a number alone.

    Values outside a variable's range are left out. Never raises on any text.
    Checked by: tests/core/trouble/test_evidence_text.py.
    """
    lower = sentence[:600].lower().replace("’", "'")
    lower = _RANGE.sub(_middle, lower)
    found: dict[str, Value] = {}
    for name, value in _stated(lower, temperature_unit):
        variable = VARIABLES.by_id()[name]
        if name not in found and variable.accepts(value):
            found[name] = value
    evidence = Evidence.of(Origin.REPORT, found)
    days = _FOR_DAYS.search(lower)
    moisture = evidence.get("mix_moisture")
    if days is not None and moisture is not None:
        stood = _count(days["n"]) * _DAYS[days["u"]]
        evidence = evidence.having("mix_moisture", moisture.value, Origin.REPORT, held_days=stood)
    return evidence


def _stated(lower: str, temperature_unit: str | None) -> Iterator[tuple[str, Value]]:
    yield from _temperatures(lower, temperature_unit)
    yield from _lengths(lower)
    yield from _dates(lower)
    for pattern, variable, factor in _SIMPLE:
        for found in pattern.finditer(lower):
            yield variable, round(_count(found["n"]) * factor, 3)
    for variable, value, patterns in _cues():
        for pattern in patterns:
            match = pattern.search(lower)
            if match is not None and not _DENIED.search(lower[: match.start()]):
                yield variable, value
                break


def _temperatures(lower: str, unit: str | None) -> Iterator[tuple[str, Value]]:
    for found in _TEMPERATURE.finditer(lower):
        yield _place_of(lower, found), _celsius(found["n"], found["u"][0])
    for found in _BARE_DEGREES.finditer(lower):
        scale = unit.lower()[0] if unit is not None else _scale_of(found)
        if scale is not None:
            yield _place_of(lower, found), _celsius(found["n"], scale)


def _scale_of(found: re.Match[str]) -> str | None:
    """Return the scale of a bare "15 degrees", or None where both could be meant."""
    value = float(found["n"].replace(",", "."))
    if "grado" in found[0]:
        return "c"
    return "f" if value >= 50 else None


def _celsius(number: str, unit: str) -> float:
    value = float(number.replace(",", "."))
    return value if unit == "c" else round((value - 32) / 1.8, 1)


def _place_of(lower: str, found: re.Match[str]) -> str:
    """Return which temperature a number is, from the words of its clause."""
    before = re.split(r"[.;,]|\b(?:and|but|y|pero)\b", lower[: found.start()])[-1]
    after = re.split(r"[.;,]|\b(?:and|but|y|pero)\b", lower[found.end() :])[0]
    around = before + " " + after
    if re.search(r"\b(?:water(?:ing)?|agua|riego)\b", around):
        return "water_temp_c"
    if re.search(r"\b(?:outside|outdoors|frost|fuera|exterior|helada)\b", around):
        return "outdoor_low_c"
    if re.search(r"\b(?:soil|mix|compost|mat|probe|root|sustrato|tierra|sonda)\b", around):
        return "mix_temp_c"
    if re.search(r"\b(?:nights?|overnight|noches?)\b", around):
        return "air_night_c"
    return "air_day_c"


def _lengths(lower: str) -> Iterator[tuple[str, Value]]:
    for found in _DISTANCE.finditer(lower):
        before = lower[max(0, found.start() - 40) : found.start()]
        after = lower[found.end() : found.end() + 30]
        value = float(found["n"].replace(",", ".")) * _CM[found["u"]]
        if re.match(r"\W*(?:deep|down|de profundidad|de hondo)\b", after) or re.search(
            r"\b(?:deep|depth|profundidad)\b", before
        ):
            yield "sow_depth_mm", round(value * 10, 1)
        elif re.search(_LAMP, before) or re.search(
            rf"(?:above|over|from|away|below|sobre|encima|de las).*|{_LAMP}", after
        ):
            if re.search(_LAMP, before + after):
                yield "light_distance_cm", round(value, 1)


def _dates(lower: str) -> Iterator[tuple[str, Value]]:
    for found in _AGO.finditer(lower):
        before = lower[max(0, found.start() - 40) : found.start()]
        days = float(_count(found["n"]) * _DAYS[found["u"]])
        for variable, verbs in _EVENTS.items():
            if re.search(verbs, before):
                yield variable, days
                break
    for found in _AGO_ES.finditer(lower):
        around = lower[max(0, found.start() - 40) : found.end() + 30]
        count = 1 if found["n"].startswith("un") else int(found["n"])
        for variable, verbs in _EVENTS_ES.items():
            if re.search(verbs, around):
                yield variable, float(count * _DAYS_ES[found["u"][0]])
                break


_EVENTS_ES = {
    "days_since_transplant": r"\b(?:trasplant|repic|pas[eéa]\w* a maceta)",
    "days_since_sowing": r"\b(?:sembr|siembra)",
    "days_since_emergence": r"\b(?:nacieron|nacido|salieron|germinaron|brotaron)",
    "days_since_feed": r"\b(?:abon|fertilic|fertiliz)",
}
_EVENTS = {
    "days_since_transplant": (
        r"\b(?:planted out|transplanted|re-?potted|potted|pricked out|moved)\b"
    ),
    "days_since_sowing": r"\b(?:sow(?:ed|n)?|planted|started|seeded)\b",
    "days_since_emergence": r"\b(?:came up|emerged|sprouted|germinated)\b",
    "days_since_feed": r"\b(?:fed|feed|fertili[sz]ed)\b",
}


def _count(text: str) -> float:
    if text in _COUNTS:
        return float(_COUNTS[text])
    return float(text.replace(",", "."))


@functools.cache
def _cues() -> tuple[tuple[str, Value, tuple[re.Pattern[str], ...]], ...]:
    return tuple(
        (cue.variable, cue.value, tuple(re.compile(p) for p in cue.patterns)) for cue in CUES.rows()
    )
