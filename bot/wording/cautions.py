"""Cautions in the reader's language: the table holds the English, the catalogue the rest."""

from __future__ import annotations

from collections.abc import Iterable

from bot.wording.voice import Voice
from core.cautions import CAUTIONS


def caution_lines(voice: Voice, ids: Iterable[str]) -> list[str]:
    """Return one line for each caution of core/data/cautions.toml, each said once.

    An id that the table does not hold gives nothing.
    """
    table = CAUTIONS.by_id()
    lines: list[str] = []
    for caution_id in dict.fromkeys(ids):
        row = table.get(caution_id)
        if row is None:
            continue
        lines.append(
            voice.say(
                "⚠ {caution} {defers}", caution=told(voice, row.text), defers=told(voice, row.defers)
            )
        )
    return lines


def told(voice: Voice, english: str) -> str:
    """Return a sentence of a data table in the reader's language.

    Sentences of tables are looked up as they stand; braces in them are not places to fill.
    """
    from bot.wording.catalogue import translations

    return translations(voice.language).gettext(english)
