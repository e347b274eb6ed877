"""The rows of the season: each sowing with its works in order, and how sure they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from core.replies.plans import DirectPlanned, SeasonLine, SeasonSaid

BUSY, BUSIEST = 3, 3
"""Works that make a week busy, and how many weeks are named: our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One sowing.

    Attributes:
        weight: `done`, `lives` or `planned`.
        works: (`sow`, `pot`, `harden`, `out`, `lost` or `until`, date), by date, at least one.
        outdoors: sown where it will grow.
    """

    crop: str
    variety: str | None
    sowing: str | None
    weight: str
    works: tuple[tuple[str, date], ...]
    outdoors: bool = False


def rows_of(said: SeasonSaid) -> list[Row]:
    """Return the rows by their first day; those that are done first."""
    done = [_row(line, "done") for line in said.finished]
    open_rows = [_row(line, "lives" if line.sowing else "planned") for line in said.lines]
    open_rows += [_direct(each) for each in said.direct]
    key = lambda row: (row.works[0][1], row.crop, row.sowing or "")  # noqa: E731
    return sorted(done, key=key) + sorted(open_rows, key=key)


def jobs_by_week(rows: Sequence[Row], today: date) -> dict[date, int]:
    """Return how many works fall in each week from today's on, by its Monday.

    `until` and `lost` are no work.
    """
    found: dict[date, int] = {}
    for row in rows:
        for work, day in row.works:
            if day >= today and work not in ("until", "lost"):
                monday = day - timedelta(days=day.weekday())
                found[monday] = found.get(monday, 0) + 1
    return dict(sorted(found.items()))


def busiest(jobs: Mapping[date, int]) -> list[tuple[date, int]]:
    """Return the weeks with the most to do, by date; none where no week has three works.

    Within one work of the fullest, three weeks at most: more would be no warning.
    """
    most = max(jobs.values(), default=0)
    if most < BUSY:
        return []
    near = sorted(jobs.items(), key=lambda week: (-week[1], week[0]))
    return sorted(week for week in near[:BUSIEST] if week[1] >= max(BUSY, most - 1))


def _row(line: SeasonLine, weight: str) -> Row:
    works = [("sow", line.sow_on)]
    for work, day in (
        ("pot", line.pot_on), ("harden", line.harden_from), ("out", line.plant_out),
        ("lost", line.lost_on),
    ):  # fmt: skip
        if day is not None and day >= line.sow_on:
            works.append((work, day))
    works[1:] = sorted(works[1:], key=lambda work: work[1])
    return Row(
        crop=line.crop, variety=line.variety, sowing=line.sowing, weight=weight,
        works=tuple(works),
    )  # fmt: skip


def _direct(each: DirectPlanned) -> Row:
    works = [("sow", each.sow_on)]
    if each.latest > each.sow_on:
        works.append(("until", each.latest))
    return Row(
        crop=each.crop, variety=each.variety, sowing=None, weight="planned", works=tuple(works),
        outdoors=True,
    )  # fmt: skip
