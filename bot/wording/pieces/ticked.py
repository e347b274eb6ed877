"""What was done of the day's list, one line for each kind of work and person."""

from __future__ import annotations

from collections.abc import Callable

from bot.wording.pieces.work_lines import plants
from bot.wording.voice import Voice
from core.due.items import Work
from core.due.ticks import Tick

MARK = "✓"


def ticked(ticks: tuple[Tick, ...], voice: Voice) -> list[str]:
    """Return the lines of what was done, by whom."""
    seen = {tray for tick in ticks for item in tick.items for tray in item.trays}
    lines = []
    for tick in ticks:
        if tick.kind is Work.WATER and all(item.tray in seen for item in tick.items):
            continue  # said by the line of the eve, or of the first look
        member, name = tick.by
        who = name or voice.who(member)
        lines.append(f"{MARK} {_WORDS.get(tick.kind, _seen_to)(tick, who, voice)}")
    return lines


def _trays(tick: Tick, voice: Voice) -> str:
    named = [tray for item in tick.items for tray in (item.trays or (item.tray or "",))]
    return voice.listed(dict.fromkeys(named))


def _water(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} saw to the water in {trays}.", who=who, trays=_trays(tick, voice))


def _fed(tick: Tick, who: str, voice: Voice) -> str:
    places = list(dict.fromkeys(item.tray or item.sowing or "" for item in tick.items))
    return voice.say("{who} fed {trays}.", who=who, trays=voice.listed(places))


def _counted(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} counted the {what}.", who=who, what=plants(tick.items, voice))


def _sown(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} sowed {what}.", who=who, what=plants(tick.items, voice))


def _thinned(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} thinned the {what}.", who=who, what=plants(tick.items, voice))


def _potted(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} potted up the {what}.", who=who, what=plants(tick.items, voice))


def _out(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} took the {what} outside.", who=who, what=plants(tick.items, voice))


def _planted(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} planted out the {what}.", who=who, what=plants(tick.items, voice))


def _in(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} brought in the {what}.", who=who, what=plants(tick.items, voice))


def _seen_to(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} saw to the {what}.", who=who, what=plants(tick.items, voice))


def _looked(tick: Tick, who: str, voice: Voice) -> str:
    trays = voice.listed(dict.fromkeys(item.tray or "" for item in tick.items))
    return voice.say("{who} looked at what stands beside {trays}.", who=who, trays=trays)


def _asked(tick: Tick, who: str, voice: Voice) -> str:
    return voice.say("{who} did what was asked.", who=who)


_WORDS: dict[Work, Callable[[Tick, str, Voice], str]] = {
    Work.WATER: _water,
    Work.EVE: _water,
    Work.BACK: _water,
    Work.FEED: _fed,
    Work.COUNT: _counted,
    Work.SOW: _sown,
    Work.RESOW: _sown,
    Work.BESIDE: _looked,
    Work.THIN: _thinned,
    Work.POT_UP: _potted,
    Work.OUT: _out,
    Work.HARDEN: _out,
    Work.PLANT: _planted,
    Work.FROST: _in,
    Work.ASKED: _asked,
}
