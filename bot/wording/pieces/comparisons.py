"""Two ways held against each other, in words a class understands."""

from __future__ import annotations

from bot.message import Message
from bot.wording.voice import Voice
from core.replies import results as k
from core.requests import Where
from core.trade.statistics.compare import Caution, Comparison, FinalResult, SpeedResult


def side_name(where: Where, voice: Voice) -> str:
    """Return what a side was called by: its lot, sowing, tray or shelf, else its crop."""
    if where.sowing:
        return where.sowing.upper()
    if where.trays and where.cells is not None:
        return voice.say("{tray} {cells}", tray=where.trays[0], cells=where.cells.text)
    if where.lot and where.trays:
        return voice.say("{lot} in {trays}", lot=where.lot, trays=voice.listed(where.trays))
    if where.trays:
        return voice.listed(where.trays)
    if where.lot:
        return where.lot
    if where.shelf:
        return voice.say("shelf {shelf}", shelf=where.shelf)
    return voice.crop(where.crop) if where.crop else voice.say("all")


def compared(reply: k.Compared, voice: Voice) -> Message:
    """Return the difference in how many came up, in speed, and how far that can be trusted."""
    one, two = side_name(reply.left.named, voice), side_name(reply.right.named, voice)
    got = reply.comparison
    lines = [
        _answer(got, one, two, voice.crop(reply.crop), voice, coming=bool(reply.coming)),
        _shares(got, one, two, voice),
        _difference(got, one, two, voice),
        _speed(got, one, two, voice),
        *_cautions(reply, voice),
    ]
    return Message(text="\n".join(line for line in lines if line))


def _answer(got: Comparison, one: str, two: str, crop: str, voice: Voice, *, coming: bool) -> str:
    values = {"crop": crop, "one": one, "two": two}
    if coming:
        return voice.say(
            "{crop}, {one} against {two}: too early to tell, more may come up. So far:", **values
        )
    match got.final:
        case FinalResult.FIRST_MORE:
            return voice.say(
                "{crop}: {one} came up better than {two}, by more than chance.", **values
            )
        case FinalResult.SECOND_MORE:
            return voice.say(
                "{crop}: {two} came up better than {one}, by more than chance.", **values
            )
        case _ if got.too_small:
            return voice.say("{crop}, {one} against {two}: too small to tell.", **values)
        case _:
            return voice.say(
                "{crop}, {one} against {two}: no difference shown in how many came up.", **values
            )


def _shares(got: Comparison, one: str, two: str, voice: Voice) -> str:
    return voice.say(
        "{one}: {up_1} of {sown_1} up, {share_1}. {two}: {up_2} of {sown_2} up, {share_2}.",
        one=one,
        two=two,
        up_1=got.emerged[0],
        sown_1=got.sown[0],
        share_1=voice.percent(got.share[0]),
        up_2=got.emerged[1],
        sown_2=got.sown[1],
        share_2=voice.percent(got.share[1]),
    )


def _points(difference: float, voice: Voice) -> str:
    return voice.number(100 * difference, 0)


def _difference(got: Comparison, one: str, two: str, voice: Voice) -> str:
    """The difference with its interval, turned so that the better side comes first."""
    turned = got.difference < 0
    low, high = got.interval.low, got.interval.high
    if turned:
        low, high, one, two = -high, -low, two, one
    chance = _in_a_hundred(got.p_final, voice)
    if got.difference == 0:
        return voice.say(
            "The same share of both; the true difference may be up to {reach} seeds in 100. "
            "(95%, by tray)",
            reach=_points(max(abs(low), abs(high)), voice),
        )
    return voice.say(
        "Of 100 seeds that is {points} more with {one} (likely {low} to {high}; below 0 would "
        "favour {two}). Chance alone makes such a gap {chance}; under 5 counts as shown. "
        "(by tray, quasi-binomial)",
        points=_points(abs(got.difference), voice),
        one=one,
        two=two,
        low=_points(low, voice),
        high=_points(high, voice),
        chance=chance,
    )


def _in_a_hundred(p: float, voice: Voice) -> str:
    """Return a chance as a class says it."""
    if p < 0.01:
        return voice.say("less than once in 100 trials")
    return voice.say_n("{n} time in 100 trials", "{n} times in 100 trials", round(100 * p))


def _speed(got: Comparison, one: str, two: str, voice: Voice) -> str:
    first, second = got.median_days
    if first is None or second is None or got.speed is SpeedResult.UNKNOWN:
        return (
            voice.say("Speed: nothing to compare, one side has nothing up.")
            if (first is None or second is None)
            else voice.say("Speed: nothing to tell apart, all came up at the same look.")
        )
    days = {
        "one": one,
        "two": two,
        "day_1": voice.number(first, 1),
        "day_2": voice.number(second, 1),
    }
    said = voice.say(
        "Speed: half of those up showed by day {day_1} with {one}, day {day_2} with {two};", **days
    )
    p = got.speed_test.p_value if got.speed_test else 1.0
    match got.speed:
        case SpeedResult.FIRST_SOONER:
            result = voice.say("{side} was quicker, by more than chance", side=one)
        case SpeedResult.SECOND_SOONER:
            result = voice.say("{side} was quicker, by more than chance", side=two)
        case _:
            result = voice.say("no difference shown")
    return voice.say(
        "{days} {result} (log-rank test: by chance {chance}).",
        days=said,
        result=result,
        chance=_in_a_hundred(p, voice),
    )


def _cautions(reply: k.Compared, voice: Voice) -> list[str]:
    got, lines = reply.comparison, []
    if got.final is FinalResult.NOT_SHOWN:
        lines.append(_numbers(reply, voice))
    if Caution.FEW_SEEDLINGS in got.cautions and got.speed_test is not None:
        lines.append(voice.say("Few seedlings: take the speed loosely."))
    if Caution.ONE_SOWING_EACH in got.cautions:
        lines.append(
            voice.say("A side is one sowing only: its tray or place may be the cause, not the way.")
        )
    if Caution.TRAYS_DIFFER in got.cautions:
        lines.append(voice.say("Trays of one side differ among themselves by more than chance."))
    if reply.coming:
        lines.append(
            voice.say("Still coming up: {sowings}. Ask again.", sowings=voice.listed(reply.coming))
        )
    elif Caution.STILL_COMING in got.cautions:
        lines.append(voice.say("One side was counted longer than the other: more may be up."))
    left_out = (*reply.left.not_counted, *reply.right.not_counted)
    if left_out:
        lines.append(
            voice.say("Left out, nobody counted: {sowings}.", sowings=voice.listed(left_out))
        )
    return lines


def _numbers(reply: k.Compared, voice: Voice) -> str:
    """What these numbers could have shown, and how many it takes."""
    got = reply.comparison
    worth = _points(reply.worth, voice)
    if got.noticeable is None:
        could = voice.say("So few seeds cannot show any difference.")
    else:
        could = voice.say(
            "These numbers show a difference of {points} in 100 or more four times in five, "
            "smaller ones seldom; that none was shown does not prove there is none.",
            points=_points(got.noticeable, voice),
        )
    if reply.seeds_needed is None or (got.noticeable or 1) <= reply.worth:
        return could
    return voice.say_n(
        "{could} To show {worth} in 100: about {n} seed a side.",
        "{could} To show {worth} in 100: about {n} seeds a side.",
        reply.seeds_needed,
        could=could,
        worth=worth,
    )
