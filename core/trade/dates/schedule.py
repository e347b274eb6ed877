"""From frost dates and a crop's figures to dates: sow, pot up, harden off, plant out.

A crop's weeks count from the average last frost, the date with an even chance of frost on or
after it. A plant that frost hurts waits longer where needed: it goes out on the later of its own
weeks and the day whose chance of frost is no higher than its class accepts (`hardiness.toml`).
A seed sown outdoors may go in sooner: by the crop's weeks alone, which are published as sowing
dates; by the days it stays below ground where they are the class's, or a risk was named.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from core.errors import CropTimesMissing, PlantOutDateNeeded
from core.trade.crops.hardiness import Hardiness, hardiness_of, timing_days
from core.trade.crops.row import HardinessClass, Method
from core.trade.dates.scheduled_crop import ScheduledCrop
from core.trade.dates.seasons import SeasonKind, Stretch, days_short, is_tight, stretches
from core.trade.frost.dates import FrostChance, FrostDates
from core.trade.frost.seasons import FrostSide, Hemisphere

AVERAGE_LEVEL = 0.5
"""The even chance that "average last frost" means (NCEI-README, 50 %)."""


class AnchorBasis(StrEnum):
    """What the crop's weeks were counted from."""

    AVERAGE_LAST_FROST = "average_last_frost"
    SEASONS_WITH_FROST = "seasons_with_frost"  # too few freeze for an average; their middle date
    DATE_GIVEN = "date_given"  # the person named the planting-out date


class WeeksBasis(StrEnum):
    """Whose weeks around the last frost were used."""

    CROP = "crop"
    HARDINESS_CLASS = "hardiness_class"
    NONE = "none"  # the person named the date


@dataclass(frozen=True, slots=True, kw_only=True)
class DateWindow:
    """Dates between which something is done: earliest <= target <= latest."""

    earliest: date
    target: date
    latest: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Indoors:
    """Dates of a crop raised indoors.

    Attributes:
        sow, plant_out: windows; the targets belong together.
        pot_up_on: None when the crop is not potted up or has no time for it.
        harden_from: first day of hardening off; it ends the day before planting out.
        harden_days: its length, days: by class, at most half the time from emergence to planting
            out, so that a crop of few weeks is not hardened from the seed leaf.
        harden_shortened: whether that limit shortened it.
        chance: chance of frost on or after the target planting-out date.
        minimise_root_disturbance: raise it in its own pot or block.
        weeks: least and most weeks from sowing to planting out that the target aims at.
        large: they are those of large plants, which a tight season asks for; a later sowing
            within the window gives plants of the crop's usual weeks.
    """

    sow: DateWindow
    pot_up_on: date | None
    harden_from: date
    harden_days: int
    harden_shortened: bool
    plant_out: DateWindow
    chance: FrostChance
    minimise_root_disturbance: bool
    weeks: tuple[float, float]
    large: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Outdoors:
    """Dates of a crop sown where it will grow.

    Attributes:
        sow: window.
        up_on: soonest day the target sowing shows above ground.
        chance: chance of frost on or after `up_on`.
    """

    sow: DateWindow
    up_on: date
    chance: FrostChance


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """The dates of one crop in one growing year, and what they rest on.

    Attributes:
        year: year of the spring.
        anchor: date the weeks were counted from.
        level: chance of frost the class accepts; 1 = any.
        level_date: first day with that chance; None when frost sets no limit.
        held_days: days the frost level moved the earliest planting out, or sowing of a crop only
            sown outdoors, beyond the crop's weeks.
        indoors: None for a crop that is only sown outdoors.
        outdoors: None for a crop that is only raised indoors.
        lowest_night_c: coldest night for plants just set out, °C, by class.
        stretches: when it can be planted out, or sown outdoors, all year; the dates above are of
            the one that `on` falls in or is before.
        stretch: that one; None where the person named the date.
        short_days: days by which the season is too short for it, where the first frost is known.
    """

    crop: str
    year: int
    anchor: date
    anchor_basis: AnchorBasis
    weeks_basis: WeeksBasis
    level: float
    level_date: date | None
    held_days: int
    indoors: Indoors | None
    outdoors: Outdoors | None
    lowest_night_c: float
    stretches: tuple[Stretch, ...] = ()
    stretch: Stretch | None = None
    short_days: int = 0

    @property
    def parts(self) -> tuple[Indoors | Outdoors | None, ...]:
        """The dates indoors and outdoors."""
        return self.indoors, self.outdoors


def schedule_crop(
    crop: ScheduledCrop,
    frost: FrostDates,
    year: int,
    *,
    plant_out: date | None = None,
    level: float | None = None,
    lamp_raised: bool = False,
    first_frost: FrostDates | None = None,
    on: date | None = None,
) -> Schedule:
    """Return the dates of a crop for the spring of `year`.

    Args:
        frost: the site's last frosts.
        plant_out: planting-out (or outdoor sowing) date the person wants; needed where no
            season freezes, and then not held back by frost: its chance is stated.
        level: chance of frost to accept instead of the class's, 0 < level <= 1.
        lamp_raised: harden as long as plants from under lamps need.
        first_frost: the site's first frosts, which end the season; a usual length when None.
        on: a day: dates are of the first stretch that can still be sown for on it; the first of
            the year when None.

    Raises PlantOutDateNeeded where no season freezes and `plant_out` is None,
    CropTimesMissing when a crop raised indoors has no weeks from sowing to planting out,
    ValueError for first frosts or a level out of range.
    Checked by: tests/core/trade/dates/test_schedule.py.
    """
    if frost.side is not FrostSide.LAST:
        raise ValueError("a schedule is reckoned from last frosts")
    hardiness = hardiness_of(crop.hardiness_class)
    accepted = hardiness.level if level is None else level
    if not 0 < accepted <= 1:
        raise ValueError(f"level outside 0..1: {accepted}")
    safe = frost.safe_date(accepted, year) if accepted < 1 else None
    if plant_out is not None:
        anchor, anchor_basis, weeks_basis = plant_out, AnchorBasis.DATE_GIVEN, WeeksBasis.NONE
        first = last = 0
        safe_to_use = None
    else:
        anchor, anchor_basis = _anchor(crop, frost, year)
        first, last, weeks_basis = _weeks_in_days(crop, hardiness)
        safe_to_use = safe
    out = _window(anchor, first, last, not_before=safe_to_use)
    hidden = timedelta(days=crop.emergence_days_min or 0)
    in_ground = None if safe_to_use is None else safe_to_use - hidden
    by_own_weeks = (
        weeks_basis is WeeksBasis.CROP
        and level is None
        and crop.hardiness_class is not HardinessClass.VERY_TENDER
    )
    sow = _window(anchor, first, last, not_before=None if by_own_weeks else in_ground)
    if plant_out is not None:
        sow = out
    autumn = _average_first(first_frost, year)
    used = sow if crop.method is Method.DIRECT else out
    held = (used.earliest - (anchor + timedelta(days=first))).days
    found: tuple[Stretch, ...] = ()
    chosen: Stretch | None = None
    if plant_out is None:
        found = stretches(
            crop,
            anchor=anchor,
            first=_begins(crop, out, sow),
            least_last=out.latest,
            first_frost=autumn,
        )
        chosen = next((s for s in found if on is None or _still(crop, s, on)), found[-1])
        out, sow = _within(out, chosen), _within(sow, chosen)
    begins = out.earliest
    tight = autumn is not None and is_tight(crop, begins, autumn)
    return Schedule(
        crop=crop.id,
        year=year,
        anchor=anchor,
        anchor_basis=anchor_basis,
        weeks_basis=weeks_basis,
        level=accepted,
        level_date=safe,
        held_days=held,
        indoors=_indoors(crop, frost, year, out, hardiness, lamp_raised=lamp_raised, tight=tight),
        outdoors=_outdoors(crop, frost, year, sow),
        lowest_night_c=hardiness.lowest_night_c,
        stretches=found,
        stretch=chosen,
        short_days=_days_short(crop, chosen, autumn),
    )


def autumn_year(year: int, hemisphere: Hemisphere) -> int:
    """Return the year of the autumn that ends the growing season of the spring of `year`."""
    return year + (1 if hemisphere is Hemisphere.SOUTH else 0)


def _anchor(crop: ScheduledCrop, frost: FrostDates, year: int) -> tuple[date, AnchorBasis]:
    average = frost.date_at(AVERAGE_LEVEL, year)
    if average is not None:
        return average, AnchorBasis.AVERAGE_LAST_FROST
    middle = frost.usual_date(year)
    if middle is None:
        raise PlantOutDateNeeded(crop=crop.id, n_seasons=frost.n_seasons)
    return middle, AnchorBasis.SEASONS_WITH_FROST


def _weeks_in_days(crop: ScheduledCrop, hardiness: Hardiness) -> tuple[int, int, WeeksBasis]:
    """Return the days around the last frost, and whose weeks they are."""
    first = crop.plantout_weeks_vs_last_frost_min
    last = crop.plantout_weeks_vs_last_frost_max
    if first is None or last is None:
        weeks = (hardiness.weeks_vs_last_frost_min, hardiness.weeks_vs_last_frost_max)
        return _days(weeks[0]), _days(weeks[1]), WeeksBasis.HARDINESS_CLASS
    return _days(first), _days(last), WeeksBasis.CROP


def _window(anchor: date, first: int, last: int, *, not_before: date | None) -> DateWindow:
    """Return the window `first`..`last` days from `anchor`, kept its length when held back."""
    earliest = anchor + timedelta(days=first)
    if not_before is not None:
        earliest = max(earliest, not_before)
    middle = anchor + timedelta(days=(first + last) // 2)
    latest = max(anchor + timedelta(days=last), earliest + timedelta(days=last - first))
    return DateWindow(earliest=earliest, target=max(earliest, middle), latest=latest)


def _average_first(first_frost: FrostDates | None, year: int) -> date | None:
    """Return the average first frost of the autumn after the spring of `year`, when known."""
    if first_frost is None:
        return None
    return first_frost.date_at(AVERAGE_LEVEL, autumn_year(year, first_frost.hemisphere))


def _days_short(crop: ScheduledCrop, chosen: Stretch | None, first_frost: date | None) -> int:
    return 0 if chosen is None or first_frost is None else days_short(crop, chosen, first_frost)


def _still(crop: ScheduledCrop, stretch: Stretch, on: date) -> bool:
    """Whether a crop can still be sown on a day to be planted within a stretch."""
    in_tray = timedelta(0)
    if crop.method is Method.TRANSPLANT:
        in_tray = timedelta(days=_days(crop.weeks_sow_to_plantout_min or 0))
    return on <= stretch.last - in_tray


def _begins(crop: ScheduledCrop, out: DateWindow, sow: DateWindow) -> date:
    """Return the first day of planting out or of sowing outdoors, whichever the crop is fit for."""
    if crop.method is Method.TRANSPLANT:
        return out.earliest
    return sow.earliest if crop.method is Method.DIRECT else min(out.earliest, sow.earliest)


def _within(window: DateWindow, stretch: Stretch) -> DateWindow:
    """Return the first dates of a stretch, open to its end."""
    if stretch.kind is SeasonKind.AUTUMN:
        middle = stretch.first + (stretch.last - stretch.first) / 2
        return DateWindow(earliest=stretch.first, target=middle, latest=stretch.last)
    latest = max(stretch.last, window.earliest)
    return DateWindow(earliest=window.earliest, target=min(window.target, latest), latest=latest)


def _indoors(
    crop: ScheduledCrop,
    frost: FrostDates,
    year: int,
    out: DateWindow,
    hardiness: Hardiness,
    *,
    lamp_raised: bool,
    tight: bool,
) -> Indoors | None:
    if crop.method is Method.DIRECT:
        return None
    least, most = crop.weeks_sow_to_plantout_min, crop.weeks_sow_to_plantout_max
    if least is None or most is None:
        if crop.method is Method.EITHER:
            return None
        missing = ("weeks_sow_to_plantout_min", "weeks_sow_to_plantout_max")
        raise CropTimesMissing(crop=crop.id, fields=missing)
    weeks = (least, most)
    large = tight and crop.weeks_max is not None and crop.weeks_max > most
    if large and crop.weeks_max is not None:
        weeks = (most, crop.weeks_max)
    sow = DateWindow(
        earliest=out.earliest - timedelta(days=_days(weeks[1])),
        target=out.target - timedelta(days=_days(sum(weeks) / 2)),
        latest=out.latest - timedelta(days=_days(least)),
    )
    hardening = hardiness.harden_days
    if lamp_raised:
        hardening = max(hardening, timing_days("harden_lamp_raised"))
    life = (out.target - sow.target).days - (_days_to_up(crop) or 0)
    harden_days = min(hardening, max(timing_days("harden_least"), life // 2))
    harden_from = out.target - timedelta(days=harden_days)
    return Indoors(
        sow=sow,
        pot_up_on=_pot_up(crop, sow.target, harden_from) if crop.pot_up else None,
        harden_from=harden_from,
        harden_days=harden_days,
        harden_shortened=harden_days < hardening,
        plant_out=out,
        chance=frost.chance_on_or_after(out.target, year=year),
        minimise_root_disturbance=crop.resents_root_disturbance,
        weeks=weeks,
        large=large,
    )


def _pot_up(crop: ScheduledCrop, sow: date, harden_from: date) -> date | None:
    """Return the day of the first true leaves, in time to root in before hardening.

    None when emergence is not known, or there is not half that time for leaves to form.
    """
    to_up = _days_to_up(crop)
    if to_up is None:
        return None
    leaves = timing_days("pot_up_after_emergence")
    up = sow + timedelta(days=to_up)
    latest = harden_from - timedelta(days=timing_days("pot_up_before_hardening"))
    on = min(up + timedelta(days=leaves), latest)
    return on if on >= up + timedelta(days=leaves // 2) else None


def _days_to_up(crop: ScheduledCrop) -> int | None:
    """Return the middle of the crop's days to emergence, or None when not known."""
    least, most = crop.emergence_days_min, crop.emergence_days_max
    return None if least is None or most is None else (least + most + 1) // 2


def _outdoors(
    crop: ScheduledCrop, frost: FrostDates, year: int, sow: DateWindow
) -> Outdoors | None:
    if crop.method is Method.TRANSPLANT:
        return None
    hidden = timedelta(days=crop.emergence_days_min or 0)
    up_on = sow.target + hidden
    return Outdoors(sow=sow, up_on=up_on, chance=frost.chance_on_or_after(up_on, year=year))


def _days(weeks: float) -> int:
    return round(weeks * 7)
