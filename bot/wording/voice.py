"""How to speak to somebody: language, units, dates, names.

Every phrase passes through `say` or `say_n`, which is also how the catalogue finds them.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from babel import Locale
from babel.dates import format_date, format_skeleton, format_time, get_day_names
from babel.lists import format_list
from babel.numbers import format_decimal, format_percent

from bot.wording.catalogue import translations
from core.trade.crops.table import crop_by_id

MM_PER_INCH = 25.4
MM_TO_CM = 20  # from here on in cm


LARGEST = 1e12


@dataclass(frozen=True, slots=True, kw_only=True)
class Voice:
    """Whom a message speaks to.

    Attributes:
        today: the site's local date; dates near it are said shorter.
        private: in a private chat.
        people: member id → display name.
        bot_name: the bot's @name, for hints in groups.
    """

    today: date
    language: str = "en"
    fahrenheit: bool = False
    inches: bool = False
    zone: str = "UTC"
    private: bool = False
    people: Mapping[int, str] = field(default_factory=dict)
    bot_name: str = ""

    # --- words ---

    def say(self, phrase: str, **values: object) -> str:
        """Return a phrase in the language, its `{names}` filled in."""
        return translations(self.language).gettext(phrase).format(**values)

    def say_n(self, one: str, many: str, n: int, **values: object) -> str:
        """Return the form of a phrase that fits `n`."""
        return translations(self.language).ngettext(one, many, n).format(n=n, **values)

    def listed(self, words: Iterable[str], style: str = "standard") -> str:
        """Return words as a list: `a, b and c`."""
        if style == "unit" and self.locale.language == "es":
            return ", ".join(words)  # its pattern for three and more is not in the locale data
        said = format_list(list(words), style=style, locale=self.locale)  # type: ignore[arg-type]
        return _E_BEFORE_I.sub(" e ", said) if self.language == "es" else said

    # --- figures ---

    @property
    def locale(self) -> Locale:
        return locale_of(self.language, self.fahrenheit)

    def number(self, value: float, digits: int = 1) -> str:
        """Return a number, at most `digits` decimals, none that are nought."""
        pattern = "#,##0." + "#" * digits if digits else "#,##0"
        if abs(value) > LARGEST:  # nothing counted here; more digits than can be rounded
            sign = "<" if value < 0 else ">"
            return sign + self.number(-LARGEST if value < 0 else LARGEST, digits)
        return format_decimal(round(value, digits), format=pattern, locale=self.locale)

    def percent(self, share: float) -> str:
        """Return a share of 0..1 as whole percent; small ones as `under 1 %`."""
        if 0 < share < 0.005:
            return self.say("under {percent}", percent=self.percent(0.01))
        return format_percent(round(share, 2), locale=self.locale)

    def percent_fine(self, share: float) -> str:
        """Return a share of 0..1 as percent to a tenth, none that is nought."""
        pattern = self.locale.percent_formats[None].pattern.replace("##0", "##0.#")
        return format_percent(round(share, 3), format=pattern, locale=self.locale)

    def temp(self, celsius: float) -> str:
        """Return a temperature in the unit chosen."""
        value = celsius * 9 / 5 + 32 if self.fahrenheit else celsius
        return f"{self.number(round(value), 0)} {'°F' if self.fahrenheit else '°C'}"

    def temp_exact(self, celsius: float) -> str:
        """Return a reading to a tenth, as it was given."""
        value = celsius * 9 / 5 + 32 if self.fahrenheit else celsius
        return f"{self.number(value, 1)} {'°F' if self.fahrenheit else '°C'}"

    def length(self, mm: float) -> str:
        """Return a length: mm below 2 cm, else cm; inches to an eighth, from two on to a half."""
        if self.inches:
            inches = mm / MM_PER_INCH
            if inches < 2:
                eighths = round(inches * 8)
                whole, rest = divmod(eighths, 8)
                parts = [str(whole)] if whole or not rest else []
                parts += [_EIGHTHS[rest]] if rest else []
                return " ".join([*parts, "in"])
            halves = round(inches * 2)
            return f"{halves // 2}{' 1/2' if halves % 2 else ''} in"
        return f"{self.number(mm, 0)} mm" if mm < MM_TO_CM else f"{self.number(mm / 10, 1)} cm"

    def lengths(self, low: float, high: float) -> str:
        """Return a range of lengths: `3–6 mm`."""
        first, last = self.length(low), self.length(high)
        if not self.inches and low < MM_TO_CM <= high:
            first, last = f"{self.number(low, 0)} mm", f"{self.number(high, 0)} mm"
        number, _, unit = first.rpartition(" ")
        if first == last:
            return last
        return f"{number}–{last}" if last.endswith(f" {unit}") else f"{first}–{last}"

    # --- dates ---

    def day(self, day: date) -> str:
        """Return a date: with its weekday within a fortnight, with its year when another.

        Spanish has no comma after the weekday: `hasta el lun 29 mar` stands within a sentence.
        """
        if day.year != self.today.year and abs((day - self.today).days) > 180:
            skeleton = "yMMMd"
        elif abs((day - self.today).days) <= NEAR_DAYS:
            skeleton = "MMMEd"
        else:
            skeleton = "MMMd"
        said = format_skeleton(skeleton, day, locale=self.locale)
        return said.replace(",", "") if self.language == "es" else said

    def span(self, first: date, last: date) -> dict[str, str]:
        """Return the two ends of some days as `first` and `last`, written alike.

        Weekdays stand with both or with neither.
        """
        ends = (first, last)
        if all(abs((end - self.today).days) <= NEAR_DAYS for end in ends):
            return {"first": self.day(first), "last": self.day(last)}
        if any(end.year != self.today.year for end in ends) and first.year == last.year:
            return {"first": self.month_day(first), "last": self.plain_day(last)}
        if first.year != last.year:
            return {"first": self.plain_day(first), "last": self.plain_day(last)}
        return {"first": self.month_day(first), "last": self.month_day(last)}

    def plain_day(self, day: date) -> str:
        """Return a date with its year."""
        return format_date(day, format="medium", locale=self.locale)

    def month_day(self, day: date) -> str:
        """Return a day of the year, such as a usual last frost."""
        return format_skeleton("MMMd", day, locale=self.locale)

    def weekday(self, number: int) -> str:
        """Return the short name of a weekday, 0 = Monday."""
        return str(get_day_names("abbreviated", locale=self.locale)[number])

    def clock(self, at: time) -> str:
        """Return a wall time."""
        return format_time(at, format="short" if self.fahrenheit else "HH:mm", locale=self.locale)

    def moment(self, instant: datetime) -> str:
        """Return an instant as the site's date and wall time."""
        local = instant.astimezone(ZoneInfo(self.zone))
        return f"{self.day(local.date())} {self.clock(local.time())}"

    # --- names ---

    def crop(self, crop_id: str, variety: str | None = None) -> str:
        """Return a crop's name in the language, with its variety."""
        crop = crop_by_id(crop_id)
        name = crop.name_es if self.language == "es" else crop.name
        return f"{name} ({variety})" if variety else name

    def who(self, member: int | None) -> str:
        """Return a member's name."""
        if member is None or member not in self.people:
            return self.say("somebody")
        return self.people[member]


_E_BEFORE_I = re.compile(r" y (?=h?[ií](?!e))", re.IGNORECASE)  # not said
NEAR_DAYS = 14
"""As far off a day is said with its weekday."""

_EIGHTHS = {1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8"}


@functools.cache
def locale_of(language: str, american: bool) -> Locale:
    """Return the locale of a language; units of the United States bring its dates."""
    if language == "en":
        return Locale.parse("en_US" if american else "en_GB")
    return Locale.parse(language)
