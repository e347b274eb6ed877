"""Answers to reports: first what was recorded, then what it means."""

from __future__ import annotations

from bot.message import Message
from bot.wording.pieces.buttons import undo_row
from bot.wording.pieces.cautions import caution_lines
from bot.wording.pieces.lamps import lamp_name
from bot.wording.pieces.windows import window_lines
from bot.wording.voice import Voice
from core.replies import reports as r
from core.replies.base import Wrote


def wrote(reply: Wrote, voice: Voice, lines: list[str]) -> Message:
    """Return the message of a recorded report: its lines, cautions, and Undo."""
    if reply.for_name:
        lines[0] = voice.say("{said} For {name}.", said=lines[0], name=reply.for_name)
    lines += caution_lines(voice, reply.cautions)
    return Message(text="\n".join(lines), rows=(undo_row(voice, reply.act),))


def sown(reply: r.Sown, voice: Voice) -> Message:
    first = voice.say(
        "{sowing}: {crop} sown in {tray} {cells}, {day}.",
        sowing=reply.sowing,
        crop=voice.crop(reply.crop, reply.variety),
        tray=reply.tray,
        cells=reply.cells,
        day=_day(voice, reply.on),
    )
    lines = [first]
    seeds = voice.say_n("{n} seed", "{n} seeds", reply.seeds)
    cells = voice.say_n("{n} cell", "{n} cells", reply.cell_count)
    how = _how(reply, voice)
    if reply.seeds != reply.cell_count:
        lines.append(voice.say("{seeds} in {cells}. {how}", seeds=seeds, cells=cells, how=how))
    elif how:
        lines.append(voice.say("{cells}. {how}", cells=cells, how=how))
    lines += window_lines(voice, reply.window)
    for hint in reply.hints:
        match hint:
            case "too_early":
                lines.append(
                    voice.say(
                        "That is more than two weeks before this crop's sowing dates here. "
                        "See: /when {crop}",
                        crop=voice.crop(reply.crop),
                    )
                )
            case "too_late":
                lines.append(
                    voice.say(
                        "That is more than two weeks after this crop's sowing dates here. "
                        "See: /when {crop}",
                        crop=voice.crop(reply.crop),
                    )
                )
    return wrote(reply, voice, [line.rstrip() for line in lines])


def _how(reply: r.Sown, voice: Voice) -> str:
    """Say depth and cover in a few words."""
    if reply.germination_light == "light":
        return voice.say("Press in, do not cover: it germinates in light.")
    if reply.depth_mm is None:
        return ""
    low, high = reply.depth_mm
    if high <= 0:
        return voice.say("Press in, do not cover.")
    depth = voice.say("{depth} (by the crop table)", depth=voice.lengths(low, high))
    if reply.germination_light == "dark":
        return voice.say("Cover {depth} and keep dark until it shows.", depth=depth)
    if reply.germination_light == "light_cover":
        return voice.say("Cover thinly, {depth}.", depth=depth)
    return voice.say("Cover {depth}.", depth=depth)


def counted(reply: r.CountRecorded, voice: Voice) -> Message:
    crop = voice.crop(reply.crop)
    if reply.up == 0:
        lines = [
            voice.say(
                "{sowing} {crop}: nothing up yet, {day}.",
                sowing=reply.sowing,
                crop=crop,
                day=_day(voice, reply.on),
            )
        ]
        lines += window_lines(voice, reply.window)
        return wrote(reply, voice, lines)
    lines = [
        voice.say(
            "{sowing} {crop}: {up} of {seeds} up, {day} ({share}, likely {low}–{high}).",
            sowing=reply.sowing,
            crop=crop,
            up=reply.up,
            seeds=reply.seeds,
            day=_day(voice, reply.on),
            share=voice.percent(reply.up / reply.seeds),
            low=voice.percent(reply.low),
            high=voice.percent(reply.high),
        )
    ]
    if reply.first:
        lines.append(
            voice.say(
                "The first are up: cover off, heat mat off, lamp close above them, on for "
                "14–16 hours a day (rule of thumb)."
            )
        )
    if reply.standard is not None and reply.verdict is not None:
        minimum = voice.percent(reply.standard)
        match reply.verdict:
            case "below":
                lines.append(
                    voice.say(
                        "That is fewer than a lot at the seed standard of {minimum} would give: "
                        "the lot or the place is weak. Ask: /ask",
                        minimum=minimum,
                    )
                )
            case "above":
                lines.append(
                    voice.say("Better than the seed standard of {minimum}.", minimum=minimum)
                )
            case _ if reply.up / reply.seeds < reply.standard:
                lines.append(
                    voice.say(
                        "Under the seed standard of {minimum}, but from {n} seeds that is "
                        "no evidence of a bad lot.",
                        minimum=minimum,
                        n=reply.seeds,
                    )
                )
    return wrote(reply, voice, lines)


def cared(reply: r.CareRecorded, voice: Voice) -> Message:
    where = voice.listed(reply.targets)
    day = _day(voice, reply.on)
    match reply.kind:
        case "watered" if reply.values.get("from_below"):
            lines = [voice.say("Watered from below: {where}, {day}.", where=where, day=day)]
            lines.append(voice.say("Tip out what still stands after half an hour."))
        case "watered":
            lines = [voice.say("Watered: {where}, {day}.", where=where, day=day)]
        case "moist":
            lines = [_moist(voice, str(reply.values["level"]), where, day)]
        case "fed" if reply.values.get("ppm_n") is not None:
            lines = [
                voice.say(
                    "Fed: {where} at {ppm} ppm N, {day}.",
                    where=where,
                    ppm=voice.number(float(reply.values["ppm_n"]), 0),
                    day=day,
                )
            ]
        case "fed":
            lines = [voice.say("Fed: {where}, {day}.", where=where, day=day)]
        case "thinned":
            n = int(reply.values["per_cell"])
            lines = [
                voice.say_n(
                    "Thinned: {where} to {n} plant a cell, {day}.",
                    "Thinned: {where} to {n} plants a cell, {day}.",
                    n,
                    where=where,
                    day=day,
                )
            ]
        case _ if where:
            lines = [voice.say("Noted for {where}: {text}", where=where, text=reply.values["text"])]
        case _:
            lines = [voice.say("Noted: {text}", text=reply.values["text"])]
    lines += _checks(reply, voice)
    if "again" in reply.hints:
        lines.append(
            voice.say(
                "It had been watered today already. Too wet drowns roots: feel the mix first."
            )
        )
    if "strong" in reply.hints:
        lines.append(
            voice.say("That is strong for seedlings: 50–150 ppm N is usual. Watch the tips.")
        )
    if "dry" in reply.hints:
        lines.append(voice.say("Never feed a dry tray: water first, feed after."))
    return wrote(reply, voice, lines)


def _moist(voice: Voice, level: str, where: str, day: str) -> str:
    match level:
        case "dry":
            return voice.say(
                "{where} dry, {day}. Water now, from below if you can.", where=where, day=day
            )
        case "wet":
            return voice.say(
                "{where} wet, {day}. Let it dry before the next watering.", where=where, day=day
            )
        case _:
            return voice.say("{where} just right, {day}.", where=where, day=day)


def _checks(reply: r.CareRecorded, voice: Voice) -> list[str]:
    """Say when to look again: one line, trays with the same date together."""
    by_day: dict[str, list[str]] = {}
    for tray, day in sorted(reply.next_check.items(), key=lambda pair: pair[1]):
        if day > voice.today:  # today's is what was just said
            by_day.setdefault(_day(voice, day), []).append(tray)
    if not by_day:
        return []
    if len(by_day) == 1:
        return [voice.say("Look again {day}.", day=next(iter(by_day)))]
    parts = [
        voice.say("{trays} {day}", trays=voice.listed(trays), day=day)
        for day, trays in by_day.items()
    ]
    return [voice.say("Look again: {parts}.", parts=", ".join(parts))]


def temp(reply: r.TempRecorded, voice: Voice) -> Message:
    value = voice.temp_exact(reply.temp_c)
    day = _day(voice, reply.on)
    where = reply.place or ""
    match reply.kind:
        case "outside":
            first = voice.say("{temp} outside, {day}.", temp=value, day=day)
        case "low":
            first = voice.say("Low of {temp} outside, night to {day}.", temp=value, day=day)
        case "forecast":
            first = voice.say("{temp} expected tonight.", temp=value)
        case "air" if reply.shelf:
            first = voice.say(
                "Shelf {where}: air at {temp}, {day}.", where=where, temp=value, day=day
            )
        case "mix" if reply.shelf:
            first = voice.say(
                "Shelf {where}: mix at {temp}, {day}.", where=where, temp=value, day=day
            )
        case "air" if where == "all":
            first = voice.say("Air at {temp}, {day}.", temp=value, day=day)
        case "air":
            first = voice.say("{where}: air at {temp}, {day}.", where=where, temp=value, day=day)
        case _ if where == "all":
            first = voice.say("Mix at {temp} in all trays, {day}.", temp=value, day=day)
        case _:
            first = voice.say("{where}: mix at {temp}, {day}.", where=where, temp=value, day=day)
    lines = [first]
    for crop, verdict in reply.verdicts:
        name = voice.crop(crop)
        match verdict:
            case "too_cold":
                lines.append(voice.say("Too cold for {crop} to come up: warm it.", crop=name))
            case "too_hot":
                lines.append(voice.say("Too hot for {crop} to come up: cool it.", crop=name))
            case "slow":
                lines.append(voice.say("Cool for {crop}: it comes up slowly.", crop=name))
            case "warm":
                lines.append(voice.say("Warm for {crop}: do not go higher.", crop=name))
    if len(reply.verdicts) and all(v == "right" for _, v in reply.verdicts):
        lines.append(
            voice.say(
                "Good for {crops}.", crops=voice.listed(voice.crop(c) for c, _ in reply.verdicts)
            )
        )
    for sowing, window in reply.moved.items():
        if window.p10 and window.p90:
            lines.append(
                voice.say(
                    "{sowing} now expected {first} to {last}, by the temperatures you read.",
                    sowing=sowing,
                    first=voice.day(window.p10),
                    last=voice.day(window.p90),
                )
            )
    if reply.held:
        lines.append(
            voice.say(
                "Keep in or bring in: {what}.",
                what=voice.listed(
                    voice.say(
                        "{sowing} {crop} (not below {temp}, by the kind of crop)",
                        sowing=code,
                        crop=voice.crop(crop),
                        temp=voice.temp(limit),
                    )
                    for code, crop, limit in reply.held
                ),
            )
        )
    return wrote(reply, voice, lines)


def light(reply: r.LightRecorded, voice: Voice) -> Message:
    return wrote(reply, voice, light_lines(reply, voice))


def light_lines(reply: r.LightRecorded, voice: Voice) -> list[str]:
    """Return what a shelf's light comes to and how to better it."""
    if reply.reason == "window":
        return _window_lines(reply, voice)
    parts = []
    if reply.lux is not None:
        parts.append(voice.say("{lux} lx", lux=voice.number(reply.lux, 0)))
    if reply.ppfd is not None:
        parts.append(voice.say("{ppfd} µmol m⁻² s⁻¹", ppfd=voice.number(reply.ppfd, 0)))
    if reply.height_mm is not None:
        parts.append(voice.say("lamp {height} above", height=voice.length(reply.height_mm)))
    if reply.hours is not None:
        parts.append(voice.say("{hours} h a day", hours=voice.number(reply.hours)))
    head = voice.say("Shelf {shelf}", shelf=reply.place)
    if parts:
        head = voice.say("Shelf {shelf}: {parts}.", shelf=reply.place, parts=", ".join(parts))
    lines = [head]
    match reply.reason:
        case "no_reading":
            lines.append(
                voice.say(
                    "No light reading yet. With a phone's lux meter at leaf height: "
                    "/light {shelf} 4500 lx",
                    shelf=reply.place,
                )
            )
        case "no_factor":
            lines.append(
                voice.say(
                    "Lux says nothing sure under this lamp: ask the maker for a PPFD figure, "
                    "or set the lamp kind with /shelf {shelf}",
                    shelf=reply.place,
                )
            )
        case "no_hours":
            lines.append(
                voice.say("How long is the lamp on? /light {shelf} 14h", shelf=reply.place)
            )
    if reply.dli is None or reply.dli_low is None or reply.dli_high is None:
        return lines
    assert reply.target is not None
    lines.append(
        voice.say(
            "That is {dli} mol a day ({low}–{high}); seedlings do well at {from_}–{to} "
            "(growers' advice).",
            dli=voice.number(reply.dli),
            low=voice.number(reply.dli_low),
            high=voice.number(reply.dli_high),
            from_=voice.number(reply.target[0], 0),
            to=voice.number(reply.target[1], 0),
        )
    )
    measured = reply.basis.startswith("measured")
    lines.append(
        voice.say("By your light meter.")
        if measured
        else voice.say("Reckoned from lux by the kind of lamp; such a factor is uncertain.")
    )
    for kind, values in reply.advice:
        match kind:
            case "hours":
                lines.append(
                    voice.say("To reach it: {hours} h a day.", hours=voice.number(values["hours"]))
                )
            case "height":
                lines.append(
                    voice.say(
                        "To reach it: lamp {height} above the leaves (by a measured table "
                        "of tube lamps).",
                        height=voice.length(values["mm"]),
                    )
                )
            case "both":
                lines.append(
                    voice.say(
                        "To reach it: lamp {height} above the leaves (by a measured table "
                        "of tube lamps) and {hours} h a day.",
                        height=voice.length(values["mm"]),
                        hours=voice.number(values["hours"]),
                    )
                )
            case "best":
                lines.append(
                    voice.say(
                        "This lamp gives at most {dli} mol here: it takes another lamp.",
                        dli=voice.number(values["dli"]),
                    )
                )
    return lines


def _window_lines(reply: r.LightRecorded, voice: Voice) -> list[str]:
    parts = [lamp_name(voice, "window")]
    if reply.lux is not None:
        parts.insert(0, voice.say("{lux} lx", lux=voice.number(reply.lux, 0)))
    lines = [voice.say("Shelf {shelf}: {parts}.", shelf=reply.place, parts=", ".join(parts))]
    if reply.dli is None or reply.dli_low is None or reply.dli_high is None:
        lines.append(
            voice.say("What a window gives depends on the place. Name it: /site place Chicago")
        )
        return lines
    assert reply.target is not None
    assert reply.hours is not None
    lines.append(
        voice.say(
            "The sill gives about {dli} mol a day now ({low}–{high}); seedlings do well at "
            "{from_}–{to} (growers' advice).",
            dli=voice.number(reply.dli),
            low=voice.number(reply.dli_low),
            high=voice.number(reply.dli_high),
            from_=voice.number(reply.target[0], 0),
            to=voice.number(reply.target[1], 0),
        )
    )
    lines.append(
        voice.say(
            "Reckoned from {hours} h of day at this place; what a window lets in is a rule of "
            "thumb.",
            hours=voice.number(reply.hours),
        )
    )
    return lines


def potted(reply: r.PottedRecorded, voice: Voice) -> Message:
    crop = voice.crop(reply.crop)
    day = _day(voice, reply.on)
    if reply.into_tray:
        first = voice.say(
            "{sowing} {crop}: {n} potted up into {tray} {cells}, {day}.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            tray=reply.into_tray,
            cells=reply.into_cells,
            day=day,
        )
    else:
        first = voice.say(
            "{sowing} {crop}: {n} potted up, {day}.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            day=day,
        )
    lines = [first]
    if reply.from_tray and reply.from_tray != reply.into_tray:
        lines.append(voice.say("Its cells in {tray} are free.", tray=reply.from_tray))
    if reply.left_out:
        lines.append(
            voice.say_n(
                "{n} seedling was left behind and does not count until it is potted up too.",
                "{n} seedlings were left behind and do not count until they are potted up too.",
                reply.left_out,
            )
        )
    return wrote(reply, voice, lines)


def exposure(voice: Voice, code: str) -> str:
    """Return where plants stand on a hardening day."""
    match code:
        case "shade":
            return voice.say("shade, out of the wind")
        case "early_sun":
            return voice.say("an hour or two of early sun, then shade")
        case "morning_sun":
            return voice.say("morning sun")
        case "full_sun":
            return voice.say("full sun")
        case _:
            return voice.say("full sun, overnight too if it stays warm enough")


def out(reply: r.OutRecorded, voice: Voice) -> Message:
    codes = voice.listed(code for code, *_ in reply.days) or voice.say("the plants")
    day = _day(voice, reply.on)
    if reply.overnight:
        first = voice.say("{codes}: out overnight, {day}.", codes=codes, day=day)
    elif reply.hours is not None:
        first = voice.say(
            "{codes}: {hours} h outside, {day}.",
            codes=codes,
            hours=voice.number(reply.hours),
            day=day,
        )
    else:
        first = voice.say("{codes}: outside, {day}.", codes=codes, day=day)
    lines = [first]
    for code, crop, done, of, hours, where, limit in reply.days:
        if done >= of:
            lines.append(
                voice.say(
                    "{code} {crop}: hardened off, {of} of {of} days. Ready to plant out.",
                    code=code,
                    crop=voice.crop(crop),
                    of=of,
                )
            )
        elif hours:
            lines.append(
                voice.say(
                    "{code} {crop}: day {done} of {of} done. Tomorrow {hours} h, {where}; "
                    "in below {limit}.",
                    code=code,
                    crop=voice.crop(crop),
                    done=done,
                    of=of,
                    hours=voice.number(hours),
                    where=exposure(voice, where),
                    limit=voice.temp(limit),
                )
            )
        else:
            lines.append(
                voice.say(
                    "{code} {crop}: day {done} of {of} done. Tomorrow they stay in.",
                    code=code,
                    crop=voice.crop(crop),
                    done=done,
                    of=of,
                )
            )
    return wrote(reply, voice, lines)


def planted(reply: r.PlantedRecorded, voice: Voice) -> Message:
    crop = voice.crop(reply.crop)
    day = _day(voice, reply.on)
    if reply.to_whom:
        first = voice.say(
            "{sowing} {crop}: {n} to {name}, {day}.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            name=reply.to_whom,
            day=day,
        )
    else:
        first = voice.say(
            "{sowing} {crop}: {n} planted out, {day}.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            day=day,
        )
    lines = [first]
    lines.append(
        voice.say_n("{n} is left.", "{n} are left.", reply.left)
        if reply.left
        else voice.say("That was the last of them.")
    )
    if reply.risk is not None and reply.risk >= 0.01:
        lines.append(
            voice.say(
                "Chance of frost on or after that day: {chance} ({basis}). Keep a cover at hand.",
                chance=voice.percent(reply.risk),
                basis=frost_basis(voice, reply.risk_basis),
            )
        )
    return wrote(reply, voice, lines)


def frost_basis(voice: Voice, basis: str | None) -> str:
    """Return what a frost figure rests on."""
    match basis:
        case "record":
            return voice.say("from your daily minima")
        case "levels":
            return voice.say("from the dates you gave")
        case _:
            return voice.say("from one usual date and an assumed spread")


def lost(reply: r.LostRecorded, voice: Voice) -> Message:
    crop = voice.crop(reply.crop)
    day = _day(voice, reply.on)
    why = voice.say(" ({cause})", cause=reply.cause) if reply.cause else ""
    if reply.left == 0:
        first = voice.say(
            "{sowing} {crop}: lost{why}, {day}. The sowing is closed.",
            sowing=reply.sowing,
            crop=crop,
            why=why,
            day=day,
        )
    else:
        first = voice.say(
            "{sowing} {crop}: {n} lost{why}, {day}; {left} left.",
            sowing=reply.sowing,
            crop=crop,
            n=reply.count,
            why=why,
            day=day,
            left=reply.left,
        )
    lines = [first]
    if reply.resow_by is not None:
        if reply.resow_by >= voice.today:
            lines.append(
                voice.say(
                    "There is time to resow: until {day}, by the crop's weeks in the tray "
                    "and your frost dates.",
                    day=voice.day(reply.resow_by),
                )
            )
        else:
            lines.append(
                voice.say(
                    "Too late to resow for this season: the last date was {day}.",
                    day=voice.day(reply.resow_by),
                )
            )
    return wrote(reply, voice, lines)


def done(reply: r.Done, voice: Voice) -> Message:
    if reply.again:
        return Message(
            text=voice.say(
                "{name} had said so already. Thank you both.",
                name=reply.by or voice.say("somebody"),
            )
        )
    if not reply.acts:
        return Message(text=voice.say("Thank you. Nothing was left to record."))
    if reply.targets:
        text = voice.say("Thank you. Recorded for {where}.", where=voice.listed(reply.targets))
    else:
        text = voice.say("Thank you. Recorded.")
    return Message(text=text, rows=tuple(undo_row(voice, act) for act in reply.acts[:1]))


def act_name(line: r.ActLine, voice: Voice) -> str:
    """Return an act in a few words, as lists and corrections name it."""
    s = line.summary
    where = voice.listed([str(t) for t in s.get("targets", ())]) or str(s.get("sowing", ""))
    crop = voice.crop(str(s["crop"])) if s.get("crop") else ""
    match line.kind:
        case "sow":
            return voice.say(
                "{sowing}: {crop} sown in {tray} {cells}",
                sowing=s.get("sowing", ""),
                crop=crop,
                tray=s.get("tray", ""),
                cells=s.get("cells", ""),
            )
        case "up":
            return voice.say("{sowing} {crop}: {n} up", sowing=where, crop=crop, n=s.get("total"))
        case "watered":
            return voice.say("watered {where}", where=where)
        case "moist":
            return voice.say(
                "{where}: mix {level}", where=where, level=_level(voice, str(s.get("level", "")))
            )
        case "fed":
            return voice.say("fed {where}", where=where)
        case "thinned":
            return voice.say("thinned {where}", where=where)
        case "potted":
            return voice.say(
                "{sowing} {crop}: {n} potted up", sowing=where, crop=crop, n=s.get("count")
            )
        case "temp":
            return voice.say("{temp} read", temp=voice.temp_exact(float(s.get("temp_c", 0))))
        case "light":
            return voice.say("light on shelf {shelf}", shelf=s.get("place", ""))
        case "out":
            return voice.say("{where} outside", where=where)
        case "planted":
            return voice.say(
                "{sowing} {crop}: {n} planted out", sowing=where, crop=crop, n=s.get("count")
            )
        case "lost":
            return voice.say("{sowing} {crop}: lost", sowing=where, crop=crop)
        case _:
            return voice.say("note: {text}", text=s.get("text", ""))


def _level(voice: Voice, level: str) -> str:
    match level:
        case "dry":
            return voice.say("dry")
        case "wet":
            return voice.say("wet")
        case _:
            return voice.say("right")


def undone(reply: r.Undone, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "Taken back: {what} (R{act}). It no longer counts.",
            what=act_name(reply.line, voice),
            act=reply.line.act,
        )
    )


def undo_list(reply: r.UndoList, voice: Voice) -> Message:
    from bot.message import Button
    from core.requests import Undo

    lines = [voice.say("What should I take back?")]
    rows = []
    for line in reply.lines:
        lines.append(
            voice.say(
                "R{act}  {what}, {who}, {day}",
                act=line.act,
                what=act_name(line, voice),
                who=line.by or voice.say("somebody"),
                day=_day(voice, line.on),
            )
        )
        rows.append((Button(voice.say("Undo R{act}", act=line.act), Undo(report=f"R{line.act}")),))
    return Message(text="\n".join(lines), rows=tuple(rows))


def _day(voice: Voice, day: object) -> str:
    from datetime import date, timedelta

    assert isinstance(day, date)
    if day == voice.today:
        return voice.say("today")
    if day == voice.today - timedelta(days=1):
        return voice.say("yesterday")
    if day == voice.today + timedelta(days=1):
        return voice.say("tomorrow")
    return voice.day(day)


WORDS = {
    r.Sown: sown,
    r.CountRecorded: counted,
    r.CareRecorded: cared,
    r.TempRecorded: temp,
    r.LightRecorded: light,
    r.PottedRecorded: potted,
    r.OutRecorded: out,
    r.PlantedRecorded: planted,
    r.LostRecorded: lost,
    r.Done: done,
    r.Undone: undone,
    r.UndoList: undo_list,
}
