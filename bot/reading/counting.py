"""What a number counts: plants, a part of a fraction, nothing (`a`), or the thing before it."""

from __future__ import annotations

from bot.reading.scan import Mention, Scan

_ONE = ("a", "an", "un", "una", "one")


def slashed(scan: Scan, number: Mention, noun: Mention) -> bool:
    """Whether `1/cell` is written for `1 per cell`."""
    return "/" in scan.words[number.last + 1 : noun.first]


def _others(ms: list[Mention], index: int) -> list[Mention]:
    return [m for m in ms if m.kind == "num" and m is not ms[index]]


def is_article(m: Mention, ms: list[Mention], index: int) -> bool:
    """Whether `a` or `un` counts nothing: `un caracol se comió 3`."""
    if m.value != 1 or m.text.lower() not in _ONE or not _others(ms, index):
        return False
    after = ms[index + 1] if index + 1 < len(ms) else None
    return after is not None and after.kind in ("unknown", "word", "common") and not (
        after.has("noun") and not after.has("noun", "part")
    )  # fmt: skip


def is_label(ms: list[Mention], index: int) -> bool:
    """Whether a number names the thing before it: `bed 2`, where another one counts."""
    before = ms[index - 1] if index else None
    if before is None or before.kind != "unknown" or ms[index].first != before.last + 1:
        return False
    after = ms[index + 1] if index + 1 < len(ms) else None
    if after is not None and (after.kind in ("crop", "variety") or after.has("noun")):
        return False
    return bool(_others(ms, index))


def counts_plants(ms: list[Mention], index: int) -> bool:
    """Whether the crop, or `plants`, stands right at a number: `6 mouldy peppers`, `kale, 24`."""
    for m in ms[index + 1 : index + 5]:
        if m.kind in ("crop", "variety") or m.has("noun", "plant"):
            return True
        if m.kind not in ("unknown", "common") and not m.has("done", "lost") and not (
            m.has("total", "more") or m.has("link", "of_total") or m.has("cause")
        ):  # fmt: skip
            return False
    return bool(index) and ms[index - 1].kind in ("crop", "variety")
