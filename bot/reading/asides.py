"""Words beside the report: where, when and with whom it was, and remarks on it.

`with the after-school club`, `before assembly`, `, roots looked lovely`: they may stay unread. What
stands next to the deed or its object may not: `lost the label`.
"""

from __future__ import annotations

from bot.reading.scan import Mention, Scan

REACH = 5
"""Words from the one that begins a circumstance to its last."""

_PARTS = (",", ".", "!", ";", ":", "(", ")", "-", "–", "—", "...", "…")
_TELLS = ("num", "tray", "crop", "variety", "shelf", "sowing", "lot", "cells", "report", "person")
_SECTIONS = ("done", "weak", "level", "level_doubt", "total", "mood", "cause", "kind", "share")


def aside(scan: Scan, mentions: list[Mention], index: int) -> bool:
    """Whether the word at `index` of a clause belongs to a circumstance or a remark."""
    return _circumstance(scan, mentions, index) or _remark(scan, mentions, index)


def _circumstance(scan: Scan, mentions: list[Mention], index: int) -> bool:
    for back in range(index - 1, max(-1, index - 1 - REACH), -1):
        m = mentions[back]
        if _parted(scan, m, mentions[back + 1]):
            return False
        if any(m.text.lower() in lexicon.asides for lexicon in scan.order):
            return True
        if tells(m):
            return False
    return False


def _remark(scan: Scan, mentions: list[Mention], index: int) -> bool:
    first = index
    while first and not _parted(scan, mentions[first - 1], mentions[first]):
        first -= 1
    last = index
    while last + 1 < len(mentions) and not _parted(scan, mentions[last], mentions[last + 1]):
        last += 1
    part = mentions[first : last + 1]
    return len(part) < len(mentions) and not any(tells(m) for m in part)


def tells(m: Mention) -> bool:
    """Whether a mention is a piece of a report, or changes what it says."""
    if m.kind in ("common", "unknown", "sign", "day"):
        return False
    return m.kind in _TELLS or m.kind != "word" or any(m.has(section) for section in _SECTIONS)


def _parted(scan: Scan, left: Mention, right: Mention) -> bool:
    return any(token.text in _PARTS for token in scan.tokens[left.last + 1 : right.first])
