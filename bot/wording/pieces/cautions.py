"""Cautions in the reader's language: the table holds the English, the catalogue the rest."""

from __future__ import annotations

from collections.abc import Iterable

from bot.wording.voice import Voice
from core.trade.cautions import CAUTIONS, Caution, Trigger, cautions_for


def caution_lines(voice: Voice, ids: Iterable[str]) -> list[str]:
    """Return one line for each caution of core/data/cautions.toml, each said once.

    An id may also be a hazard of the crop table; one that neither table holds gives nothing.
    """
    table = CAUTIONS.by_id()
    rows: dict[str, Caution] = {}
    for caution_id in ids:
        if caution_id in table:
            rows[caution_id] = table[caution_id]
        elif f"crop_{caution_id}" in {trigger.value for trigger in Trigger}:
            rows.update({row.id: row for row in cautions_for(Trigger(f"crop_{caution_id}"))})
    return [
        voice.say(
            "⚠ {caution} {defers}", caution=told(voice, row.text), defers=told(voice, row.defers)
        )
        for row in rows.values()
    ]


def told(voice: Voice, english: str) -> str:
    """Return a sentence of a data table in the reader's language.

    Sentences of tables are looked up as they stand; braces in them are not places to fill.
    """
    from bot.wording.catalogue import translations

    return translations(voice.language).gettext(english)
