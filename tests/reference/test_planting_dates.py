"""Ends of the planting season against published tables that no end of ours rests on.

planting_dates.csv holds dates as printed in
- USU-WASATCH, Suggested Vegetable Planting Dates for the Wasatch Front (Utah State University
  Extension, 2009): first dates, and autumn sowing, the same day for all kinds;
- DOCSLIB-TG, a transplanting guide for frosts on 1 May and 1 October (issuer not shown);
- OSU-HLA6009, Fall Gardening, and OSU-HLA6004, Garden Planning Guide, its warm-season rows, whose
  earliest dates are those of the south-east (Oklahoma State University Extension);
- ISU-LAST, last practical dates in central Iowa, PM 534 (Iowa State University Extension);
- TAMU-SPRING, Spring Planting Guide, region I, the Panhandle (Texas Agricultural Extension
  Service): the kinds whose own weeks do not rest on it;
- CLEMSON-COL, dates of Clemson University Extension for the South Carolina Piedmont in a newspaper
  column of 2017, asparagus to cabbage;
- MU-G6201, table 2, beans (University of Missouri Extension);
- HT-BROAD, a garden writer's dates for broad bean at three frost dates (Harvest to Table);
- VT-426-331, beans, and autumn planting of the cabbage kinds (Virginia Cooperative Extension,
  2006), for frosts on 25 April and 24 October, the middles it prints for the Piedmont.

Frost dates a table does not print are medians of the stations of its region in the freeze normals
of 1981-2010 (our computation). Left out: onions, which stand through the winter in autumn; and
artichoke, asparagus and rhubarb, printed there for roots and crowns, here set out as seedlings.
"""

from __future__ import annotations

import csv
from datetime import date, timedelta
from pathlib import Path

from core.trade.crops.table import crop_by_id
from core.trade.dates.schedule import schedule_crop
from core.trade.frost.estimate import dates_from_typical
from core.trade.frost.seasons import FrostSide, Hemisphere

TABLE = Path(__file__).with_name("planting_dates.csv")
YEAR = 2031


def on(text):
    month, day = text.split("-")
    return date(YEAR, int(month), int(day))


def frost(text, side):
    return dates_from_typical(on(text), side, Hemisphere.NORTH)


def off():
    """Yield (days ours is later, crop, table, end) for every printed end."""
    with TABLE.open(encoding="utf-8") as lines:
        for row in csv.DictReader(line for line in lines if not line.startswith("#")):
            first_frost = row["first_frost"] and frost(row["first_frost"], FrostSide.FIRST)
            found = schedule_crop(
                crop_by_id(row["crop"]),
                frost(row["last_frost"], FrostSide.LAST),
                YEAR,
                first_frost=first_frost or None,
            ).stretches
            ours = found[0].first if row["end"] == "first" else found[-1].last
            yield (ours - on(row["date"])).days, row["crop"], row["table"], row["end"]


def printed():
    """Return {(crop, first or last): days from the frost as each table prints them}."""
    days = {}
    with TABLE.open(encoding="utf-8") as lines:
        for row in csv.DictReader(line for line in lines if not line.startswith("#")):
            frost_on = on(row[f"{'last' if row['end'] == 'first' else 'first'}_frost"])
            days.setdefault((row["crop"], row["end"]), []).append((on(row["date"]) - frost_on).days)
    return days


def test_ends_lie_within_two_weeks_of_the_printed_ones_as_often_as_stated(capsys):
    """Short of the 90 % wanted against each table by itself; the tables differ by as much.

    Where tables print one end of a kind more than once they lie 16 days apart at the median and up
    to seven weeks; an end within two weeks of what they span is as right as they are. Beyond it:
    first dates of Utah, a dry spring, for carrot, parsnip and radish; one table's soybean, endive
    and cauliflower. Bounds are the measured shares, rounded down.
    """
    found = list(off())
    near = [d for d, *_ in found if abs(d) <= 14]
    within = [d for d, *_ in found if abs(d) <= 21]
    mean = sum(d for d, *_ in found) / len(found)
    of_kind = printed()
    beyond = []
    for late, crop, table, end in found:
        gaps = [late_of for late_of, c, _, e in found if (c, e) == (crop, end)]
        if min(gaps) > 14 or max(gaps) < -14:
            beyond.append((late, crop, table, end))
    spans = sorted(max(d) - min(d) for d in of_kind.values() if len(d) > 1)
    with capsys.disabled():
        print(  # noqa: T201 (the measured error is part of the result)
            f"\nplanting dates: {len(found)} ends of {len({c for _, c, _, _ in found})} kinds, "
            f"{len(near) / len(found):.0%} within two weeks, {len(within) / len(found):.0%} within "
            f"three, mean {mean:+.1f} days; {1 - len(beyond) / len(found):.0%} within two weeks of "
            f"what the tables span ({len(spans)} ends printed more than once, median span "
            f"{spans[len(spans) // 2]} days); beyond it: "
            + ", ".join(f"{c} {t} {e} {d:+d}" for d, c, t, e in sorted(beyond))
            + "; further off one table: "
            + ", ".join(f"{c} {t} {e} {d:+d}" for d, c, t, e in sorted(found) if abs(d) > 14)
        )
    assert len(found) >= 130
    assert len({crop for _, crop, _, _ in found}) >= 38
    assert len(near) / len(found) >= 0.78
    assert len(within) / len(found) >= 0.9
    assert 1 - len(beyond) / len(found) >= 0.93
    assert abs(mean) <= 5


def test_summer_is_not_over_in_july():
    """Last frost 28 April, first 19 October: carrot, beet, bean, kale and broccoli go on."""
    last, first = frost("04-28", FrostSide.LAST), frost("10-19", FrostSide.FIRST)
    for crop in ("kale", "broccoli", "carrot", "beet", "snap_bean", "lettuce", "radish"):
        plan = schedule_crop(crop_by_id(crop), last, YEAR, first_frost=first, on=date(YEAR, 7, 10))
        assert any(p is not None and p.sow.latest >= date(YEAR, 7, 10) for p in plan.parts), crop
    corn = schedule_crop(crop_by_id("sweet_corn"), last, YEAR, first_frost=first)
    assert corn.outdoors.sow.latest - corn.outdoors.sow.earliest >= timedelta(weeks=5)
