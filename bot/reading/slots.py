"""What a clause says: its mentions put into the slots that frames draw on."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction

from bot.grammar.quantities import LUX_PER_FOOT_CANDLE, MM_PER_INCH
from bot.reading.asides import aside
from bot.reading.clauses import CARE, Clause
from bot.reading.clock import hours_between
from bot.reading.counting import counts_plants, is_article, is_label, slashed
from bot.reading.scan import Mention, Scan
from core.cells import ALL_CELLS, CellPart, CellSpec
from core.requests import Where

_ONE = ("a", "an", "un", "una", "one")


@dataclass(slots=True)
class Slots:
    """Everything one clause names; what was not said is empty."""

    trays: list[str] = field(default_factory=list)
    into: str | None = None
    into_cells: list[CellPart] = field(default_factory=list)
    shelves: list[str] = field(default_factory=list)
    cells: list[CellPart] = field(default_factory=list)
    crops: list[tuple[str, ...]] = field(default_factory=list)
    sowing: str | None = None
    lot: str | None = None
    variety: str | None = None
    on: date | None = None
    vague_day: bool = False
    doer: str | None = None
    to_whom: str | None = None
    numbers: list[tuple[Fraction, Mention]] = field(default_factory=list)
    per_cell: int = 0
    seeds: int = 0
    cell_count: int = 0
    temps: list[tuple[Fraction, str]] = field(default_factory=list)
    mm: list[float] = field(default_factory=list)
    hours: float | None = None
    lux: float | None = None
    ppfd: float | None = None
    ppm: float | None = None
    all: bool = False
    more: bool = False
    none: bool = False
    few: bool = False
    below: bool = False
    overnight: bool = False
    pots: bool = False
    level: str | None = None
    fine: str | None = None  # `ok` and its like, which tells only where nothing else does
    kinds: list[str] = field(default_factory=list)
    cause: str | None = None
    article: bool = False
    some_of: bool = False
    first: bool = False
    only: bool = False
    unknown_first: bool = False
    doubtful: bool = False
    excepted: list[Mention] = field(default_factory=list)
    slips: list[Mention] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    counted: bool = False
    only_moved: bool = False
    cued: bool = False  # a word of its frame stands in it

    def told_once(self, slot: str, value: object) -> None:
        """Fill a slot; what is told twice and differently is in doubt."""
        before = getattr(self, slot)
        self.doubtful = self.doubtful or (bool(before) and before != value)
        setattr(self, slot, before or value)

    @property
    def placed(self) -> bool:
        return bool(
            self.trays or self.shelves or self.crops or self.sowing or self.lot or self.variety
        )

    def _one_tray(self) -> bool:
        """Whether cells can be told: one tray, or what grows in one."""
        return len(set(self.trays)) == 1 or (
            not self.trays and not self.shelves and bool(self.crops or self.sowing or self.variety)
        )

    def where(self, crop: str | None, *, lot: bool = True) -> Where:
        """Return the place as a request names it."""
        return Where(
            trays=tuple(dict.fromkeys(self.trays)),
            cells=CellSpec(tuple(self.cells)) if self.cells and self._one_tray() else None,
            crop=crop,
            sowing=self.sowing,
            shelf=self.shelves[0] if self.shelves and not self.trays else None,
            lot=self.lot if lot else None,
        )


def slots_of(scan: Scan, clause: Clause, frame: str) -> Slots:
    """Fill the slots from a clause, as its frame reads them."""
    s = Slots()
    ms = clause.mentions
    for index, m in enumerate(ms):
        before = ms[index - 1] if index else None
        if before is not None and (before.has("noun", "beside") or (
            index > 1 and before.text in ("the", "la", "el", "las", "los")
            and ms[index - 2].has("noun", "beside"))):  # fmt: skip
            continue
        if m.kind in ("tray", "crop", "shelf") and any(
            one.has("link", "except") for one in ms[max(0, index - 2) : index]
        ):  # fmt: skip
            s.excepted.append(m)
            continue
        if m.slip:
            s.slips.append(m)
        match m.kind:
            case "tray":
                _tray(s, m, before, frame, ms, index)
            case "cells":
                if s.into and frame == "potted" and s.cells:
                    s.into_cells += m.value
                else:
                    s.cells += m.value
            case "shelf":
                s.shelves += m.value
            case "sowing":
                s.told_once("sowing", m.value)
            case "lot":
                s.told_once("lot", m.value)
            case "crop":
                s.crops.append(m.value)
                if before is not None and before.text in _ONE and not s.numbers:
                    s.article = True
            case "variety":
                s.variety = m.value[0]
                if not any(m.value[1] in ids for ids in s.crops) and frame == "sow":
                    s.crops.append((m.value[1],))
            case "person":
                to = before is not None and (before.has("link", "to") or before.text in ("for", "para", "pa", "with"))  # fmt: skip  # noqa: E501
                if frame == "planted" and (to or _takes(ms, index)):
                    s.doubtful = s.doubtful or s.to_whom is not None
                    s.to_whom = m.value
                elif _together(ms, index):
                    continue  # the one who writes was there
                elif not to or not str(m.value)[-1].isalpha():
                    s.doer = m.value
            case "day":
                s.kinds += m.keys("kind")
                if before is not None and before.has("noun", "since"):
                    continue
                if s.on is None or m.prep != "word":
                    s.on = _past(m.value, scan.context.today)
            case "num":
                _number(s, scan, ms, index)
            case "c" if frame == "sow" and m.value.denominator == 1:  # `24c`: cells
                s.told_once("cell_count", int(m.value))
            case "c" | "f" | "degree":
                s.temps.append((m.value, m.kind if m.kind != "degree" else ""))
            case "mm" | "cm" | "inch":
                scale = {"mm": 1.0, "cm": 10.0, "inch": MM_PER_INCH}[m.kind]
                if not any(n.has("noun", "pots") for n in ms[index + 1 : index + 2]):
                    s.mm.append(round(float(m.value) * scale))
            case "hour":
                s.told_once("hours", float(m.value))
            case "minute" if frame == "out":
                s.told_once("hours", float(m.value) / 60)
            case "lux" | "fc":
                lux = float(m.value) * (LUX_PER_FOOT_CANDLE if m.kind == "fc" else 1)
                s.told_once("lux", lux)
            case "ppfd":
                s.told_once("ppfd", float(m.value))
            case "ppm":
                s.ppm = float(m.value)
            case "word":
                _word(s, m, frame)
            case "unknown" if frame == "sow" and not s.variety and _named_so(before, m):
                s.variety = m.text
                s.unknown.append(m.text)  # which is why it is read back first
            case "unknown" if not aside(scan, ms, index):
                s.unknown.append(m.text)
                s.unknown_first = s.unknown_first or index == 0
    s.cued = clause.has("done", frame)
    s.only_moved = any(m.has("setup", "move") for m in ms)
    if frame == "out" and s.hours is None and ms:
        _stood(s, scan, ms)
    if s.excepted:
        _without(s, scan)
    if s.some_of:
        s.shelves, s.crops = [], []
    if frame == "potted":
        _into_last(s, scan)
    s.level = s.level or s.fine
    if frame in CARE and s.trays and len(set(s.crops)) > 1:
        s.crops = []  # `the lettuce and marigold tray, T6`
    if s.only:
        s.more = False
    if s.cells and frame != "potted" and len(s.trays) > 1:
        s.cells = []
    if s.all and frame == "sow" and not s.cells and len(s.trays) == 1:
        s.cells = list(ALL_CELLS.parts)
    return s


def _named_so(before: Mention | None, m: Mention) -> bool:
    """Whether an unknown word names the variety of the crop right before it: `jitomate cherry`."""
    return before is not None and before.kind == "crop" and m.first == before.last + 1


def _stood(s: Slots, scan: Scan, ms: list[Mention]) -> None:
    """Read `out from 9 till noon` as three hours."""
    ms = sorted(ms, key=lambda m: m.first)
    if (got := hours_between(scan, ms[0], ms[-1])) is None:
        return
    s.hours, first, last = got
    s.numbers = [(value, m) for value, m in s.numbers if not first <= m.first <= last]


def _without(s: Slots, scan: Scan) -> None:
    """Read `all but T8`: every tray in use and not excepted."""
    out = {code for m in s.excepted if m.kind == "tray" for code in m.value}
    if s.trays or not out:
        s.trays = [code for code in s.trays if code not in out]
        s.doubtful = s.doubtful or not out
        return
    held = dict.fromkeys(tray for tray, _ in scan.context.holds)
    s.trays = [code for code in scan.context.trays if code in held and code not in out]


def _into_last(s: Slots, scan: Scan) -> None:
    """Read `T1 T10` and `lettuce, T9` as from the one into the other, where it stands empty."""
    if s.into is not None or not s.trays:
        return
    held = {tray for tray, _ in scan.context.holds}
    last = s.trays[-1]
    if last not in held and (len(s.trays) > 1 or s.crops or s.sowing):
        s.into = last
        s.trays = s.trays[:-1]


def _tray(
    s: Slots, m: Mention, before: Mention | None, frame: str, ms: list[Mention], index: int
) -> None:
    to = before is not None and (before.has("link", "to") or before.text in ("in", "en"))
    if before is not None and before.text == "la" and index > 1:
        to = ms[index - 2].has("link", "to") or ms[index - 2].text in ("en", "a")
    if frame == "potted" and to and s.into is None and len(m.value) == 1:
        s.into = m.value[0]
    else:
        s.trays += m.value


_ME = ("me", "i", "myself", "yo")


def _together(ms: list[Mention], index: int) -> bool:
    """Whether a person did it with the one who writes: `me and Mei`, `Mei and I`."""
    near = [m for m in (ms[index - 1 : index] if index else []) + ms[index + 1 : index + 3]
            if not m.has("link", "and")]  # fmt: skip
    return any(m.text.lower() in _ME for m in near[:2])


def _takes(ms: list[Mention], index: int) -> bool:
    """Whether a person takes plants home rather than plants them: `Mei took two`."""
    if any(m.has("done") for m in ms[:index]) and not any(m.has("done") for m in ms[index:]):
        return True
    return any(m.has("noun", "taker") for m in ms[index:])


def _past(day: date, today: date) -> date:
    if day > today + timedelta(days=45):
        return day.replace(year=day.year - 1)
    return day


def _number(s: Slots, scan: Scan, ms: list[Mention], index: int) -> None:
    m = ms[index]
    follow = ms[index + 1 : index + 5]
    before = ms[index - 1] if index else None
    if follow and (follow[0].has("noun", "clock") or (scan.words[m.last + 1 : m.last + 2] == [":"]
                   and m.last + 2 < len(scan.tokens) and scan.tokens[m.last + 2].kind == "num"
                   and scan.tokens[m.last + 2].start == scan.tokens[m.last].end + 1)):  # fmt: skip
        return
    if m.prep == "more":
        s.more = True
    seed = False
    for n in follow:
        if n.has("noun", "per_cell") or (n.has("noun", "each") and s.per_cell == 0):
            if m.value.denominator == 1:
                s.told_once("per_cell", int(m.value))
                return
        if n.has("noun", "row") or n.has("noun", "column"):
            s.few = True  # which rows is to be asked: a number of them is no count of plants
            return
        if n.has("noun", "seed"):
            seed = True
        elif n.has("noun", "cell") and not seed:
            if slashed(scan, m, n):
                s.told_once("per_cell", int(m.value))
            elif before is None or not (before.has("total", "all")):
                s.told_once("cell_count", int(m.value))
            return
        elif n.kind == "common" or n.has("noun", "plant") or n.kind == "crop":
            continue
        else:
            break
    if before is not None and (before.has("noun", "per_cell")) and m.value.denominator == 1:
        s.told_once("per_cell", int(m.value))
        return
    if seed and m.value.denominator == 1:
        if before is not None and before.text in ("a", "de a") and m.value <= 6:
            s.told_once("per_cell", int(m.value))
        else:
            s.told_once("seeds", int(m.value))
        return
    if (
        before is not None
        and before.has("link", "of_total")
        and s.numbers
        and index >= 2
        and (ms[index - 2].kind == "num")
    ):  # `66 of 72`
        return
    if is_article(m, ms, index) or is_label(ms, index):
        return
    s.numbers.append((m.value, m))
    s.counted = s.counted or counts_plants(ms, index)


def _word(s: Slots, m: Mention, frame: str) -> None:
    for section, key in sorted(m.tags):
        match section, key:
            case "total", "all":
                s.all = True
            case "total", "more":
                s.more = True
            case "total", "none":
                s.none = True
            case "total", "few":
                s.few = True
            case "how", "below":
                s.below = True
            case "how", "overnight":
                s.overnight = True
            case "noun", "pots":
                s.pots = True
            case "noun", "row" | "column" if frame == "sow":
                s.few = True
            case "noun", "first":
                s.first = True
            case "noun", "some_of":
                s.some_of = True
            case "total", "only":
                s.only = True
            case "noun", "single":
                s.per_cell = s.per_cell or 1
            case "level_doubt", _:
                s.level, s.doubtful = key, True
            case "level_weak", _ if frame == "moist":
                s.fine = s.fine or key
            case "level", _:
                s.told_once("level", key)
            case "kind", _:
                s.kinds.append(key)
            case "cause", _:
                s.cause = s.cause or key
            case "day", "vague":
                s.vague_day = True
            case _:
                pass
