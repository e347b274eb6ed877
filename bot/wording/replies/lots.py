"""Lots of seed: what is in the packet, how good it should be, what to do."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.cautions import caution_lines
from bot.wording.pieces.stock import left
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.group.garden import LotOf
from core.replies import lots as r
from core.trade.seed.lots import GerminationBasis, LotAdvice

FEWEST = 0.005  # a share that rounds to nothing


def lot_name(voice: Voice, lot: LotOf) -> str:
    """Return a lot's code, crop, variety and year."""
    name = voice.crop(lot.crop, lot.variety)
    if lot.packed_for is None:
        return voice.say("{lot}: {crop}", lot=lot.code, crop=name)
    return voice.say(
        "{lot}: {crop}, packed for {year}", lot=lot.code, crop=name, year=lot.packed_for
    )


def lot_said(reply: r.LotSaid, voice: Voice) -> Message:
    """What stands now, what to expect of it and on what that rests, what to do."""
    judged = reply.judged
    name = lot_name(voice, judged.lot)
    first = voice.say("{name}.", name=name)
    if reply.new:
        first = voice.say("{name}. Added.", name=name)
    elif reply.changed:
        first = voice.say("{name}. Changed.", name=name)
    lines = [first]
    if judged.lot.maturity_days is not None:
        lines.append(
            voice.say_n(
                "{n} day to maturity, by its packet.", "{n} days to maturity, by its packet.",
                judged.lot.maturity_days,
            )
        )  # fmt: skip
    if judged.stock is not None:
        lines.append(left(voice, judged.stock, judged.lot.code, voice.crop(judged.lot.crop)))
    lines += [expected(voice, judged), advice(voice, judged)]
    if reply.new:
        lines.append(
            voice.say("Write {lot} on the packet. To sow from it: /sow {lot} T1 A1-B3",
                      lot=judged.lot.code)
        )  # fmt: skip
    lines += caution_lines(voice, reply.cautions)
    return Message(text="\n".join(lines))


def expected(voice: Voice, judged: r.LotJudged) -> str:
    """Return the germination to expect with its range and what it rests on."""
    view = judged.viability
    if view.interval.high < FEWEST:
        basis = voice.listed(_basis(voice, judged))
        return voice.say("Expect hardly any to come up, by {basis}.", basis=basis)
    return voice.say(
        "Expect about {share} to come up (likely {low} to {high}), by {basis}.",
        share=voice.percent(view.belief.mean),
        low=voice.percent(view.interval.low),
        high=voice.percent(view.interval.high),
        basis=voice.listed(_basis(voice, judged)),
    )


def _basis(voice: Voice, judged: r.LotJudged) -> list[str]:
    view, lot = judged.viability, judged.lot
    parts: list[str] = []
    match view.basis:
        case GerminationBasis.LABEL:
            parts.append(voice.say("the packet's {share}", share=voice.percent(view.first)))
        case GerminationBasis.STANDARD:
            parts.append(
                voice.say(
                    "what seed of its kind usually shows, {share}", share=voice.percent(view.first)
                )
            )
        case GerminationBasis.DEFAULT:
            parts.append(
                voice.say("what seed usually shows, {share}", share=voice.percent(view.first))
            )
    if view.age_years is not None and view.age_years >= 0.5:
        years = voice.number(view.age_years, 1)
        if view.storage_assumed:
            parts.append(
                voice.say(
                    "its age of {years} years (keeps about {life} years, rule of thumb)",
                    years=years,
                    life=voice.number(view.storage_years, 0),
                )
            )
        else:
            parts.append(
                voice.say(
                    "its age of {years} years (keeps about {life} in all)",
                    years=years,
                    life=voice.number(view.storage_years, 0),
                )
            )
    if lot.tested_of:
        parts.append(voice.say("your test, {up} of {of}", up=lot.tested_up or 0, of=lot.tested_of))
    return parts


def advice(voice: Voice, judged: r.LotJudged) -> str:
    """Return what to do with the lot."""
    view = judged.viability
    seeds = voice.say_n("{n} seed a cell", "{n} seeds a cell", view.seeds_per_cell)
    match view.advice:
        case LotAdvice.SOW_NORMAL:
            return voice.say("Sow as usual: {seeds}.", seeds=seeds)
        case LotAdvice.SOW_THICKER:
            return voice.say("Sow thicker: {seeds}.", seeds=seeds)
        case LotAdvice.TEST_FIRST:
            return voice.say(
                "Test it first: {n} seeds on a wet towel, kept warm in a bag; then say "
                "/lot {lot} 7 of {n}",
                n=view.test_seeds or 10,
                lot=judged.lot.code,
            )
        case LotAdvice.DISCARD:
            return voice.say("Not worth the cells: get fresh seed.")


def lot_used_up(reply: r.LotUsedUp, voice: Voice) -> Message:
    """A lot is gone."""
    return Message(
        text=voice.say(
            "{name}. Used up; what was sown of it stays. Found some more? /lot {lot} {crop}",
            name=lot_name(voice, reply.lot),
            lot=reply.lot.code,
            crop=voice.crop(reply.lot.crop),
        )
    )


def lots_listed(reply: r.LotsListed, voice: Voice) -> Message:
    """The lots in use, a line each."""
    if not reply.lots:
        return Message(
            text=voice.say("No seed yet. Add a packet: /lot tomato Amber Pip 2025 10 of 10")
        )
    lines = [_line(voice, judged) for judged in reply.lots]
    lines.append(voice.say("What a figure rests on: /lot {lot}", lot=reply.lots[0].lot.code))
    return Message(text="\n".join(lines))


def _line(voice: Voice, judged: r.LotJudged) -> str:
    """Return a lot in a line, with what is left where its amount was told."""
    line = voice.say(
        "{name}: about {share}. {advice}",
        name=lot_name(voice, judged.lot),
        share=voice.percent(judged.viability.belief.mean),
        advice=_short(voice, judged.viability.advice),
    )
    if judged.stock is None or judged.stock.seeds is None:
        return line
    seeds = judged.stock.seeds
    return f"{line} {voice.say_n('{n} seed left.', '{n} seeds left.', seeds)}"


def _short(voice: Voice, what: LotAdvice) -> str:
    match what:
        case LotAdvice.SOW_NORMAL:
            return voice.say("Sow as usual.")
        case LotAdvice.SOW_THICKER:
            return voice.say("Sow thicker.")
        case LotAdvice.TEST_FIRST:
            return voice.say("Test it first.")
        case LotAdvice.DISCARD:
            return voice.say("Not worth the cells.")


def lots_found(reply: r.LotsFound, voice: Voice) -> Message:
    """Which of several lots is used up."""
    if not reply.options:
        return Message(text=voice.say("There is no lot yet."))
    return Message(
        text=voice.say("Which lot is used up?"),
        rows=tuple(
            (
                Button(
                    voice.say(
                        "{lot} {crop}",
                        lot=o.values["lot"],
                        crop=voice.crop(o.values["crop"], o.values["variety"]),
                    ),
                    o.request,
                ),
            )
            for o in reply.options
        ),
    )


WORDS: Words = {
    r.LotSaid: lot_said,
    r.LotUsedUp: lot_used_up,
    r.LotsListed: lots_listed,
    r.LotsFound: lots_found,
}
