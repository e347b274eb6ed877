"""The corpus's notation of what should be recorded, and requests held against it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from core import requests as r
from core.cells import CellSpec
from core.errors import CellOutside
from core.folding import fold
from core.trade.crops.table import CROPS, find_crop
from core.trouble.looked_up import sought_in
from tests.reading import garden

TODAY = date(2027, 3, 16)
SIZES = {"T3": (5, 10), "T6": (5, 10), "T9": (5, 10), "T10": (3, 6)}
HOLDS = {  # tray -> (sowing, crop, variety, lot)
    "T1": (("S1", "tomato", "amber pip", "L1"),),
    "T2": (("S2", "pepper", "copper bell", "L2"),),
    "T3": (("S3", "basil", "", "L5"),),
    "T4": (("S4", "kale", "", ""),),
    "T5": (),
    "T6": (("S5", "lettuce", "green frill", "L3"), ("S6", "marigold", "", "")),
    "T7": (("S7", "onion", "", ""),),
    "T8": (("S8", "celery", "", ""),),
    "T9": (),
    "T10": (),
}
SHELVES = {"A": ("T1", "T2", "T3", "T8"), "B": ("T4", "T5", "T6", "T7"), "W": ("T9", "T10")}
_PIECE = re.compile(r'(\w+)="([^"]*)"|(\w+)=(\S.*?)(?=\s+\w+=|$)|(\S+)')
REPORTS: dict[str, type[r.Report]] = {
    "sow": r.Sow, "up": r.Up, "watered": r.Watered, "moist": r.Moist, "temp": r.Temp,
    "light": r.Light, "thinned": r.Thinned, "potted": r.Potted, "fed": r.Fed, "out": r.Out,
    "planted": r.Planted, "lost": r.Lost, "note": r.Note,
}  # fmt: skip
OTHERS: dict[str, tuple[str, ...]] = {
    "due": ("Due",), "trays": ("Trays",), "tray": ("ShowTray",), "shelves": ("ShowShelf",),
    "curve": ("Curve",), "report": ("Results",), "duty": ("SetDuty",), "when": ("When",),
    "howmany": ("HowMany",), "plan": ("MakePlan",), "season": ("Season",),
    "calendar": ("Calendar",), "crop": ("CropInfo",), "help": ("Help", "Start"),
    "export": ("Export",), "labels": ("Labels",), "who_watered": ("ShowTray",),
    "forecast": ("Due", "Trays"), "shares": ("ShareOut",), "frost": ("SetFrost",),
    "break": ("Break",), "trouble": ("Ask",), "howto": ("Ask", "CropInfo"), "whatis": ("Ask",),
    "not_ours": ("Ask", "NotOurs"), "site": ("SetSite",), "first_frost": ("SetFrost",),
    "shelf": ("SetShelf", "ShowShelf", "Light"), "units": ("Me", "SetSite"),
    "lang": ("Me", "SetSite"), "leave": ("SetMember",),
    "addtray": ("SetTray",), "retire": ("SetTray",),
    "move": ("SetTray", "Move"), "lot": ("SetLot",), "away": ("SetAway",),
    "closed": ("SetClosed",), "member": ("SetMember",), "swap": ("Swap",), "me": ("Me",),
    "wish": ("Wish",), "planitem": ("MakePlan",), "forgetme": ("ForgetMe",), "undo": ("Undo",),
}  # fmt: skip
"""What an item of the notation may be answered by, by the names of requests."""
RECORDS = {"who_watered": "watered", "duty": "duty"}
"""Items that a question to the records answers too, with what it must look up."""


SHARED = {name for crop in CROPS.rows() for name in crop.shared_names}
"""Names that several crops share in the table: to be asked which is right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One expected thing: its name and what was said of it."""

    name: str
    said: dict[str, str] = field(default_factory=dict)


def items_of(text: str) -> tuple[Item, ...]:
    """Return the items of one cell of the corpus."""
    found = []
    for part in re.split(r"\s+;\s+", text.strip()):
        name, _, rest = part.partition(" ")
        said = {}
        for quoted, inner, key, value, bare in _PIECE.findall(rest):
            if bare:
                said["_"] = f"{said.get('_', '')} {bare}".strip(' "')
            else:
                said[quoted or key] = inner if quoted else value.strip()
        crops = said.get("crop", "").split(",")
        for crop in crops if name else ():
            found.append(Item(name=name, said={**said, "crop": crop} if crop else said))
    return tuple(found)


_EACH = ("watered", "moist", "fed", "out", "thinned")
"""Reports that say the same of each tray they name, in one line or several."""


def by_tray(item: Item) -> tuple[Item, ...]:
    """Return an item for each tray that a report of care names."""
    trays = sorted(_trays(item.said["tray"])) if "tray" in item.said else []
    if item.name not in _EACH or len(trays) < 2:
        return (item,)
    return tuple(Item(name=item.name, said={**item.said, "tray": tray}) for tray in trays)


def singly(request: r.Request) -> tuple[r.Request, ...]:
    """Return a report of care for each tray it names."""
    if isinstance(request, r.SetFrost) and request.first and request.typical:
        return (r.SetFrost(typical=request.typical), r.SetFrost(first=request.first))
    kinds = tuple(REPORTS[name] for name in _EACH)
    if not isinstance(request, kinds) or len(request.where.trays) < 2:
        return (request,)
    return tuple(
        replace(request, where=replace(request.where, trays=(tray,)))
        for tray in request.where.trays
    )


def crop_id(name: str) -> str:
    """Return the id of the crop that a name of the corpus means."""
    match = find_crop(name)
    if match.crop is not None:
        return match.crop.id
    return fold(name).replace(" ", "_")


def _trays(text: str) -> set[str]:
    found: set[str] = set()
    for part in text.split(","):
        first, dash, last = part.partition("-")
        if dash:
            found |= {f"T{n}" for n in range(int(first[1:]), int(last[1:]) + 1)}
        else:
            found.add(part)
    return found


_Meant = frozenset[tuple[str, str]]


def _resolved(
    trays: set[str], crop: str, sowing: str, variety: str, lot: str, shelf: str, every: bool
) -> _Meant:
    """Return the trays and sowings that are meant, as the garden stands."""
    if shelf and not trays:
        trays = set(SHELVES.get(shelf, (f"shelf {shelf}",)))
    named = bool(crop or sowing or variety or lot)
    if not trays and not named and not every:
        return frozenset()
    found = set()
    for tray in trays or HOLDS:
        held = HOLDS.get(tray, ())
        if not named:
            found.add((tray, ""))
        for code, its, kind, its_lot in held:
            if named and not (
                (crop and crop != its)
                or (sowing and sowing != code)
                or (variety and fold(variety) != kind)
                or (lot and lot != its_lot)
            ):
                found.add((tray, code if len(held) > 1 else ""))
    return frozenset(found)


def meant_places(item: Item) -> _Meant:
    said = item.said
    crop = crop_id(said["crop"]) if "crop" in said else ""
    return _resolved(
        _trays(said["tray"]) if "tray" in said else set(), crop, said.get("sowing", ""),
        said.get("variety", ""), said.get("lot", ""), said.get("shelf", ""),
        "all" in said or said.get("_") == "all",
    )  # fmt: skip


def _of(where: r.Where) -> _Meant:
    return _resolved(
        set(where.trays), where.crop or "", where.sowing or "", "", where.lot or "",
        where.shelf or "", where.everything,
    )  # fmt: skip


def _cells(text: str, tray: str) -> set[str]:
    rows, cols = SIZES.get(tray, (6, 12))
    found: set[str] = set()
    for part in re.split(r"[, ]+", text):
        first, _, last = part.partition("-")
        last = last or first
        for row in range(ord(first[0]), ord(last[0]) + 1):
            found |= {f"{chr(row)}{c}" for c in range(int(first[1:]), int(last[1:]) + 1)}
    return {cell for cell in found if ord(cell[0]) - 65 < rows and int(cell[1:]) <= cols}


def _spec(spec: CellSpec | None, tray: str) -> set[str] | None:
    if spec is None:
        return None
    rows, cols = SIZES.get(tray, (6, 12))
    try:
        return {cell.label for cell in spec.within(tray, rows, cols)}
    except CellOutside:
        return set()


def day_of(text: str) -> date:
    """Return the day that a word of the corpus means."""
    if text == "yesterday":
        return TODAY - timedelta(days=1)
    if text == "today":
        return TODAY
    return date.fromisoformat(text)


PEOPLE = frozenset(garden.MEMBERS)


def matches(item: Item, request: r.Request, speaker: str = "Ben") -> bool:
    """Whether a request says what the item says, no less and no more.

    Not compared: the words of a cause, the strength of a feed, the size of pots, a note's text,
    the bed plants went to (a request names who took them, not which bed).
    """
    name, said = item.name, item.said
    if isinstance(request, r.Ask) and name in RECORDS:
        named = {said["tray"]} if "tray" in said else set()
        return sought_in(request.text) == RECORDS[name] and set(request.where.trays) == named
    if name not in REPORTS:
        return type(request).__name__ in OTHERS.get(name, ()) and _other(item, request)
    if not isinstance(request, REPORTS[name]):
        return False
    on = day_of(said["on"]) if "on" in said else TODAY
    if (request.on or TODAY) != on:
        return False
    whom = said.get("for", "")
    if fold(request.for_whom or speaker) != fold(whom or speaker):
        return False
    tray = next(iter(sorted(request.where.trays)), "")
    if isinstance(request, r.Sow):
        return _sow(said, request, tray)
    if _of(request.where) != meant_places(item):
        return False
    meant = tray or said.get("tray", "") or next(iter(sorted(t for t, _ in meant_places(item))), "")
    expected = _cells(said["cells"], meant) if "cells" in said else None
    if not isinstance(request, r.Note) and _spec(request.where.cells, meant) != expected:
        return False
    return _figures(said, request)


def _near(said: str | None, value: float | None, slack: float = 1.0) -> bool:
    if said is None or value is None:
        return said is None and value is None
    return abs(float(said) - value) <= slack


def _sow(said: dict[str, str], request: r.Sow, tray: str) -> bool:
    if set(request.where.trays) != ({said["tray"]} if "tray" in said else set()):
        return False
    lots = {entry[3]: entry[1] for held in HOLDS.values() for entry in held}
    lots |= {"L4": "radish", "L6": "zinnia"}
    lot = request.lot or ""
    crop = crop_id(said["crop"]) if "crop" in said else lots.get(said.get("lot", ""), "")
    sown = request.crop or lots.get(lot, "")
    if sown != crop and not sown.endswith(f"_{crop}"):  # `bean` is any bean
        return False
    varieties = {"L1": "amber pip", "L2": "copper bell", "L3": "green frill"}
    if lot != said.get("lot", "") and varieties.get(lot) != fold(said.get("variety", "-")):
        return False
    variety = fold(request.variety or varieties.get(lot, ""))
    if fold(said.get("variety", varieties.get(lot, ""))) != variety:
        return False
    if not _near(said.get("depth_mm"), request.depth_mm):
        return False
    rows, cols = SIZES.get(tray, (6, 12))
    whole = {f"{chr(65 + row)}{col + 1}" for row in range(rows) for col in range(cols)}
    cells = _spec(request.where.cells, tray)
    number = len(cells) if cells is not None else request.cell_count
    if "cells" in said:
        if cells != _cells(said["cells"], tray):
            return False
    elif "cell_count" in said:
        if number != int(said["cell_count"]):
            return False
    elif "seeds" not in said and cells is not None and cells != whole:
        return False
    if "seeds" in said:
        return number * max(1, request.seeds_per_cell) == int(said["seeds"])
    return (request.seeds_per_cell or 1) == int(said.get("per_cell", 1))


def _figures(said: dict[str, str], request: r.Report) -> bool:
    match request:
        case r.Up():
            if said.get("more"):
                return request.more and request.count == int(said["more"])
            if said.get("all"):
                return request.all_up or str(request.count) == said.get("count", "-")
            return not request.more and str(request.count) == said.get("count")
        case r.Watered():
            return request.from_below == ("below" in said)
        case r.Moist():
            level = said.get("level", "")
            return str(request.level) == {"soaked": "wet", "light": "dry"}.get(level, level)
        case r.Temp():
            kind = request.kind or r.TempKind.MIX
            meant = said.get("kind", "mix")
            if meant == "low" and ("shelf" in said or "tray" in said):
                meant = "air"  # a low indoors is kept as the air of the shelf
            return str(kind) == meant and _near(said["c"], request.temp_c, 0.06)
        case r.Light():
            return all(
                _near(said.get(name), getattr(request, name))
                for name in ("ppfd", "lux", "height_mm", "hours")
            )
        case r.Thinned():
            return request.per_cell == int(said.get("per_cell", 1))
        case r.Potted():
            into = said.get("into", "pots")
            count = said.get("count")
            return (request.into_tray or "pots") == into and str(request.count) == str(count)
        case r.Fed():
            return _near(said.get("ppm"), request.ppm_n)
        case r.Out():
            return _near(said.get("hours"), request.hours) and request.overnight == (
                "overnight" in said
            )
        case r.Planted():
            whom = said.get("to", "") if said.get("to", "") in PEOPLE else ""
            same = fold(request.to_whom or "") == fold(whom)
            return same and str(request.count) == str(said.get("count"))
        case r.Lost():
            count = said.get("count")
            return str(request.count) == (str(None) if count == "all" else str(count))
    return True


def _other(item: Item, request: r.Request) -> bool:
    said = item.said
    match request:
        case r.ShowTray():
            return request.tray in (said.get("_", ""), said.get("tray", ""))
        case r.Curve() | r.Labels():
            return _of(request.where) == meant_places(item)
        case r.When() | r.CropInfo():
            return "crop" not in said or request.crop == crop_id(said["crop"])
        case r.HowMany():
            return str(request.plants) == said.get("n") and request.crop == crop_id(said["crop"])
        case r.SetSite() if item.name in ("units", "lang"):
            return _settings(said, request.fahrenheit, request.language)
        case r.SetSite():
            return fold(request.place or "") == fold(said.get("place", ""))
        case r.SetFrost():
            if item.name == "first_frost":
                day = request.first
                return day is not None and f"{day:%m-%d}" == said["date"]
            days = (
                (said.get("date"), request.typical), (said.get("late"), request.late),
                (said.get("middle"), request.middle), (said.get("early"), request.early),
            )  # fmt: skip
            return all((d and f"{d:%m-%d}") == s for s, d in days)
        case r.SetTray():
            if item.name == "retire":
                return request.retired and request.codes == (said["tray"],)
            if item.name == "move":
                return request.codes == (said["tray"],) and request.shelf == said["shelf"]
            size = request.cells or request.rows * request.cols
            n = len(_trays(said["tray"])) if "tray" in said else int(said.get("n", 1))
            sized = str(size) == said.get("cells", said.get("size", "0"))
            named = "tray" not in said or set(request.codes) == _trays(said["tray"])
            shelf = said.get("shelf", request.shelf) == request.shelf
            return len(request.codes) == n and sized and named and shelf
        case r.SetShelf():
            return request.code == said.get("code", said.get("name", request.code))
        case r.Light():
            hours = _near(said.get("hours"), request.hours)
            return hours and request.where.shelf == said.get("code", said.get("name"))
        case r.Me() if item.name in ("units", "lang"):
            return _settings(said, request.fahrenheit, request.language)
        case r.SetLot():
            return request.crop == crop_id(said["crop"]) and str(request.packed_for) == said.get(
                "year", "None"
            )
        case r.SetAway():
            first, last = (day_of(said[k]) if k in said else None for k in ("from", "to"))
            who = fold(said.get("who", said.get("name", "")))
            own = who in ("", "ben", "ana") if request.who is None else fold(request.who) == who
            return own and (request.first, request.last) == (first, last or first)
        case r.SetClosed():
            days = tuple(["mon", "tue", "wed", "thu", "fri", "sat", "sun"].index(d[:3])
                         for d in said.get("days", "").split(",") if d)  # fmt: skip
            first, last = (day_of(said[k]) if k in said else None for k in ("from", "to"))
            return set(request.weekdays) == set(days) and (request.first, request.last) == (
                first, last or first
            )  # fmt: skip
        case r.Wish():
            return str(request.plants) == said["n"] and request.crop == crop_id(said["crop"])
        case r.MakePlan():
            if item.name == "plan":
                return not request.items
            return any(
                str(one.plants) == said.get("n") and one.crop == crop_id(said["crop"])
                for one in request.items
            )
        case r.SetDuty():
            who = said.get("who", said.get("name", ""))
            return not said or fold(",".join(request.who)) in (fold(who), fold("me"))
        case r.SetMember():
            gone = request.removed == (item.name == "leave")
            return gone and fold(request.name or "") == fold(said.get("name", ""))
        case r.Undo():
            return (request.report or "") == said.get("report", "")
        case r.Due():
            return item.name != "due" or request.mine == (said.get("_") == "mine")
    return True


def _settings(said: dict[str, str], fahrenheit: bool | None, language: str | None) -> bool:
    """Whether units or a language are set as said: `temp=C`, `code=es`."""
    if "temp" in said and fahrenheit is not (said["temp"].upper() == "F"):
        return False
    return "code" not in said or language == said["code"]
