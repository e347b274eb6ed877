"""Where something is: trays, cells, sowings, lots and shelves as people name them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.grammar.problems import NumberOdd, OneTrayAtATime, TrayNotSaid
from bot.grammar.text import Bag, word
from core.cells import ALL_CELLS, MAX_COLS, Cell, CellPart, CellSpec, Part
from core.folding import plain

_CELL = r"[a-z](?:[1-9]|[1-3]\d|40)(?!\w)"
_TO = r"\s*(?:-|:|\.\.|to|thru|through)\s*"
_SEP = r"\s*(?:[,;+&]|and)?\s*"
MOST_TRAYS = 200  # in one range such as T1-T200
_Part = tuple[int, CellPart]  # where it stood, and what


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Trays and cells taken from a line.

    Attributes:
        trays: codes, upper case, in the order typed, each once.
        cells: cells within the one tray.
    """

    trays: tuple[str, ...] = ()
    cells: CellSpec | None = None


def _known(codes: tuple[str, ...]) -> str:
    whole = [code for code in codes if re.fullmatch(r"\w(?:[\w .-]*\w)?", code)]
    return "|".join(re.escape(code) for code in sorted(whole, key=len, reverse=True))


def tray_pattern(bag: Bag) -> str:
    """Return a pattern for one tray code: one in use, or `T` and a number."""
    known = _known(bag.context.trays)
    return rf"(?:{known}|t\d{{1,4}})" if known else r"(?:t\d{1,4})"


def take_place(bag: Bag) -> Place:
    """Claim trays and cells.

    Raises TrayNotSaid for cells without a tray (unless the group has one tray only) and
    OneTrayAtATime for cells with several.
    """
    named = _take_named_cells(bag)
    trays, glued = _take_trays(bag, tray_pattern(bag))
    parts = (*named, *_take_parts(bag))
    found = sorted((*glued, *parts), key=lambda pair: pair[0])
    cells = CellSpec(tuple(part for _, part in found)) if found else None
    if len(trays) == 1 and cells is None and _take_all_after_tray(bag):
        cells = ALL_CELLS
    if cells is not None and not trays:
        if len(bag.context.trays) != 1:
            raise TrayNotSaid(command=bag.command, cells=cells.text)
        trays = (bag.context.trays[0].upper(),)
    if cells is not None and len(trays) > 1:
        raise OneTrayAtATime(trays=trays, cells=cells.text)
    return Place(trays=trays, cells=cells)


def _take_trays(bag: Bag, tray: str) -> tuple[tuple[str, ...], list[_Part]]:
    found: list[tuple[int, str]] = []
    parts: list[_Part] = []
    lead = r"(?<!\w)(?:trays?\s+)?"
    while hit := bag.take(
        rf"{lead}({tray})(?:\s*/\s*|\s*\.(?!\.)|:|-)?(?P<cell>(?!t\d){_CELL})(?:{_TO}(?P<to>{_CELL}))?"
    ):
        found.append((hit.start(), hit[1].upper()))
        parts.append((hit.start(), _range(hit["cell"], hit["to"])))
    while hit := bag.take(
        rf"{lead}t(\d{{1,4}})(?:\s*(?:-|\.\.|to|thru|through)\s*t|-|\.\.)(\d{{1,4}})(?!\w)"
    ):
        first, last = int(hit[1]), int(hit[2])
        if not 0 <= last - first < MOST_TRAYS:
            raise NumberOdd(command=bag.command, given=last, lo=first, hi=first + MOST_TRAYS - 1)
        found += [(hit.start(), f"T{number}") for number in range(first, last + 1)]
    while hit := bag.take(rf"{lead}({tray})\s*/?(?!\w)"):
        found.append((hit.start(), hit[1].upper()))
    while hit := bag.take(rf"(?<!\w)trays?\s+(\d{{1,4}})(?:{_TO}(\d{{1,4}}))?(?!\w)"):
        first, last = int(hit[1]), int(hit[2] or hit[1])
        if not 0 <= last - first < MOST_TRAYS:
            raise NumberOdd(command=bag.command, given=last, lo=first, hi=first + MOST_TRAYS - 1)
        found += [(hit.start(), f"T{number}") for number in range(first, last + 1)]
    codes = dict.fromkeys(code for _, code in sorted(found, key=lambda pair: pair[0]))
    return tuple(codes), parts


def _take_named_cells(bag: Bag) -> list[_Part]:
    """Claim `cell S3` and `cells T1-T4`: after that word a code is a cell whatever its letter."""
    found: list[_Part] = []
    tray = tray_pattern(bag)
    pattern = rf"(?<!\w)(?<!per )(?<!each )(?<!/)cells?\s+({_CELL})(?:{_TO}({_CELL}))?"
    while hit := bag.find(pattern):
        others = bag.rest[: hit.start()] + " " + bag.rest[hit.end() :]
        if re.fullmatch(tray, hit[1], re.IGNORECASE) and not re.search(
            rf"(?<!\w){tray}(?!\w)", others, re.IGNORECASE
        ):
            break  # `12 cells T1`: the only tray in the line
        bag.mask(hit.start(), hit.end())
        found.append((hit.start(), _range(hit[1], hit[2])))
        while more := _take_next(bag, hit.end(), rf"({_CELL})(?:{_TO}({_CELL}))?"):
            found.append((more.start(), _range(more[1], more[2])))
            hit = more
    return found


def _take_parts(bag: Bag) -> list[_Part]:
    found: list[_Part] = []
    while hit := bag.take(rf"(?<!\w)rows?\s+([a-z])(?:{_TO}([a-z]))?(?!\w)"):
        found += [(hit.start(), part) for part in _rows(hit[1], hit[2])]
        while more := _take_next(bag, hit.end(), rf"([a-z])(?:{_TO}([a-z]))?(?![\w'])"):
            found += [(more.start(), part) for part in _rows(more[1], more[2])]
            hit = more
    while hit := bag.take(rf"(?<!\w)col(?:umn)?s?\s+(\d{{1,2}})(?:{_TO}(\d{{1,2}}))?(?!\w)"):
        found += [(hit.start(), part) for part in _cols(bag, hit[1], hit[2])]
        while more := _take_next(bag, hit.end(), rf"(\d{{1,2}})(?:{_TO}(\d{{1,2}}))?(?!\w)"):
            found += [(more.start(), part) for part in _cols(bag, more[1], more[2])]
            hit = more
    while hit := bag.take(rf"(?<!\w)({_CELL}){_TO}({_CELL})"):
        found.append((hit.start(), _range(hit[1], hit[2])))
    while hit := bag.take(r"(?<!\w)([a-z])(\d{1,2})\s*(?:-|:|\.\.)\s*(\d{1,2})(?!\w)"):
        if 1 <= int(hit[2]) <= MAX_COLS and 1 <= int(hit[3]) <= MAX_COLS:
            found.append((hit.start(), _range(hit[1] + hit[2], hit[1] + hit[3])))
    while hit := bag.take(rf"(?<!\w)((?![ls]\d){_CELL})"):
        found.append((hit.start(), _range(hit[1], None)))
    return found


def _take_next(bag: Bag, at: int, pattern: str) -> re.Match[str] | None:
    """Claim what is listed right after position `at`: `rows B, C and E`."""
    joint = re.compile(rf"\s*(?:,|&|\+|and(?!\w))\s*{pattern}", re.IGNORECASE)
    found = joint.match(bag.rest, at)
    if found:
        bag.mask(found.start(), found.end())
    return found


def _rows(first: str, last: str | None) -> list[CellPart]:
    low, high = sorted(ord(plain(letter).upper()) - 65 for letter in (first, last or first))
    return [CellPart(Part.ROW, Cell(row, 0)) for row in range(low, high + 1)]


def _cols(bag: Bag, first: str, last: str | None) -> list[CellPart]:
    low, high = sorted((int(first), int(last or first)))
    if low < 1 or high > MAX_COLS:
        given = low if low < 1 else high
        raise NumberOdd(command=bag.command, given=given, lo=1, hi=MAX_COLS)
    return [CellPart(Part.COLUMN, Cell(0, col - 1)) for col in range(low, high + 1)]


def _range(first: str, last: str | None) -> CellPart:
    low = Cell.of(plain(first))
    return CellPart(Part.RANGE, low, Cell.of(plain(last)) if last else low)


def _take_all_after_tray(bag: Bag) -> bool:
    """Claim an `all` that stands beside the tray just taken."""
    if hit := re.search(
        r"\x00\s*(all(?:\s+cells)?|everything|whole(?:\s+tray)?|every\s+cell)(?!\w)", bag.rest, re.I
    ):
        bag.mask(hit.start(1), hit.end(1))
        return True
    if hit := re.search(
        r"(?<!\w)(all(?:\s+of)?|everything(?:\s+(?:in|of|from|on))?|the\s+whole|whole(?:\s+of)?)\s*\x00",
        bag.rest,
        re.I,
    ):
        bag.mask(hit.start(1), hit.end(1))
        return True
    return False


def take_code(bag: Bag, letter: str, known: tuple[str, ...], names: str) -> str | None:
    """Claim one code in use, or `letter` and a number, after one of `names` or alone."""
    listed = _known(known)
    pattern = rf"(?:{listed}|{letter}\d{{1,4}})" if listed else rf"{letter}\d{{1,4}}"
    found = bag.take(rf"(?<!\w)(?:(?:{names})\s+)?({pattern})(?![\w-])")
    return found[1].upper() if found else None


def take_sowing(bag: Bag) -> str | None:
    """Claim a sowing code such as `S3`."""
    return take_code(bag, "s", (), "sowings?")


def take_lot(bag: Bag) -> str | None:
    """Claim a lot code such as `L2`."""
    return take_code(bag, "l", bag.context.lots, "lots?|batch|seed lot")


def take_shelf(bag: Bag, *, bare: bool = False) -> str | None:
    """Claim a shelf: `shelf A`; with `bare` also a known code or a single letter alone."""
    found = bag.take(r"(?<!\w)(?:shelf|rack|shelves)\s+([a-z0-9]{1,12})(?![\w-])")
    if not found and (known := _known(bag.context.shelves)):
        found = bag.take(rf"(?<!\w)({known})\s+(?:shelf|rack)(?!\w)")
        if not found and bare:
            found = bag.take(word(rf"({known})"))
    if not found and bare:
        found = bag.take(r"(?<![\w'])(?:(?-i:([A-Z]))|(?<=^)([a-z]))(?![\w'-])(?!\s+[a-z])")
    return (found[1] or found[found.lastindex or 1]).upper() if found else None


def take_everything(bag: Bag) -> bool:
    """Claim `all`, `everything`, `all trays`, `the lot`."""
    return bag.has(
        r"everything|everyone|(?:all|every)(?:\s+(?:of\s+)?(?:the\s+|my\s+)?trays?)?|the lot"
    )
