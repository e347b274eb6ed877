"""The lines of a season plan: a sowing, a crop sown outdoors, the space, what it rests on."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.replies import plans as p


def sowing_line(sowing: p.SowingPlanned, voice: Voice) -> str:
    """Return a sowing with its dates, its room and why it is off its usual date."""
    crop = voice.crop(sowing.crop, sowing.variety)
    if sowing.sown is not None:
        return voice.say(
            "{crop}: sown ({sowing}), out about {out}.",
            crop=crop,
            sowing=sowing.sown,
            out=voice.day(sowing.plant_out),
        )
    parts = [
        voice.say(
            "{day}: {crop}, {cells}, {trays}",
            day=voice.day(sowing.sow_on),
            crop=crop,
            cells=_cells(sowing, voice),
            trays=_trays(sowing.trays, sowing.shelf, voice),
        )
    ]
    if sowing.pot_on is not None:
        parts.append(
            voice.say(
                "pot up {day} ({trays})",
                day=voice.day(sowing.pot_on),
                trays=_trays(sowing.pot_trays, None, voice),
            )
        )
    if sowing.frost_chance is None:
        parts.append(voice.say("out {day}", day=voice.day(sowing.plant_out)))
    else:
        parts.append(
            voice.say(
                "out {day}, {chance} chance of frost from then on",
                day=voice.day(sowing.plant_out),
                chance=voice.percent(sowing.frost_chance),
            )
        )
    line = "; ".join(parts) + "."
    why = _moved(sowing, voice)
    return f"{line} {why}" if why else line


def _cells(sowing: p.SowingPlanned, voice: Voice) -> str:
    cells = voice.say_n("{n} cell", "{n} cells", sowing.cells)
    return voice.say_n(
        "{cells} of {n} seed", "{cells} of {n} seeds", sowing.seeds_per_cell, cells=cells
    )


def _trays(trays: float, shelf: str | None, voice: Voice) -> str:
    """Trays to a quarter, never nought."""
    quarters = max(0.25, round(trays * 4) / 4)
    number = voice.number(quarters, 2)
    if shelf:
        return (
            voice.say("1 tray on shelf {shelf}", shelf=shelf)
            if quarters == 1
            else voice.say("{number} trays on shelf {shelf}", number=number, shelf=shelf)
        )
    return voice.say("1 tray") if quarters == 1 else voice.say("{number} trays", number=number)


def _moved(sowing: p.SowingPlanned, voice: Voice) -> str:
    """Say by how much and why a sowing is off its usual date."""
    if sowing.pinned:
        return _pinned(sowing, voice)
    if sowing.behind_days > 6:
        return voice.say(
            "Its usual date has passed {n} days ago; still in time.", n=sowing.behind_days
        )
    weeks = abs(sowing.moved_weeks)
    if not weeks:
        return ""
    later = sowing.moved_weeks > 0
    match sowing.why, later:
        case "closed", True:
            return voice.say_n(
                "{n} week later than usual: you are closed.",
                "{n} weeks later than usual: you are closed.",
                weeks,
            )
        case "closed", _:
            return voice.say_n(
                "{n} week sooner than usual: you are closed.",
                "{n} weeks sooner than usual: you are closed.",
                weeks,
            )
        case "frost", True:
            return voice.say_n(
                "{n} week later than usual, for the frost.",
                "{n} weeks later than usual, for the frost.",
                weeks,
            )
        case "frost", _:
            return voice.say_n(
                "{n} week sooner than usual, by the whole weeks of the plan.",
                "{n} weeks sooner than usual, by the whole weeks of the plan.",
                weeks,
            )
        case _, True:
            return voice.say_n(
                "{n} week later than usual, for the space.",
                "{n} weeks later than usual, for the space.",
                weeks,
            )
        case _:
            return voice.say_n(
                "{n} week sooner than usual, for the space.",
                "{n} weeks sooner than usual, for the space.",
                weeks,
            )


def _pinned(sowing: p.SowingPlanned, voice: Voice) -> str:
    """Say that a date is set, and what the reckoning would say where it lies outside."""
    first, last = sowing.usual_first, sowing.usual_last
    if first is None or last is None or first <= sowing.sow_on <= last:
        return voice.say("Date pinned.")
    values = {"first": voice.day(first), "last": voice.day(last)}
    if sowing.sow_on < first:
        return voice.say(
            "Date pinned; early: usually {first} to {last}. It stands longer under the lamps.",
            **values,
        )
    return voice.say("Date pinned; late: usually {first} to {last}.", **values)


def direct_line(direct: p.DirectPlanned, voice: Voice) -> str:
    """Return the outdoor dates of a crop."""
    crop = voice.crop(direct.crop, direct.variety)
    dates = {
        "crop": crop,
        "day": voice.day(direct.sow_on),
        "first": voice.day(direct.earliest),
        "last": voice.day(direct.latest),
    }
    if direct.frost_chance is None:
        return voice.say("{crop}: sow outdoors about {day} ({first} to {last}), no tray.", **dates)
    return voice.say(
        "{crop}: sow outdoors about {day} ({first} to {last}), no tray; {chance} chance of frost "
        "once it is up.",
        **dates,
        chance=voice.percent(direct.frost_chance),
    )


def seed_short_line(one: p.SeedShort, voice: Voice) -> str:
    """Return how much seed is to be bought, and by when."""
    return voice.say_n(
        "Seed short: {n} of {crop} beyond what {lots} holds. Get it by {day}.",
        "Seed short: {n} of {crop} beyond what {lots} holds. Get it by {day}.",
        one.missing, crop=voice.crop(one.crop, one.variety), lots=voice.listed(one.lots),
        day=voice.day(one.by),
    )  # fmt: skip


def space_lines(reply: p.PlanSaid, voice: Voice) -> list[str]:
    """Return how full the shelves get, and what is not known of them."""
    lines = []
    if reply.fullest:
        weeks = [
            voice.say("{day} ({used} of {places})", day=voice.day(monday), used=used, places=places)
            for monday, used, places in reply.fullest
        ]
        lines.append(
            voice.say(
                "Fullest weeks, in tray places: {weeks}; what stands there now is counted.",
                weeks=voice.listed(weeks),
            )
        )
    guessed = reply.notes.get("guessed_shelves") or ()
    if guessed and reply.state == "proposed":
        lines.append(
            voice.say(
                "Nobody told me the places of {shelves}; I took the trays there now. "
                "To set them: /shelf {first} 4 places",
                shelves=voice.listed(voice.say("shelf {shelf}", shelf=shelf) for shelf in guessed),
                first=guessed[0],
            )
        )
    if not reply.notes.get("space_known", True) and reply.state == "proposed":
        lines.append(voice.say("To check the space: /shelf A led 4 places"))
    return lines


MOST_LOTS = 3
"""Lots that are named one by one under a plan."""


def basis_lines(reply: p.PlanSaid, voice: Voice) -> list[str]:
    """Return what the figures of a proposal rest on, and how sure it is the best."""
    if reply.state != "proposed":
        return []
    frost = {
        "record": voice.say("your site's record of frosts"),
        "levels": voice.say("the frost dates you gave"),
        "typical_date": voice.say("your usual last frost, its spread a rule of thumb"),
    }.get(str(reply.notes.get("frost")), voice.say("your last frost"))
    sure = voice.percent(float(reply.notes.get("assurance") or 0.9))
    lines = []
    if reply.sowings:
        lines.append(
            voice.say(
                "Dates by {frost}. Cells give the number each time with {sure} chance, by {seed}; "
                "{losses}.",
                frost=frost,
                sure=sure,
                seed=_seed(reply, voice),
                losses=voice.say("losses are drawn towards your own record")
                if reply.notes.get("own_losses")
                else voice.say("one plant lost in ten is a rule of thumb"),
            )
        )
    else:
        lines.append(voice.say("Dates by {frost}.", frost=frost))
    gap = float(reply.notes.get("gap") or 0)
    if gap >= 0.999:
        lines.append(voice.say("This plan fits; whether a better one exists I had no time to see."))
    elif gap > 0:
        lines.append(
            voice.say(
                "This plan fits; a better one, by {gap} at most, may exist.",
                gap=voice.percent(gap),
            )
        )
    moves = int(reply.notes.get("moves") or 0)
    if moves:
        lines.append(
            voice.say_n(
                "{n} tray changes its shelf on the way.",
                "{n} trays change their shelf on the way.",
                moves,
            )
        )
    if reply.replaces:
        lines.append(
            voice.say("Accepting it replaces the plan that stands; what is sown stays counted.")
        )
    if not reply.may_accept:
        lines.append(voice.say("A coordinator can accept it."))
    return lines


def short_line(sowing: p.SowingPlanned, voice: Voice) -> str:
    """Return a sowing in few words, for a long plan."""
    crop = voice.crop(sowing.crop, sowing.variety)
    if sowing.sown is not None:
        return voice.say("{crop}: sown ({sowing}).", crop=crop, sowing=sowing.sown)
    return voice.say_n(
        "{day}: {crop}, {n} cell; out {out}.",
        "{day}: {crop}, {n} cells; out {out}.",
        sowing.cells,
        day=voice.day(sowing.sow_on),
        crop=crop,
        out=voice.day(sowing.plant_out),
    )


def _seed(reply: p.PlanSaid, voice: Voice) -> str:
    """Return what the germination rests on."""
    lots = reply.notes.get("lots") or ()
    words = [voice.say("lot {lot}", lot=lot) for lot in lots]
    if len(lots) > MOST_LOTS:
        words = [voice.say("your lots")]
    if reply.notes.get("own_up"):
        words.append(voice.say("your own finished sowings"))
    if reply.notes.get("without_lot", True):
        words.append(voice.say("what seed of its kind usually shows"))
    return voice.listed(words)
