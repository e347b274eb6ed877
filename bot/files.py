"""Which request a file that somebody sends stands for: by its caption, else by its kind."""

from __future__ import annotations

from dataclasses import dataclass

from bot.incoming import Incoming
from core import requests as r
from core.errors import UserError

MOST_BYTES = 5_000_000


@dataclass(eq=False, kw_only=True)
class FileUnclear(UserError):
    """A file nobody said the purpose of; reason: `purpose`, `size` or `text`."""

    name: str
    reason: str


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
        return r.MakePlan(items=plan_items(text))
    return FileUnclear(name=name, reason="purpose")


def _looks_daily(text: str) -> bool:
    head = text[:2000].lower()
    return "min" in head and text.count("\n") > 100


def plan_items(text: str) -> tuple[r.PlanItem, ...]:
    """Read a plan's list from CSV: crop, plants and, if wanted, sowings and variety.

    Rows whose crop is not known are left to the plan's own grammar problem.
    """
    import csv
    import io

    from core.crops import find_crop

    found: list[r.PlanItem] = []
    dialect: type[csv.Dialect] | csv.Dialect = csv.excel
    try:
        dialect = csv.Sniffer().sniff(text[:2000], delimiters=",;\t")
    except csv.Error:
        pass
    for row in csv.reader(io.StringIO(text), dialect):
        cells = [cell.strip() for cell in row if cell.strip()]
        numbers = [int(cell) for cell in cells if cell.isdigit()]
        names = [cell for cell in cells if not cell.isdigit()]
        if not numbers or not names:
            continue
        match = find_crop(names[0])
        if match.crop is None:
            continue
        found.append(
            r.PlanItem(
                crop=match.crop.id,
                plants=numbers[0],
                sowings=numbers[1] if len(numbers) > 1 else 1,
                variety=names[1] if len(names) > 1 else None,
            )
        )
    return tuple(found)
