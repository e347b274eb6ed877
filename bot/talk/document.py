"""A document somebody sent: what it is for, whether they may, and only then its bytes."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy.orm import Session

from bot.grammar.context import GrammarContext
from bot.grammar.files import (
    CLOSED,
    FROST,
    IMPORT,
    MOST_BYTES,
    PLAN,
    FileUnclear,
    Purpose,
    looks_daily,
    plan_items,
    purpose,
)
from bot.grammar.parse import for_other
from bot.grammar.text import clean
from bot.incoming import Incoming
from core import requests as r
from core.apart import apart
from core.errors import UserError
from core.handlers.table import allowed
from core.scene import Scene
from core.trade.frost.headers import decode

ENDINGS = (".csv", ".txt", ".tsv", ".ics", ".zip")


@dataclass(frozen=True, slots=True)
class File:
    """The bytes of a document; None where they cannot be had."""

    data: bytes | None


class FileWanted(Exception):
    """The document's bytes are needed: they are fetched outside of the transaction."""


def request_of(
    session: Session,
    incoming: Incoming,
    scene: Scene,
    context: GrammarContext,
    file: File | None,
) -> r.Request | None:
    """Return what a document asks for; None where nobody said a word with it that it may be ours.

    Raises FileWanted when it is to be read and has not been fetched, Errand, and UserErrors.
    """
    if for_other(clean(incoming.text), context):
        return None
    meant = purpose(incoming, context)
    alone = not (incoming.private or incoming.text)
    if isinstance(meant, UserError):
        raise meant
    if alone and not meant.name.lower().endswith(ENDINGS):
        return None
    shape = meant.shape() or r.SetFrost(file_name=meant.name, file_text="")
    try:
        allowed(shape, scene, session)
    except UserError:
        if alone and not meant.kind:
            return None
        raise
    if file is None:
        raise FileWanted()
    if file.data is None:
        raise FileUnclear(name=meant.name, reason="text")
    if len(file.data) > MOST_BYTES:
        raise FileUnclear(name=meant.name, reason="size")
    if meant.kind == IMPORT:
        return r.Import(file_name=meant.name, data=file.data)
    return _read(meant, decode(file.data), scene, alone=alone)


def _read(meant: Purpose, text: str, scene: Scene, *, alone: bool) -> r.Request | None:
    kind = meant.kind or (FROST if looks_daily(text) else "")
    if kind == CLOSED:
        return r.SetClosed(file_name=meant.name, file_text=text)
    if kind == FROST:
        return r.SetFrost(file_name=meant.name, file_text=text, fahrenheit=meant.fahrenheit)
    if kind == PLAN:
        return r.MakePlan(items=apart(scene, plan_items, text))
    if alone:
        return None
    raise FileUnclear(name=meant.name, reason="purpose")
