"""A question in plain words, read once: what it speaks of, which crop, which readings."""

from __future__ import annotations

import re
from dataclasses import dataclass

from core.trade.crops.table import Crop, find_crop
from core.trouble.concepts import Heard, fold, heard_in
from core.trouble.evidence import Evidence, Origin
from core.trouble.evidence_text import days_said, evidence_in

_SOWN = frozenset({"not_up", "few_up", "slow", "stagger"})
_LONGEST_NAME = 3  # words


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What a sentence says, before any records are looked at."""

    sentence: str
    heard: Heard
    crop: str | None
    said: Evidence


def read_question(text: str) -> Question:
    """Return a question read once; pure, never raises on any text."""
    heard = heard_in(text)
    said = evidence_in(text)
    crop = crop_named(text)
    days = days_said(text)
    if days is not None and said.get("days_since_sowing") is None and _SOWN & set(heard.found):
        said = said.having("days_since_sowing", days, Origin.REPORT)
    return Question(sentence=fold(text), heard=heard, crop=crop, said=said)


def with_crop(known: Evidence, crop: Crop | None) -> Evidence:
    """Return the evidence with what the crop's own row says, where records say nothing."""
    if crop is None:
        return known
    made = known
    if made.get("crop") is None:
        made = made.having("crop", crop.id, Origin.CROP_TABLE)
    if made.get("expected_emergence_days") is None and crop.emergence_days_max is not None:
        days = float(crop.emergence_days_max)
        made = made.having("expected_emergence_days", days, Origin.CROP_TABLE)
    if made.get("seed_life_years") is None and crop.storage_years is not None:
        made = made.having("seed_life_years", crop.storage_years, Origin.CROP_TABLE)
    return made


def crop_named(text: str) -> str | None:
    """Return the one crop a sentence names; None for none, or for several."""
    words = re.findall(r"[a-záéíóúñü]+", text.lower())
    found: list[str] = []
    at = 0
    while at < len(words):
        for size in range(min(_LONGEST_NAME, len(words) - at), 0, -1):
            match = find_crop(" ".join(words[at : at + size]))
            if match.crop is not None and not match.typo:
                found.append(match.crop.id)
                at += size - 1
                break
        at += 1
    unique = list(dict.fromkeys(found))
    return unique[0] if unique else None
