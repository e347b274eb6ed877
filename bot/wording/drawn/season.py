"""Words in and under the calendar of the season."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from babel.dates import get_month_names

from bot.wording.drawn.season_rows import Row
from bot.wording.voice import Voice
from core.replies.plans import DirectPlanned, SeasonLine, SeasonSaid

SEASON_ROWS = 12
"""Sowings on a page."""


def season_pages(rows: int) -> int:
    """Return how many pages some rows take; at least one."""
    return max(1, -(-rows // SEASON_ROWS))


def season_sentence(said: SeasonSaid, voice: Voice) -> str:
    """Return what comes next, in one sentence."""
    coming: list[tuple[date, str, str]] = []
    for line in said.lines:
        name = voice.crop(line.crop)
        if line.sowing is None:
            coming.append((line.sow_on, "sow", name))
            continue
        works = ("pot", line.pot_on), ("harden", line.harden_from), ("out", line.plant_out)
        coming += [(day, work, name) for work, day in works if day]
    coming += [(d.sow_on, "sow", voice.crop(d.crop)) for d in said.direct]
    ahead = [each for each in coming if each[0] >= voice.today]
    if not ahead:
        return voice.say("Nothing of the season lies ahead.")
    day = min(on for on, _, _ in ahead)
    by_work: dict[str, list[str]] = {}
    for on, work, name in ahead:
        if on == day and name not in by_work.setdefault(work, []):
            by_work[work].append(name)
    told = [_next_work(work, voice.listed(names[:3]), voice) for work, names in by_work.items()]
    return voice.say("Next, on {day}: {works}.", day=voice.day(day), works=voice.listed(told))


def _next_work(work: str, crops: str, voice: Voice) -> str:
    match work:
        case "sow":
            return voice.say("sow {crop}", crop=crops)
        case "pot":
            return voice.say("pot up {crop}", crop=crops)
        case "harden":
            return voice.say("harden off {crop}", crop=crops)
        case _:
            return voice.say("plant out {crop}", crop=crops)


def busy_line(weeks: Sequence[tuple[date, int]], voice: Voice) -> str:
    """Return the weeks with most to do, each by its Monday."""
    said = [
        voice.say_n("{day} ({n} job)", "{day} ({n} jobs)", n, day=voice.month_day(monday))
        for monday, n in weeks
    ]
    return voice.say_n(
        "Busiest week: from {weeks}.", "Busiest weeks: from {weeks}.", len(said),
        weeks=voice.listed(said),
    )  # fmt: skip


def _name(line: SeasonLine | DirectPlanned, voice: Voice) -> str:
    return voice.crop(line.crop, line.variety)


def season_below(page: int, pages: int, voice: Voice) -> str:
    """Return what the picture is of."""
    if pages == 1:
        return voice.say("The season's work")
    return voice.say("The season's work, page {page} of {pages}", page=page, pages=pages)


def month(day: date, voice: Voice) -> str:
    """Return the short name of a month."""
    return str(get_month_names("abbreviated", "stand-alone", locale=voice.locale)[day.month])


def frost_lines(curve: Sequence[tuple[date, float]], voice: Voice) -> list[str]:
    """Return three dates of the frost chance, or how to give one."""
    by_level = {level: day for day, level in curve}
    if not {0.9, 0.5, 0.1} <= by_level.keys():
        return [voice.say("No last frost known yet: /frost 28 April")]
    return [
        voice.say(
            "Frost comes after {likely} in 9 springs of 10, after {even} in 5, after {rare} in 1.",
            likely=voice.month_day(by_level[0.9]),
            even=voice.month_day(by_level[0.5]),
            rare=voice.month_day(by_level[0.1]),
        )
    ]


def closed_line(closed: Sequence[tuple[date, date]], voice: Voice) -> str:
    """Return the days nobody gets in."""
    said = [
        voice.say("{first} to {last}", first=voice.month_day(a), last=voice.month_day(b))
        for a, b in closed
    ]
    return voice.say("Closed: {days}.", days=voice.listed(said))


def row_name(row: Row, voice: Voice) -> str:
    """Return a row's name; what is not sown yet has no code."""
    crop = voice.crop(row.crop, row.variety)
    if row.outdoors:
        return voice.say("{crop} (outdoors)", crop=crop)
    if row.sowing is None:
        return crop
    return voice.say("{sowing} {crop}", sowing=row.sowing, crop=crop)


def work(kind: str, day: date, row: Row, voice: Voice) -> str:
    """Return one work and its date, as short as it can be said."""
    on = voice.month_day(day)
    match kind:
        case "sow" if row.weight == "planned":
            return voice.say("sow {day}", day=on)
        case "sow":
            return voice.say("sown {day}", day=on)
        case "pot":
            return voice.say("pots {day}", day=on)
        case "harden":
            return voice.say("harden {day}", day=on)
        case "out":
            return voice.say("out {day}", day=on)
        case "lost":
            return voice.say("lost {day}", day=on)
        case _:
            return voice.say("until {day}", day=on)


def weight_name(weight: str, voice: Voice) -> str:
    """Return what a weight of line means."""
    match weight:
        case "done":
            return voice.say("finished")
        case "lives":
            return voice.say("growing")
        case _:
            return voice.say("planned")


def season_caption(
    sentence: str,
    said: SeasonSaid,
    curve: Sequence[tuple[date, float]],
    closed: Sequence[tuple[date, date]],
    busiest: Sequence[tuple[date, int]],
    voice: Voice,
) -> str:
    """Return the season in words."""
    lines = [sentence, *frost_lines(curve, voice)]
    if closed:
        lines.append(closed_line(closed, voice))
    if busiest:
        lines.append(busy_line(busiest, voice))
    lines += [_line(line, voice) for line in (*said.finished, *said.lines)]
    for each in said.direct:
        lines.append(
            voice.say(
                "{name}: sow {sow} to {latest}.",
                name=voice.say("{crop} (outdoors)", crop=_name(each, voice)),
                sow=voice.month_day(each.sow_on),
                latest=voice.month_day(each.latest),
            )
        )
    return "\n".join(lines)


def _line(line: SeasonLine, voice: Voice) -> str:
    crop, sow = _name(line, voice), voice.month_day(line.sow_on)
    out = voice.month_day(line.plant_out) if line.plant_out else ""
    if line.sowing is None:
        if not out:
            return voice.say("{name}, planned: sow {sow}.", name=crop, sow=sow)
        return voice.say(
            "{name}, planned: sow {sow}, plant out {out}.", name=crop, sow=sow, out=out
        )
    name = voice.say("{sowing} {crop}", sowing=line.sowing, crop=crop)
    if line.lost_on:
        lost = voice.month_day(line.lost_on)
        return voice.say("{name}: sown {sow}, lost {lost}.", name=name, sow=sow, lost=lost)
    if not out:
        return voice.say("{name}: sown {sow}.", name=name, sow=sow)
    return voice.say("{name}: sown {sow}, plant out {out}.", name=name, sow=sow, out=out)
