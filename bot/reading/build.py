"""Slots → the request of a frame, or the one piece that is missing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from bot.grammar.context import GrammarContext
from bot.grammar.quantities import celsius, number_of
from bot.grammar.render import render
from bot.reading.readings import Reading
from bot.reading.scan import Mention
from bot.reading.slots import Slots
from core import requests as r
from core.cells import ALL_CELLS, CellSpec, Part
from core.errors import CellOutside
from core.requests import Where

MOST_CHOICES = 8
_ONE_CROP = ("sow", "up", "lost", "potted", "planted")
_NUMBERLESS = ("watered", "fed", "moist", "out")
"""Reports that take no count: a number left over was meant for something."""
_INDOORS_C, _INDOORS_F = (5.0, 45.0), (41.0, 113.0)  # beyond: the unit is doubtful
_OUTSIDE_C, _OUTSIDE_F = (-40.0, 45.0), (-40.0, 113.0)


def build(frame: str, how: str, s: Slots, context: GrammarContext) -> Reading:
    """Return the reading of a frame."""
    reading = _BUILDERS[frame](s, context)
    reading.frame = frame
    reading.unread = tuple(s.unknown)
    reading.counted = s.counted
    kinds = set(s.crops)
    if frame in _ONE_CROP and len(kinds) > 1 and not reading.missing:
        return Reading(frame=frame, missing="what", typed=reading.typed)
    if frame in ("up", "lost", "potted", "planted") and len(s.numbers) > 1:
        reading.doubts.append("guess")
    if frame == "up" and how == "shape" and s.doer is not None:
        reading.doubts.append("guess")
    strength = frame == "fed" and all(value < 1 for value, _ in s.numbers)
    if frame in _NUMBERLESS and s.numbers and not strength:
        reading.doubts.append("guess")
    if s.vague_day and s.on is None and not reading.missing:
        reading.missing = "date"
        reading.prefix = _prefix(reading.request)
    if how == "shape" and frame in ("lost", "potted", "planted"):
        reading.doubts.append("guess")
    whole = isinstance(reading.request, r.Sow) and reading.request.where.cells == ALL_CELLS
    if frame == "sow" and s.numbers and (s.cells or whole):
        reading.doubts.append("guess")  # a number that is no count of cells was meant for something
    if how == "guess" and not (
        s.numbers and isinstance(reading.request, r.Up) and reading.request.count == 0
    ):
        reading.doubts.append("guess")
    if frame == "temp" and s.unknown and not s.kinds and not s.cued:
        reading.doubts.append("guess")  # `24c` may be cells
    if s.doubtful:
        reading.doubts.append("guess")
    if how == "shape" and (s.unknown_first or (frame == "up" and s.unknown)):
        reading.doubts.append("guess")
    if how == "weak" and frame != "out":
        reading.doubts.append("guess")
    for slip in s.slips:
        reading.slips.append((slip.slip, _meant(slip)))
        writes = slip.has("done") or slip.has("level") or slip.has("total")
        if slip.kind in ("variety", "tray") or frame in ("lost", "planted") or writes:
            reading.doubts.append("slip")
    return reading


def _meant(slip: Mention) -> str:
    """Return what a slip was read as, in words."""
    if slip.kind == "word":
        return slip.text
    value = slip.value[0] if isinstance(slip.value, tuple) else slip.value
    return str(value).replace("_", " ")


def _common(s: Slots) -> dict[str, Any]:
    return {"on": s.on, "for_whom": s.doer}


def _crop(s: Slots, context: GrammarContext) -> str | None:
    """Return the crop meant, settled by what the trays named hold."""
    if s.variety and not s.crops:
        return next((crop for name, crop in context.varieties if name == s.variety), None)
    if not s.crops:
        return None
    ids = s.crops[0]
    if len(ids) > 1 and s.trays:
        held = [one for one in ids if any((tray, one) in context.holds for tray in s.trays)]
        ids = tuple(held) or ids
    return ids[0]


def _ambiguous(s: Slots, context: GrammarContext) -> tuple[str, ...]:
    ids = s.crops[0] if s.crops else ()
    if len(ids) > 1 and s.trays:
        held = tuple(one for one in ids if any((tray, one) in context.holds for tray in s.trays))
        ids = held or ids
    return ids if len(ids) > 1 else ()


def _prefix(request: r.Request | None) -> str:
    try:
        return f"{render(request)} " if request is not None else ""
    except ValueError:
        return ""


def _tray_choices(request: r.Report, context: GrammarContext, empty: bool) -> tuple[r.Request, ...]:
    held = {tray for tray, _ in context.holds}
    codes = [code for code in context.trays if (code not in held) == empty]
    return tuple(replace(request, where=replace(request.where, trays=(code,))) for code in codes)[
        :MOST_CHOICES
    ]


def _need_place(request: r.Report, s: Slots, context: GrammarContext) -> Reading:
    """Return the request, or ask for the tray where none and nothing else is named."""
    if ids := _ambiguous(s, context):
        crops = tuple(
            replace(request, where=replace(request.where, crop=one)) for one in ids[:MOST_CHOICES]
        )
        return Reading(request=request, missing="crop", choices=crops)
    if s.placed or request.where.everything:
        return Reading(request=request)
    choices = _tray_choices(request, context, empty=False)
    return Reading(request=request, missing="tray", choices=choices, prefix=_prefix(request))


def _sow(s: Slots, context: GrammarContext) -> Reading:
    crop = _crop(s, context)
    trays = tuple(dict.fromkeys(s.trays))
    cells = CellSpec(tuple(s.cells)) if s.cells and len(trays) <= 1 else None
    count, per_cell = s.cell_count, s.per_cell
    loose = _count(s)
    if loose and loose > 1 and cells is None and not count and not s.seeds:
        count = loose
    if s.all and cells is None and len(trays) == 1:
        cells, count = ALL_CELLS, 0
    if cells is not None:
        count = 0
    if s.seeds and per_cell and cells is None and not count and s.seeds % per_cell == 0:
        count = s.seeds // per_cell
    if s.seeds and not per_cell and len(trays) == 1:
        per_cell, count, cells = _spread(s, context, trays[0], cells, count)
    request = r.Sow(
        **_common(s), where=Where(trays=trays, cells=cells if trays else None),
        crop=crop, variety=s.variety, lot=s.lot, cell_count=count, seeds_per_cell=per_cell,
        depth_mm=s.mm[0] if s.mm else None,
    )  # fmt: skip
    ids = _ambiguous(s, context)
    if ids:
        options = tuple(replace(request, crop=one) for one in ids[:MOST_CHOICES])
        return Reading(request=request, missing="crop", choices=options)
    if crop is None and s.lot is None:
        return Reading(request=request, missing="crop", prefix=_prefix(request))
    if not trays:
        return Reading(
            request=request, missing="tray", prefix=_prefix(request),
            choices=_tray_choices(request, context, empty=True),
        )  # fmt: skip
    held = {tray for tray, _ in context.holds}
    if s.few and len(trays) > 1:  # `12 cells in T5 and some in T9`
        return Reading(request=request, missing="cells", prefix=_prefix(request))
    if cells is None and not count:
        if s.few or len(trays) > 1 or trays[0] in held:
            reading = Reading(request=request, missing="cells", prefix=_prefix(request))
            return reading
        request = replace(request, where=replace(request.where, cells=ALL_CELLS))
    return Reading(request=request)


def _spread(
    s: Slots, context: GrammarContext, tray: str, cells: CellSpec | None, count: int
) -> tuple[int, int, CellSpec | None]:
    """Return seeds a cell and cells for a total of seeds."""
    rows, cols = next(((a, b) for code, a, b in context.sizes if code == tray), (0, 0))
    number = count
    if cells is not None and rows:
        try:
            number = len(cells.within(tray, rows, cols))
        except CellOutside:
            number = 0
    if number and s.seeds % number == 0:
        return s.seeds // number, count, cells
    if number:  # they do not come out even: which cells is to be asked
        s.few = True
        return 0, 0, None
    return 1, s.seeds, None


def _count(s: Slots) -> int | None:
    whole = [value for value, m in s.numbers if value.denominator == 1 and value >= 0]
    if not whole and (s.article or s.first) and not s.all and not s.few:
        return 1
    return int(whole[0]) if whole else None


def _up(s: Slots, context: GrammarContext) -> Reading:
    where = s.where(_crop(s, context))
    count = _count(s)
    if count is None and s.cell_count:
        count = s.cell_count
    every = s.all and (count is None or count == _size(s, context))
    if count is None and s.none and not s.all:
        count = 0
    request = r.Up(
        **_common(s), where=where, count=None if every else count,
        more=s.more and bool(count) and not every, all_up=every,
    )  # fmt: skip
    if count is None and not every:
        if not s.placed:
            return Reading(request=None, missing="tray", choices=())
        request = replace(request, count=0)
        prefix = _prefix(request).replace("/up 0 ", "/up ")
        return Reading(request=request, missing="count", prefix=prefix)
    return _need_place(request, s, context)


def _size(s: Slots, context: GrammarContext) -> int | None:
    code = s.trays[0] if s.trays else None
    rows, cols = next(((a, b) for tray, a, b in context.sizes if tray == code), (0, 0))
    if not rows:
        return None
    if s.cells:
        if all(part.part is Part.ROW for part in s.cells):
            return cols * len(s.cells)
        return None
    return rows * cols


def _watered(s: Slots, context: GrammarContext) -> Reading:
    every = s.all and not s.placed
    where = replace(s.where(_crop(s, context)), everything=every)
    request = r.Watered(**_common(s), where=where, from_below=s.below)
    return _need_place(request, s, context)


def _moist(s: Slots, context: GrammarContext) -> Reading:
    where = replace(s.where(_crop(s, context)), everything=s.all and not s.placed)
    if s.level is None:
        return Reading(missing="what")
    request = r.Moist(**_common(s), where=where, level=r.Moisture(s.level))
    return _need_place(request, s, context)


def _temp(s: Slots, context: GrammarContext) -> Reading:
    kinds = [k for k in ("forecast", "low", "outside", "mix", "air") if k in s.kinds]
    if "mix" in kinds or "air" in kinds:
        kinds = [k for k in kinds if k in ("mix", "air")] or kinds
    kind = r.TempKind(kinds[0]) if kinds else None
    values = s.temps or [(value, "") for value, _ in s.numbers]
    if not values:
        return Reading(missing="what")
    value, unit = values[0]
    if kind is None and not s.trays and not s.crops and not s.sowing:
        kind = r.TempKind.AIR if s.shelves else None
    if kind is r.TempKind.OUTSIDE and (s.trays or s.shelves):
        kind = r.TempKind.MIX if s.trays else r.TempKind.AIR
    night = kind is r.TempKind.LOW and (s.shelves or s.trays)
    if night:  # a low of last night on a shelf is no low of the open air
        kind = r.TempKind.AIR
    outdoors = kind in (r.TempKind.FORECAST, r.TempKind.LOW, r.TempKind.OUTSIDE)
    where = s.where(_crop(s, context)) if not outdoors else Where()
    common = _common(s)
    if (night or (outdoors and kind is not r.TempKind.OUTSIDE)) and s.on is not None:
        if (context.today - s.on).days <= 1:
            common["on"] = None
    make: Callable[[float], r.Temp] = lambda c: r.Temp(  # noqa: E731
        **common, where=where, temp_c=c, kind=kind
    )
    in_f = celsius(value)
    in_c = number_of(Fraction(value))
    if not unit:
        low, high = (
            (_OUTSIDE_F if context.fahrenheit else _OUTSIDE_C)
            if outdoors
            else (_INDOORS_F if context.fahrenheit else _INDOORS_C)
        )
        if not low <= value <= high:
            return Reading(request=make(in_c), missing="unit", choices=(make(in_c), make(in_f)))
        unit = "f" if context.fahrenheit else "c"
    request = make(in_f if unit == "f" else in_c)
    if outdoors:
        return Reading(request=request)
    if kind is None and not s.placed:
        return Reading(request=request, missing="place", prefix=_prefix(request))
    reading = _need_place(request, s, context)
    return reading


def _light(s: Slots, context: GrammarContext) -> Reading:
    where = s.where(_crop(s, context))
    if where.shelf:
        where = replace(where, crop=None)  # `6 in above the tomatoes on A`: the shelf's lamp
    request = r.Light(
        **_common(s), where=where, ppfd=s.ppfd, lux=s.lux, hours=s.hours,
        height_mm=s.mm[0] if s.mm else None,
    )  # fmt: skip
    if s.ppfd is None and s.lux is None and s.hours is None and not s.mm:
        return Reading(missing="what")
    if s.placed:
        return Reading(request=request)
    choices = tuple(
        replace(request, where=Where(shelf=code)) for code in context.shelves[:MOST_CHOICES]
    )
    return Reading(request=request, missing="place", choices=choices, prefix=_prefix(request))


def _thinned(s: Slots, context: GrammarContext) -> Reading:
    per_cell = s.per_cell or _count(s) or 1
    request = r.Thinned(**_common(s), where=s.where(_crop(s, context)), per_cell=per_cell)
    return _need_place(request, s, context)


def _whole(reading: Reading, s: Slots, count: int | None) -> Reading:
    """Read back what would take every plant where `all` was not said."""
    if count is None and not s.all and not reading.missing:
        reading.doubts.append("whole")
    return reading


def _potted(s: Slots, context: GrammarContext) -> Reading:
    count = _count(s)
    if count is None and s.cell_count:
        count = s.cell_count
    onto = s.shelves[0] if s.shelves and not s.into and (s.pots or s.crops or s.trays) else None
    where = replace(s.where(_crop(s, context)), shelf=None) if onto else s.where(_crop(s, context))
    request = r.Potted(
        **_common(s), where=where, count=count, into_tray=s.into, onto_shelf=onto,
        into_cells=CellSpec(tuple(s.into_cells)) if s.into_cells and s.into else None,
    )  # fmt: skip
    if count is None and s.few:
        return Reading(request=request, missing="count", prefix=_prefix(request))
    if s.only_moved and s.trays and not (count or s.crops or s.cells or s.into or onto or s.pots):
        return Reading(missing="place")  # `moved T2 to a better spot`: a tray, not its plants
    reading = _need_place(request, s, context)
    return reading if s.cells else _whole(reading, s, count)


def _fed(s: Slots, context: GrammarContext) -> Reading:
    where = replace(s.where(_crop(s, context)), everything=s.all and not s.placed)
    request = r.Fed(**_common(s), where=where, ppm_n=s.ppm)
    return _need_place(request, s, context)


def _out(s: Slots, context: GrammarContext) -> Reading:
    hours = s.hours
    if hours is None and s.numbers and not s.overnight:
        hours = None
    where = replace(s.where(_crop(s, context)), everything=s.all and not s.placed)
    request = r.Out(**_common(s), where=where, hours=hours, overnight=s.overnight)
    return _need_place(request, s, context)


def _planted(s: Slots, context: GrammarContext) -> Reading:
    count = _count(s)
    request = r.Planted(
        **_common(s), where=s.where(_crop(s, context)), count=count, to_whom=s.to_whom
    )
    if s.few:
        request = replace(request, count=None)
        return Reading(request=request, missing="count", prefix=_prefix(request))
    return _whole(_need_place(request, s, context), s, count)


def _lost(s: Slots, context: GrammarContext) -> Reading:
    count = _count(s)
    if count is None and s.cell_count:
        count = s.cell_count
    request = r.Lost(**_common(s), where=s.where(_crop(s, context)), count=count, cause=s.cause)
    if s.none and not s.all and count is None:
        return Reading(blocked="not")
    if count is None and s.few:
        return Reading(request=request, missing="count", prefix=_prefix(request))
    reading = _need_place(request, s, context)
    if count is None and not s.cells and not reading.missing:
        reading.doubts.append("whole")  # it closes a sowing: read back even where `all` was said
    return reading


_BUILDERS: dict[str, Callable[[Slots, GrammarContext], Reading]] = {
    "sow": _sow, "up": _up, "watered": _watered, "moist": _moist, "temp": _temp, "light": _light,
    "thinned": _thinned, "potted": _potted, "fed": _fed, "out": _out, "planted": _planted,
    "lost": _lost,
}  # fmt: skip
