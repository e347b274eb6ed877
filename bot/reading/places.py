"""Trays, cells, rows, columns, shelves and codes, as people name them."""

from __future__ import annotations

from fractions import Fraction

from bot.reading.numbers import number_at
from bot.reading.scan import Mention, Scan
from core.cells import MAX_COLS, MAX_ROWS, Cell, CellPart, Part
from core.folding import plain

LETTERS = {
    "ay": "a", "bee": "b", "be": "b", "see": "c", "ce": "c", "dee": "d", "de": "d", "ef": "f",
    "efe": "f",
}  # fmt: skip
"""Letters as dictation writes them."""
_SPOKEN = {"too": 2, "to": 2, "for": 4, "ate": 8, "tree": 3, "won": 1, "tu": 2}


def _known_tray(scan: Scan, word: str) -> str | None:
    for code in scan.context.trays:
        if plain(code) == word:
            return code.upper()
    if word[0] == "t" and word[1:].isdigit():
        return word.upper()
    return None


def _tray_at(scan: Scan, i: int) -> tuple[list[str], int] | None:
    if i >= len(scan.tokens):
        return None
    word = scan.words[i]
    if (code := _known_tray(scan, word)) is not None:
        return [code], i + 1
    if scan.is_(i, "noun", "tray_article") and (alone := _numbered(scan, i + 1)) is not None:
        return alone
    noun = scan.is_(i, "noun", "tray")
    if noun and (got := _tray_at(scan, i + noun)) is not None and word not in ("tea", "te", "try"):
        return got
    if noun or word == "t":
        j = i + (noun or 1)
        number = number_at(scan, j)
        real = word not in ("tea", "try", "te")
        if number is not None and number[0].denominator == 1:
            return [f"T{number[0]}"], number[1]
        if real and word != "t" and j < len(scan.words) and scan.words[j] in _SPOKEN:
            if j + 1 >= len(scan.words) or scan.words[j] != "to":
                return [f"T{_SPOKEN[scan.words[j]]}"], j + 1
    return None


def _numbered(scan: Scan, i: int) -> tuple[list[str], int] | None:
    """Read `la 4` as the tray of that number, where nothing is counted: `regué la 4 y la 6`."""
    got = number_at(scan, i)
    if got is None or got[0].denominator != 1 or f"T{got[0]}" not in scan.context.trays:
        return None
    word = scan.words[got[1]] if got[1] < len(scan.words) else "."
    ends = not word[0].isalnum() or scan.is_(got[1], "link", "and") or word in _AFTER
    return ([f"T{got[0]}"], got[1]) if ends else None


_AFTER = ("no", "esta", "estaba", "tenia", "tiene", "con", "tantito", "un", "al", "a", "en", "ta")


def tray(scan: Scan, i: int) -> Mention | None:
    got = _tray_at(scan, i)
    if got is None:
        return None
    trays, after = got
    plural = scan.is_(i, "noun", "tray") and scan.words[i].endswith("s")
    while after < len(scan.words):
        joint = scan.is_(after, "link", "range")
        if joint and scan.words[after] not in ("a", "al", "to"):
            more = _tray_at(scan, after + joint)
            more = more or (
                _bare(scan, after + joint) if plural or scan.words[after] == "-" else None
            )
        elif joint:
            more = _tray_at(scan, after + joint) if scan.words[after] == "to" or plural else None
            if more and scan.words[after] == "to" and not _lists(scan, i):
                more = None
        else:
            more = None
        if more is not None:
            low, high = int(trays[-1][1:] or 0), int(more[0][0][1:] or 0)
            if 0 < high - low < 200:
                trays += [f"T{n}" for n in range(low + 1, high + 1)]
                after = more[1]
                continue
        comma = 1 if plural and (
            scan.words[after] == "," or scan.is_(after, "link", "and")
        ) else 0  # fmt: skip
        if comma and (bare := _bare(scan, after + comma)):
            trays += bare[0]
            after = bare[1]
            continue
        break
    heard = scan.words[after - 1] in _SPOKEN and after - i > 1
    slip = " ".join(scan.words[i:after]) if heard and scan.words[after - 1] != "tree" else ""
    return Mention("tray", tuple(trays), i, after - 1, slip=slip)


def _lists(scan: Scan, i: int) -> bool:
    """Whether `T1 to T4` is a range here, not a way from one tray into another."""
    return not any(scan.is_(k, "done", "potted") or scan.is_(k, "link", "from") for k in range(i))


def _bare(scan: Scan, i: int) -> tuple[list[str], int] | None:
    got = number_at(scan, i)
    if got is None or got[0].denominator != 1 or not 0 < got[0] < 1000:
        return None
    return [f"T{got[0]}"], got[1]


def code(scan: Scan, i: int) -> Mention | None:
    token = scan.tokens[i]
    if token.kind != "code":
        return None
    letter, digits = token.text[0], token.text[1:]
    if letter == "x":
        return Mention("num", Fraction(int(digits)), i, i)
    if letter == "s":
        return Mention("sowing", token.text.upper(), i, i)
    if letter == "r" and len(digits) < 6:
        return Mention("report", token.text.upper(), i, i)
    if letter == "l":
        return Mention("lot", token.text.upper(), i, i)
    return None


def _cell(scan: Scan, i: int, lead: int = 0) -> Cell | None:
    if i >= len(scan.tokens):
        return None
    text = scan.tokens[i].text
    if scan.tokens[i].kind == "code" and text[0] in (
        "abcdefghijklmnopqrstuvwxyz" if lead else "abcdefghijkmnopquvwyz"
    ):
        if 1 <= int(text[1:]) <= MAX_COLS:
            return Cell.of(text)
    return None


def cells(scan: Scan, i: int) -> Mention | None:
    lead = scan.is_(i, "noun", "cell")
    first = _cell(scan, i + lead, lead)
    if first is None or (lead and i + lead >= len(scan.words)):
        return None
    after = i + lead + 1
    parts = []
    last = first
    if joint := scan.is_(after, "link", "range"):
        the = 1 if scan.words[after + joint : after + joint + 1] in (["la"], ["el"], ["the"]) else 0
        if (other := _cell(scan, after + joint + the)) is not None:
            last, after = other, after + joint + the + 1
        elif scan.words[after] == "-" and (got := number_at(scan, after + 1)):
            if 1 <= got[0] <= MAX_COLS and got[0].denominator == 1:
                last, after = Cell(first.row, int(got[0]) - 1), got[1]
    parts.append(CellPart(Part.RANGE, first, last))
    return Mention("cells", tuple(parts), i, after - 1)


def _letter(scan: Scan, i: int) -> str | None:
    if i >= len(scan.words):
        return None
    word = scan.words[i]
    if len(word) == 1 and word.isalpha():
        return word.upper()
    after = scan.words[i + 1] if i + 1 < len(scan.words) else "."
    ends = not after[0].isalnum() or scan.is_(i + 1, "link", "and") or after in ("a", "to")
    if word in LETTERS and (ends or after in ("with", "con", "two", "dos", "one", "una")):
        return LETTERS[word].upper()
    return None


def counted_rows(scan: Scan, i: int) -> Mention | None:
    """Read `the first two rows`, `the third row`: rows counted from A."""
    first = scan.is_(i, "noun", "top")
    if first:
        got = number_at(scan, i + first)
        many, after = (int(got[0]), got[1]) if got else (1, i + first)
    elif got := number_at(scan, i):  # `las dos primeras filas`
        first = scan.is_(got[1], "noun", "top")
        many, after = int(got[0]), got[1] + first
    nth = 0
    if not first:
        nth, after = scan.ordinal(i)
        many = 1
    noun = scan.is_(after, "noun", "row") if first or nth else 0
    if not noun or not 1 <= many <= MAX_ROWS:
        return None
    if _letter(scan, after + noun) is not None:
        return None
    start = max(0, nth - 1)
    parts = tuple(CellPart(Part.ROW, Cell(row, 0)) for row in range(start, start + many))
    return Mention("cells", parts, i, after + noun - 1)


def rows(scan: Scan, i: int) -> Mention | None:
    lead = scan.is_(i, "noun", "row")
    if not lead:
        return counted_rows(scan, i)
    found: list[int] = []
    after = i + lead
    while (letter := _letter(scan, after)) is not None:
        row = ord(letter) - 65
        after += 1
        found.append(row)
        joint = scan.is_(after, "link", "range")
        if joint and (to := _letter(scan, after + joint)) is not None:
            far = after + joint + 1
            # `filas a y be`: the letter a, then `y`
            found += range(row + 1, ord(to) - 64)
            after = far
        sep = 1 if scan.words[after : after + 1] == [","] else 0
        sep += 1 if scan.is_(after + sep, "link", "and") else 0
        if sep and _letter(scan, after + sep) is not None and _ends_row(scan, after + sep + 1):
            after += sep
            if scan.is_(after, "noun", "row"):
                after += 1
            continue
        if sep and scan.is_(after + sep, "noun", "row") and _letter(scan, after + sep + 1):
            after += sep + 1
            continue
        break
    if not found:
        return None
    parts = tuple(CellPart(Part.ROW, Cell(row, 0)) for row in dict.fromkeys(found))
    return Mention("cells", parts, i, after - 1)


def _ends_row(scan: Scan, i: int) -> bool:
    """Whether a row's letter ends here: `fila B, de a dos` goes on with other words."""
    word = scan.words[i] if i < len(scan.words) else "."
    if scan.words[i - 1] in ("a", "de") and word != "y":
        return not word[0].isalnum()
    return True


def columns(scan: Scan, i: int) -> Mention | None:
    lead = scan.is_(i, "noun", "column")
    got = number_at(scan, i + lead) if lead else None
    if not lead or got is None or not 1 <= got[0] <= MAX_COLS:
        return None
    first = last = int(got[0])
    after = got[1]
    joint = scan.is_(after, "link", "range") or scan.is_(after, "link", "and")
    if joint and (to := number_at(scan, after + joint)) is not None and to[0] <= MAX_COLS:
        last, after = int(to[0]), to[1]
    parts = tuple(CellPart(Part.COLUMN, Cell(0, col - 1)) for col in range(first, last + 1))
    return Mention("cells", parts, i, after - 1)


def shelf(scan: Scan, i: int) -> Mention | None:
    codes = {plain(code): code.upper() for code in scan.context.shelves}
    lead = scan.is_(i, "noun", "shelf") or scan.is_(i, "noun", "lamp")
    letter = _letter(scan, i + lead) if lead else None
    lamp = frozenset({("noun", "lamp")})
    tags = lamp if scan.is_(i, "noun", "lamp") else frozenset()
    if letter and (scan.words[i] not in ("level", "self") or letter.lower() in codes):
        if scan.is_(i, "noun", "shelf") or letter.lower() in codes:
            found, after = [letter], i + lead + 1
            sep = scan.is_(after, "link", "and")
            if sep and (more := _letter(scan, after + sep)) and more.lower() in codes:
                found.append(more)
                after += sep + 1
            return Mention("shelf", tuple(found), i, after - 1, tags=tags)
    word = scan.words[i]
    if word in codes and len(word) == 1:
        original = scan.text[scan.tokens[i].start]
        shone = scan.is_(i + 1, "noun", "lamp")
        size = scan.is_(i + 1, "noun", "shelf_after") or shone
        opens = i == 0 or scan.tokens[i - 1].text in ".!?"
        number = i + 1 < len(scan.tokens) and scan.tokens[i + 1].kind in ("num", "frac")
        phrase = scan.phrase(i)[0] > 1
        if not phrase and (size or (original.isupper() and (number or not opens))):
            return Mention(
                "shelf", (codes[word],), i, i + size, tags=lamp if shone else frozenset()
            )
    if size := scan.is_(i, "noun", "sill"):
        if len(scan.context.windows) == 1:
            after = i + size
            if scan.words[after : after + 1] == ["("]:  # `la ventana (W)`
                after += 3 if scan.words[after + 2 : after + 3] == [")"] else 0
            return Mention("shelf", (scan.context.windows[0],), i, after - 1)
    return None
