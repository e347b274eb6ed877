"""Which request a file that somebody sends stands for: by its caption, else by its kind."""

from __future__ import annotations

from dataclasses import dataclass

from bot.incoming import Incoming
from core import requests as r
from core.errors import UserError

MOST_BYTES = 5_000_000
MOST_SOWINGS = 20  # of one crop, as when typed


@dataclass(eq=False, kw_only=True)
class FileUnclear(UserError):
    """A file nobody said the purpose of; reason: `purpose`, `size` or `text`."""

    name: str
    reason: str


@dataclass(eq=False, kw_only=True)
class PlanFileUnclear(UserError):
    """A list for a plan with rows whose crop is not clear; `names` empty = no row at all."""

    names: tuple[str, ...]


def request_for_file(incoming: Incoming, text: str | None) -> r.Request | UserError:
    """Return the request, or what to tell the member."""
    name = incoming.file_name or "file"
    words = incoming.text.lower().replace("/", " ").split()
    if (incoming.file_size or 0) > MOST_BYTES or (text is not None and len(text) > MOST_BYTES):
        return FileUnclear(name=name, reason="size")
    if text is None:
        return FileUnclear(name=name, reason="text")
    word = words[0].partition("@")[0] if words else ""
    if word in ("closed", "calendar") or (not word and name.lower().endswith(".ics")):
        return r.SetClosed(file_name=name, file_text=text)
    if word == "frost" or (not word and _looks_daily(text)):
        fahrenheit = True if "f" in words or "fahrenheit" in words else None
        fahrenheit = False if "c" in words or "celsius" in words else fahrenheit
        return r.SetFrost(file_name=name, file_text=text, fahrenheit=fahrenheit)
    if word == "plan":
        try:
            return r.MakePlan(items=plan_items(text))
        except PlanFileUnclear as error:
            return error
    return FileUnclear(name=name, reason="purpose")


def _looks_daily(text: str) -> bool:
    head = text[:2000].lower()
    return "min" in head and text.count("\n") > 100


def plan_items(text: str) -> tuple[r.PlanItem, ...]:
    """Read a plan's list from CSV: crop, plants and, if wanted, sowings and variety.

    A row without a number is a heading, one without a word a remark: both are passed over.
    Raises PlanFileUnclear naming the crops that are unknown or may mean several, and for a
    file without any row.
    """
    import contextlib
    import csv
    import io

    from core.trade.crops.table import find_crop

    found: list[r.PlanItem] = []
    unclear: list[str] = []
    dialect: type[csv.Dialect] | csv.Dialect = csv.excel
    with contextlib.suppress(csv.Error):
        dialect = csv.Sniffer().sniff(text[:2000], delimiters=",;\t")
    for row in csv.reader(io.StringIO(text.lstrip("\ufeff")), dialect):
        cells = [cell.strip() for cell in row if cell.strip()]
        numbers = [int(cell) for cell in cells if cell.isdecimal()]
        names = [cell for cell in cells if not cell.isdecimal()]
        if not numbers or not names:
            continue
        match = find_crop(names[0])
        if match.crop is None:
            unclear.append(names[0])
            continue
        sowings = numbers[1] if len(numbers) > 1 else 1
        found.append(
            r.PlanItem(
                crop=match.crop.id,
                plants=max(1, numbers[0]),
                sowings=max(1, min(sowings, numbers[0], MOST_SOWINGS)),
                variety=names[1] if len(names) > 1 else None,
            )
        )
    if unclear or not found:
        raise PlanFileUnclear(names=tuple(unclear))
    return tuple(found)
