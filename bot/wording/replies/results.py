"""Emergence curves and the season's results, in words; comparisons: `comparisons.py`."""

from __future__ import annotations

from collections.abc import Sequence

from bot.message import Attachment, Button, Message
from bot.wording.pieces.comparisons import compared
from bot.wording.pieces.loss_causes import cause_said
from bot.wording.pieces.windows import window_lines
from bot.wording.replies.looks import spoken
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as r
from core.replies import results as k
from core.results.season_results import LotResult, PlaceResult, SeasonResults, SpeedResult, Tally

LOTS, PLACES, METHODS, SPEEDS, LOSSES = 4, 3, 2, 3, 4  # lines of each on one screen


def share(tally: Tally, voice: Voice) -> str:
    """Return `18 of 24 up, 75% (likely 55% to 88%)`."""
    return voice.say(
        "{up} of {seeds} up, {share} (likely {low} to {high})",
        up=tally.up,
        seeds=tally.seeds,
        share=voice.percent(tally.share),
        low=voice.percent(tally.interval.low),
        high=voice.percent(tally.interval.high),
    )


# --- curve --------------------------------------------------------------------------------


def curve(reply: k.CurveSaid, voice: Voice) -> Message:
    """The curve in words, and its picture."""
    lines: list[str] = []
    for line in reply.lines:
        lines.append(_emerged(line, voice))
        lines += _course(line, voice)
    if any(line.looks for line in reply.lines):
        lines.append(
            voice.say("Days after sowing, by your counts; straight lines in between. "
                      "Likely = 19 times in 20 (Wilson).")
        )  # fmt: skip
    if reply.more:
        lines.append(
            voice.say_n("{n} older sowing: /curve S1", "{n} older sowings: /curve S1", reply.more)
        )
    codes = [line.sowing for line in reply.lines]
    name = f"curve-{codes[0]}.png" if len(codes) == 1 else f"curve-{codes[0]}-{codes[-1]}.png"
    return Message(
        text="\n".join(lines),
        attachments=(
            Attachment(
                what="curve",
                name=name,
                values={"group_id": reply.group, "sowings": codes, **spoken(voice)},
            ),
        ),
    )  # fmt: skip


def _emerged(line: k.CurveLine, voice: Voice) -> str:
    head = voice.say(
        "{sowing} {crop} in {tray}, sown {day}",
        sowing=line.sowing,
        crop=voice.crop(line.crop, line.variety),
        tray=line.tray,
        day=voice.day(line.sown_on),
    )
    if not line.looks:
        return voice.say("{sowing}: nobody has counted yet.", sowing=head)
    return voice.say(
        "{sowing}: {up} of {seeds} up by day {day} ({share}, likely {low} to {high}).",
        sowing=head,
        up=line.up,
        seeds=line.seeds,
        day=voice.number(line.looked_on_day or 0, 0),
        share=voice.percent(line.up / line.seeds),
        low=voice.percent(line.interval.low),
        high=voice.percent(line.interval.high),
    )


def _course(line: k.CurveLine, voice: Voice) -> list[str]:
    lines: list[str] = []
    if line.first_day is not None and line.mean_days is not None:
        first = voice.number(line.first_day, 0)
        mean = voice.number(line.mean_days, 1)
        if line.half_day is None:
            lines.append(
                voice.say(
                    "More than half of those showed at the first look, day {first}; mean {mean}.",
                    first=first,
                    mean=mean,
                )
            )
        else:
            lines.append(
                voice.say(
                    "First on day {first}, half of those by day {half}, mean {mean}.",
                    first=first,
                    half=voice.number(line.half_day, 1),
                    mean=mean,
                )
            )
    if not line.up and not line.over:
        lines += window_lines(voice, line.window)
    if not line.looks and not line.over:
        lines.append(voice.say("Tell me what shows: /up 0 {sowing}", sowing=line.sowing))
    return lines


# --- report -------------------------------------------------------------------------------


def results(reply: k.ResultsSaid, voice: Voice) -> Message:
    """What worked, on one screen."""
    found = reply.results
    lines = [_headline(found, voice)]
    if found.total is not None:
        lines += _lots(found.lots, voice)
        lines += _placed(found, voice)
        lines += _speeds(found.speeds, voice)
    lines += _losses(found, voice)
    if found.total is not None:
        lines.append(_footnote(found, voice))
    attachments: tuple[Attachment, ...] = ()
    rows: tuple[tuple[Button, ...], ...] = ()
    if reply.as_file:
        attachments = (
            Attachment(
                what="report",
                name="report.pdf",
                values={"group_id": reply.group, **spoken(voice)},
                picture=False,
            ),
        )
    elif found.total is not None:
        rows = ((Button(voice.say("As a page to print"), r.Results(as_file=True)),),)
    return Message(
        text="\n".join(line for line in lines if line), rows=rows, attachments=attachments
    )


def _headline(found: SeasonResults, voice: Voice) -> str:
    if found.since is None:
        return voice.say("Nothing was sown in the last year. Tell me: /sow tomato T1 A1-A6")
    left_out = []
    if found.coming:
        left_out.append(voice.say_n("{n} still coming up", "{n} still coming up", found.coming))
    if found.not_counted:
        left_out.append(
            voice.say_n("{n} nobody counted", "{n} nobody counted", found.not_counted)
        )  # fmt: skip
    if found.cut_short:
        left_out.append(
            voice.say_n("{n} lost while coming up", "{n} lost while coming up", found.cut_short)
        )
    if found.total is None:
        return voice.say(
            "No results yet of what was sown since {day}: {left_out}. Count with /up 12 tomato",
            day=voice.day(found.since),
            left_out=voice.listed(left_out),
        )
    sowings = voice.say_n("{n} sowing", "{n} sowings", found.total.sowings)
    head = voice.say(
        "Since {day}, {sowings}: {share}.",
        day=voice.day(found.since),
        sowings=sowings,
        share=share(found.total, voice),
    )
    if not left_out:
        return head
    return voice.say(
        "{results} Left out: {left_out}.", results=head, left_out=voice.listed(left_out)
    )


def _lots(found: Sequence[LotResult], voice: Voice) -> list[str]:
    lines = [voice.say("By lot:")]
    for result in found[:LOTS]:
        crop = voice.crop(result.crop, result.variety)
        name = (
            voice.say("{lot} {crop}", lot=result.lot, crop=crop)
            if result.lot
            else voice.say("{crop}, no lot named", crop=crop)
        )
        lines.append(
            voice.say(
                "{name}: {share}. {verdict}",
                name=name,
                share=share(result.tally, voice),
                verdict=verdict(result, voice),
            ).strip()
        )
    return lines + _more(len(found) - LOTS, voice)


def verdict(result: LotResult, voice: Voice) -> str:
    """Return what a count says of the least germination of its kind."""
    if result.least is None:
        return ""
    values = {
        "up": result.tally.up,
        "seeds": result.tally.seeds,
        "least": voice.percent(result.least),
    }
    match result.verdict:
        case "below":
            return voice.say(
                "Under the least for its kind, {least}, by more than chance.",
                **values,
            )
        case "above":
            return voice.say("Better than the least for its kind, {least}.", **values)
        case _ if result.tally.share <= result.least:
            return voice.say(
                "{up} of {seeds} is not evidence of a bad lot (least for its kind {least}).",
                **values,
            )
        case _:
            return voice.say("Fits the least for its kind, {least}.", **values)


def _placed(found: SeasonResults, voice: Voice) -> list[str]:
    lines: list[str] = []
    crops_twice = _twice(found.places)
    places = [p for p in found.places if p.crop in crops_twice] or list(found.places)
    if places:
        lines.append(voice.say("By place:"))
        lines += [_place(p, voice) for p in places[:PLACES]]
        lines += _more(len(places) - PLACES, voice)
    both = _twice(found.methods)
    methods = [p for p in found.methods if p.crop in both] or list(found.methods)
    if methods:
        lines.append(voice.say("By method:"))
        lines += [_place(p, voice) for p in methods[:METHODS]]
        lines += _more(len(methods) - METHODS, voice)
    if crops_twice or both:
        lines.append(voice.say("Is a difference more than chance? /compare T1 vs T2"))
    return lines


def _twice(places: Sequence[PlaceResult]) -> set[str]:
    """Crops that stood at two places, and so can be held against each other."""
    crops = [place.crop for place in places]
    return {crop for crop in crops if crops.count(crop) > 1}


def _place(result: PlaceResult, voice: Voice) -> str:
    values = {"crop": voice.crop(result.crop), "share": share(result.tally, voice)}
    match result.kind, result.place:
        case "mat", "yes":
            return voice.say("{crop} on a heat mat: {share}", **values)
        case "mat", _:
            return voice.say("{crop} without a mat: {share}", **values)
        case "per_cell", number:
            return voice.say_n(
                "{crop}, {n} seed a cell: {share}",
                "{crop}, {n} seeds a cell: {share}",
                int(number or 0),
                **values,
            )
        case "tray", _:
            return voice.say("{crop} in {place}: {share}", place=result.place, **values)
        case _, None:
            return voice.say("{crop} on no shelf: {share}", **values)
        case _:
            return voice.say("{crop} on shelf {place}: {share}", place=result.place, **values)


def _speeds(found: Sequence[SpeedResult], voice: Voice) -> list[str]:
    if not found:
        return []
    lines = [voice.say("Days to come up:")]
    for speed in found[:SPEEDS]:
        values = {"crop": voice.crop(speed.crop), "mean": voice.number(speed.mean_days, 1)}
        if speed.half_days is None:
            lines.append(voice.say("{crop}: mean {mean}", **values))
        else:
            lines.append(
                voice.say(
                    "{crop}: mean {mean}, half by {half}",
                    half=voice.number(speed.half_days, 1),
                    **values,
                )
            )
    return lines + _more(len(found) - SPEEDS, voice)


def _losses(found: SeasonResults, voice: Voice) -> list[str]:
    lines: list[str] = []
    if found.losses:
        causes = [
            voice.say_n(
                "{n} from {cause}",
                "{n} from {cause}",
                loss.plants,
                cause=cause_said(loss.cause, voice),
            )
            if loss.cause
            else voice.say_n("{n} of unknown cause", "{n} of unknown cause", loss.plants)
            for loss in found.losses[:LOSSES]
            if loss.plants
        ]
        if causes:
            lines.append(voice.say("Plants lost: {causes}.", causes=voice.listed(causes)))
        whole = sum(loss.sowings for loss in found.losses)
        if whole:
            lines.append(
                voice.say_n(
                    "{n} sowing was given up before anything showed.",
                    "{n} sowings were given up before anything showed.",
                    whole,
                )
            )
    if found.planted:
        lines.append(
            voice.say_n(
                "{n} plant planted out or handed out.",
                "{n} plants planted out or handed out.",
                found.planted,
            )
        )
    return lines


def _footnote(found: SeasonResults, voice: Voice) -> str:
    """Say what the figures rest on."""
    authorities = {result.authority for result in found.lots} - {None}
    basis = voice.say("By your counts; likely = 19 times in 20 (Wilson).")
    if "federal" in authorities:
        return voice.say(
            "{basis} Least = seed sold in the US, 7 CFR 201.31 or state rules.", basis=basis
        )
    if authorities:
        return voice.say("{basis} Least = rules of US states for seed sold.", basis=basis)
    return basis


def _more(rest: int, voice: Voice) -> list[str]:
    if rest <= 0:
        return []
    return [voice.say_n("… and {n} more", "… and {n} more", rest)]


WORDS: Words = {k.CurveSaid: curve, k.ResultsSaid: results, k.Compared: compared}
