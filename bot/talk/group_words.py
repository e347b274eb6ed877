"""The words of a group that settle what its members write: codes, names, crops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import (
    Row,
    Select,
    String,
    bindparam,
    cast,
    func,
    literal_column,
    select,
    union_all,
)
from sqlalchemy.orm import Session

from bot import grammar
from bot.wording.voice import Voice
from core.folding import fold
from core.records import models as m
from core.records import rows as garden_rows
from core.records.prepared import rows, table

_GROUP: Any = bindparam("group")
_TRAY, _SHELF, _LOT = table(m.Tray).c, table(m.Shelf).c, table(m.Lot).c
_SOWING = table(m.Sowing).c
_WHAT = ("tray", "shelf", "lot", "growing", "variety")


def _word(what: str, column: Any, extra: Any, *where: Any) -> Select[Any]:
    return select(
        literal_column(f"'{what}'").label("what"), column.label("word"), extra.label("extra")
    ).where(*where)


_WORDS = union_all(
    _word(
        "tray",
        _TRAY.code,
        cast(_TRAY.rows, String) + "x" + cast(_TRAY.cols, String),
        _TRAY.group_id == _GROUP,
        _TRAY.retired_on.is_(None),
    ),
    _word("shelf", _SHELF.code, _SHELF.lamp, _SHELF.group_id == _GROUP),
    _word(
        "lot",
        _LOT.code,
        _LOT.crop + "|" + func.coalesce(_LOT.variety, ""),
        _LOT.group_id == _GROUP,
        _LOT.used_up_on.is_(None),
    ),
    _word(
        "growing",
        _SOWING.crop,
        select(_TRAY.code).where(_TRAY.id == _SOWING.tray_id).scalar_subquery(),
        _SOWING.group_id == _GROUP,
        _SOWING.closed_on.is_(None),
    ).distinct(),
    _word(
        "variety",
        _SOWING.variety,
        _SOWING.crop,
        _SOWING.group_id == _GROUP,
        _SOWING.closed_on.is_(None),
        _SOWING.variety.is_not(None),
    ).distinct(),
)
"""The words of a group, in one statement: to be asked four times costs as much as to read them."""


def grammar_context(session: Session, group_id: int | None, voice: Voice) -> grammar.GrammarContext:
    """Return what settles open words: the group's own codes, names and crops."""
    found: Sequence[Row[Any]] = ()
    if group_id is not None:
        found = rows(session, _WORDS, group=group_id)
    words = {what: [row.word for row in found if row.what == what] for what in _WHAT}
    extra = {what: [(r.word, r.extra) for r in found if r.what == what] for what in _WHAT}
    return grammar.GrammarContext(
        today=voice.today,
        fahrenheit=voice.fahrenheit,
        inches=voice.inches,
        language=voice.language,
        trays=tuple(sorted(words["tray"], key=garden_rows.natural)),
        shelves=tuple(words["shelf"]),
        lots=tuple(words["lot"]),
        members=tuple(voice.people.values()),
        growing=tuple(sorted(set(words["growing"]))),
        bot_name=voice.bot_name,
        private=voice.private,
        windows=tuple(code for code, lamp in extra["shelf"] if lamp == "window"),
        varieties=_varieties(extra),
        holds=tuple(sorted((tray, crop) for crop, tray in extra["growing"])),
        sizes=tuple((code, *_size(size)) for code, size in extra["tray"]),
    )


def _varieties(extra: Mapping[str, Sequence[tuple[str, str]]]) -> tuple[tuple[str, str], ...]:
    """Return the names of varieties in lots and in what grows, each with its crop, once."""
    parts = (known.partition("|") for _, known in extra["lot"])
    pairs = [(variety, crop) for crop, _, variety in parts if variety]
    known = {(fold(name), crop): (name, crop) for name, crop in [*extra["variety"], *pairs]}
    return tuple(known.values())


def _size(text: str) -> tuple[int, int]:
    rows_, _, cols = text.partition("x")
    return int(rows_), int(cols)
