"""Open work in lines a person would write: first what to do and where, then why in a few words."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from bot.wording.pieces.bed_lines import bed, cover
from bot.wording.pieces.exposure import exposure
from bot.wording.pieces.once_lines import beside, resow, warm, well
from bot.wording.voice import Voice
from core.due.items import Item, Work
from core.group.frames import COLD_FRAME


def work_lines(items: Iterable[Item], voice: Voice) -> list[str]:
    """Return a line or two for each kind of work."""
    items = tuple(items)
    said = {
        tray
        for item in items
        if item.kind in (Work.EVE, Work.BACK)
        for tray in item.values["trays"]
    }
    lines: list[str] = []
    for work, words in WORK_WORDS.items():
        found = [
            item
            for item in items
            if item.kind is work and not (work is Work.WATER and item.tray in said)
        ]
        if found:
            lines += words(found, voice)
    return lines


def plants(items: Iterable[Item], voice: Voice) -> str:
    """Name what grows where: `pepper and eggplant in T2, tomato in T4 and T5`."""
    by_tray: dict[str | None, list[str]] = {}
    for item in items:
        names = by_tray.setdefault(item.tray, [])
        name = voice.crop(item.crop or "", item.variety)
        if name not in names:
            names.append(name)
    alike: dict[tuple[str, ...], list[str | None]] = {}
    for tray, names in by_tray.items():
        alike.setdefault(tuple(names), []).append(tray)
    return ", ".join(
        voice.say(
            "{crops} in {tray}",
            crops=voice.listed(list(names)),
            tray=voice.listed([tray for tray in trays if tray]),
        )
        if any(trays)
        else voice.listed(list(names))
        for names, trays in alike.items()
    )


def trays_of(items: Iterable[Item], voice: Voice) -> str:
    """Name trays by shelf: `T1 and T2 (shelf A), T5 (shelf B)`."""
    by_shelf: dict[str | None, list[str]] = {}
    for item in items:
        by_shelf.setdefault(item.shelf, []).append(item.tray or item.sowing or "")
    return ", ".join(
        _at_shelf(shelf, voice.listed(trays), voice) for shelf, trays in by_shelf.items()
    )


def _at_shelf(shelf: str | None, trays: str, voice: Voice) -> str:
    if shelf == COLD_FRAME:
        return voice.say("{trays} (cold frame)", trays=trays)
    return voice.say("{trays} (shelf {shelf})", trays=trays, shelf=shelf) if shelf else trays


def _water(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "Feel the mix in {trays}. Water only if it is light or dry on top.",
            trays=trays_of(items, voice),
        )
    ]


def _overdue(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for item in items:
        temp = voice.temp(float(item.values.get("temp_c") or 0))
        what = plants([item], voice)
        if item.values.get("by") is None:
            lines.append(
                voice.say(
                    "{what} cannot come up at {temp}. Measure the mix, then warm or cool it.",
                    what=_begin(what),
                    temp=temp,
                )
            )
        elif item.values.get("temp_logged"):
            lines.append(
                voice.say(
                    "Does any {what} show? At {temp}, by your readings, I expected it by {day}. "
                    "If nothing does, measure the mix and ask me why.",
                    what=what,
                    temp=temp,
                    day=voice.day(item.values["by"]),
                )
            )
        else:
            lines.append(
                voice.say(
                    "Does any {what} show? I expected it by {day}. "
                    "If nothing does, measure the mix first.",
                    what=what,
                    day=voice.day(item.values["by"]),
                )
            )
    return lines


def _begin(text: str) -> str:
    """Return a text with a capital first letter."""
    return text[:1].upper() + text[1:]


def _count(items: list[Item], voice: Voice) -> list[str]:
    return [voice.say("Count the {what}: seedlings should show now.", what=plants(items, voice))]


def _sow(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for item in items:
        crop = voice.crop(item.crop or "", item.variety)
        cells = item.values.get("cells")
        if cells:
            lines.append(
                voice.say_n(
                    "Sow this week: {crop}, {n} cell.",
                    "Sow this week: {crop}, {n} cells.",
                    int(cells),
                    crop=crop,
                )
            )
        else:
            lines.append(voice.say("Sow this week: {crop}.", crop=crop))
    return lines


def _thin(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "Thin the {what} to one plant a cell. Snip, do not pull.", what=plants(items, voice)
        )
    ]


def _pot(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "Pot up the {what}: big enough now. Hold each by a leaf.", what=plants(items, voice)
        )
    ]


def _feed(items: list[Item], voice: Voice) -> list[str]:
    where = {
        first: list(
            dict.fromkeys(
                item.tray or item.sowing or ""
                for item in items
                if bool(item.values.get("first")) is first
            )
        )
        for first in (True, False)
    }
    again = where[False]
    first = [code for code in where[True] if code not in again]  # one tray, one strength
    lines = []
    if first:
        lines.append(
            voice.say(
                "Give {trays} a first feed, at half strength, on moist mix.",
                trays=voice.listed(first),
            )
        )
    if again:
        lines.append(voice.say("Feed {trays}, on moist mix.", trays=voice.listed(again)))
    return lines


def _alike(items: list[Item], *names: str) -> list[list[Item]]:
    """Group items whose named values are the same: they share a line."""
    groups: dict[tuple[str, ...], list[Item]] = {}
    for item in items:
        groups.setdefault(tuple(str(item.values.get(n)) for n in names), []).append(item)
    return list(groups.values())


def _harden(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for alike in _alike(items, "held", "hours", "exposure", "limit_c", "of", "plant_out"):
        v = alike[0].values
        what = plants(alike, voice)
        limit = voice.temp(float(v["limit_c"]))
        if v.get("held"):
            lines.append(
                voice.say(
                    "Wait with hardening off the {what} until it stays above {limit}.",
                    what=what,
                    limit=limit,
                )
            )
        else:
            lines.append(
                voice.say(
                    "Start hardening off the {what}: {hours} h outside today, {where}. "
                    "Bring it in below {limit}. It can go out for good about {day}.",
                    what=what,
                    hours=voice.number(float(v["hours"])),
                    where=exposure(voice, str(v["exposure"])),
                    limit=limit,
                    day=voice.day(v["plant_out"]),
                )
            )
    return lines


def _out(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for alike in _alike(items, "held", "number", "of", "hours", "exposure", "limit_c"):
        v = alike[0].values
        what = plants(alike, voice)
        limit = voice.temp(float(v["limit_c"]))
        if v.get("held"):
            lines.append(
                voice.say(
                    "Keep the {what} inside today: below {limit} is too cold for it.",
                    what=what,
                    limit=limit,
                )
            )
        else:
            lines.append(
                voice.say(
                    "Take the {what} outside for {hours} h, {where} (day {n} of {of}). "
                    "Bring it in below {limit}.",
                    what=what,
                    n=v["number"],
                    of=v["of"],
                    hours=voice.number(float(v["hours"])),
                    where=exposure(voice, str(v["exposure"])),
                    limit=limit,
                )
            )
    return lines


def _plant(items: list[Item], voice: Voice) -> list[str]:
    parts = [
        voice.say_n(
            "{what}, {n} plant",
            "{what}, {n} plants",
            int(item.values.get("count") or 0),
            what=plants([item], voice),
        )
        for item in items
    ]
    return [
        voice.say(
            "Ready to plant out: {plants}. Look at tonight's forecast first.",
            plants="; ".join(parts),
        )
    ]


def _light(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "Let the lamp on shelf {shelf} burn about {wanted} h a day. It burns {hours} h now.",
            shelf=item.shelf,
            hours=voice.number(float(item.values["hours"])),
            wanted=voice.number(float(item.values["wanted"])),
        )
        for item in items
    ]


def _break(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for item in items:
        dates = voice.span(item.values["first"], item.values["last"])
        dry = item.values.get("dry") or ()
        if dry:
            lines.append(
                voice.say(
                    "Closed from {first} to {last}: {trays} may dry out. How to get ready: /break",
                    **dates,
                    trays=voice.listed(list(dry)),
                )
            )
        else:
            lines.append(
                voice.say("Closed from {first} to {last}. How to get ready: /break", **dates)
            )
    return lines


def _eve(items: list[Item], voice: Voice) -> list[str]:
    lines = []
    for item in items:
        v = item.values
        lines.append(
            voice.say(
                "Nobody can get in from {first} to {last}. Before you leave, water {trays} from "
                "below until the top is dark.",
                **voice.span(v["first"], v["last"]),
                trays=voice.listed(list(v["trays"])),
            )
        )
        if v["dry"]:
            lines.append(
                voice.say(
                    "{trays} may dry out all the same. What helps: /break",
                    trays=voice.listed(list(v["dry"])),
                )
            )
        if v["lamps"]:
            lines.append(
                voice.say(
                    "Put the lamp of shelf {shelves} on a timer.",
                    shelves=voice.listed(list(v["lamps"])),
                )
            )
    return lines


def _back(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "First look after the closure: pour off standing water, feel the mix in {trays}, and "
            "tell me what came up.",
            trays=voice.listed(list(item.values["trays"])),
        )
        for item in items
    ]


def _frost(items: list[Item], voice: Voice) -> list[str]:
    low = voice.temp(float(items[0].values["low_c"]))
    return [
        voice.say(
            "{low} expected tonight: bring in the {what}.", low=low, what=plants(items, voice)
        )
    ]


def _uncovered(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say(
            "Nobody comes from {first} to {last}, and {trays} will want water by {dry}. "
            "Who could? /duty",
            **voice.span(item.values["first"], item.values["last"]),
            trays=voice.listed(list(item.values["trays"])),
            dry=voice.day(item.values["dry_on"]),
        )
        for item in items
    ]


def _asked(items: list[Item], voice: Voice) -> list[str]:
    return [
        voice.say("For {who}: {text}", who=who, text=item.values["text"])
        if not voice.private and (who := voice.people.get(item.values.get("member") or 0))
        else voice.say("{name} asks: {text}", name=name, text=item.values["text"])
        if (name := voice.people.get(item.values.get("asked_by") or 0)) is not None
        else voice.say("To remember: {text}", text=item.values["text"])
        for item in items
    ]


WORK_WORDS: dict[Work, Callable[[list[Item], Voice], list[str]]] = {
    Work.FROST: _frost,
    Work.COVER: cover,
    Work.EVE: _eve,
    Work.BACK: _back,
    Work.WARM: warm,
    Work.WATER: _water,
    Work.OUT: _out,
    Work.OVERDUE: _overdue,
    Work.COUNT: _count,
    Work.BREAK: _break,
    Work.UNCOVERED: _uncovered,
    Work.BESIDE: beside,
    Work.RESOW: resow,
    Work.SOW: _sow,
    Work.THIN: _thin,
    Work.POT_UP: _pot,
    Work.FEED: _feed,
    Work.BED: bed,
    Work.HARDEN: _harden,
    Work.PLANT: _plant,
    Work.LIGHT: _light,
    Work.ASKED: _asked,
    Work.WELL: well,
}
"""Kind of work → its lines; the order is that of a message."""
