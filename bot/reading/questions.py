"""Look-ups and questions: what a message asks to see, and what it wants to know."""

from __future__ import annotations

from bot.grammar.context import GrammarContext
from bot.reading.scan import Mention, Scan
from core import requests as r
from core.requests import Where
from core.trouble.looked_up import Sought, sought_in

_SEED = frozenset(
    {"lot", "lots", "packet", "batch", "seed", "seeds", "variety", "kind", "sort", "cultivar"}
    | {"lote", "sobre", "semilla", "semillas", "variedad", "tipo"}
)
"""Words of the seed that was sown, which a tray's picture does not tell."""


def where_of(mentions: list[Mention], context: GrammarContext) -> Where:
    """Return what a message is about: its first tray, sowing, crop or shelf."""
    where: dict[str, object] = {}
    for m in mentions:
        if m.kind == "tray" and "trays" not in where:
            where["trays"] = tuple(m.value)
        elif m.kind == "sowing":
            where.setdefault("sowing", m.value)
        elif m.kind == "crop" and (len(m.value) == 1 or m.value[0] in context.growing):
            where.setdefault("crop", m.value[0])
        elif m.kind == "variety":
            where.setdefault("crop", m.value[1])
        elif m.kind == "shelf":
            where.setdefault("shelf", m.value[0])
    return Where(**where)  # type: ignore[arg-type]


def look_of(scan: Scan, mentions: list[Mention], asks: bool) -> r.Request | None:
    """Return the look-up that a message asks for, or None."""
    context = scan.context
    where = where_of(mentions, context)
    number = next((int(m.value) for m in mentions if m.kind == "num" and m.value > 0), None)
    keys = {key for m in mentions for key in m.keys("look")}
    words = sum(1 for m in mentions if m.kind != "sign")
    tray = where.trays[0] if where.trays else None
    crop = where.crop
    if (asks or words <= 9) and (sought := sought_in(scan.text, loosely=False)) is not None:
        if sought is Sought.DUE:
            return r.Due(mine="mine" in keys)
        pictured = sought is Sought.UP or (
            sought is Sought.CONTENTS and _SEED.isdisjoint(scan.words)
        )
        if not pictured or not tray:  # a tray's plants are told with its picture
            return r.Ask(text=scan.text, where=where)
    if "howmany" in keys and number and crop and not tray:
        return r.HowMany(plants=number, crop=crop)
    if "who_watered" in keys and tray:
        return r.ShowTray(tray=tray)
    if any(m.has("done", "watered") or m.has("weak", "watered") for m in mentions) and asks:
        if tray and any(m.has("done", "watered") or m.has("weak", "watered") for m in mentions):
            return r.ShowTray(tray=tray)
    plain = Where(trays=where.trays, crop=crop if not tray else None, sowing=where.sowing)
    if "labels" in keys:
        return r.Labels(where=plain)
    if "forecast" in keys and asks and (tray or crop):
        return r.ShowTray(tray=tray) if tray else r.Curve(where=Where(crop=crop))
    if "when" in keys and crop and not tray:
        return r.When(crop=crop)
    if "curve" in keys and not plain.empty:
        return r.Curve(where=plain)
    if "tray" in keys and tray:
        return r.ShowTray(tray=tray)
    if "crop" in keys and crop and not tray:
        return r.CropInfo(crop=crop)
    if not (asks or words <= 9):
        return None
    for key, request in (
        ("due", r.Due(mine="mine" in keys)), ("calendar", r.Calendar()), ("export", r.Export()),
        ("duty", r.SetDuty()), ("shares", r.ShareOut()), ("break", r.Break()),
        ("frost", r.SetFrost()), ("season", r.Season()), ("report", r.Results()),
        ("lot", r.SetLot()), ("help", r.Help()),
    ):  # fmt: skip
        if key in keys:
            return request
    if "trays" in keys and not tray:
        return r.Trays()
    if "shelves" in keys:
        return r.ShowShelf(shelf=where.shelf, space=where.shelf is None and "space" in scan.words)
    if "plan" in keys and not crop:
        return r.MakePlan()
    return r.Ask(text=scan.text, where=where) if sought_in(scan.text) is not None else None


def says_fine(mentions: list[Mention]) -> bool:
    """Whether a message says that all is well: `T2 is ok`, but not `not looking happy`."""
    fine = any(m.has("level_weak") for m in mentions)
    return fine and not any(m.has("mood", "not") for m in mentions)


def question_of(scan: Scan, mentions: list[Mention], asks: bool) -> r.Request | None:
    """Return the question in plain words that a message puts, or None."""
    from core.trouble.kind import speaks_of_trouble

    wonders = any(m.has("mood", "question") for m in mentions)
    if not asks and not wonders and says_fine(mentions):
        return None
    if asks or wonders or (len(scan.words) >= 2 and speaks_of_trouble(scan.text)):
        where = where_of(mentions, scan.context)
        return r.Ask(text=scan.text, where=Where(trays=where.trays, sowing=where.sowing,
                                                  crop=where.crop if not where.trays else None))  # fmt: skip  # noqa: E501
    return None
