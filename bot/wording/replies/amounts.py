"""How much to sow, in words: at most six short lines."""

from __future__ import annotations

from bot.message import Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.replies.amounts import AmountSaid, GerminationTaken
from core.trade.seed.amounts import SizeReason, SowingSize
from core.trade.seed.lots import GerminationBasis, LotAdvice

TRAYS_NAMED = 4


def amount(reply: AmountSaid, voice: Voice) -> Message:
    """Say how much, how sure, on what it rests, against the common rule, and where it fits."""
    crop = voice.crop(reply.crop, reply.variety)
    if reply.size is None:
        first = voice.say(
            "{n} {crop} cannot be promised at {sure} from that seed: get fresh seed.",
            n=reply.plants, crop=crop, sure=_sure(voice, reply.assurance),
        )  # fmt: skip
        return Message(text="\n".join([first, rests_on(voice, reply)]))
    size = reply.size
    lines = [
        _answer(voice, reply, size, crop),
        _chance(voice, reply, size),
        rests_on(voice, reply),
        _lot(voice, reply) or _why(voice, size),
        _rule(voice, reply, size),
        _trays(voice, reply, size),
    ]
    return Message(text="\n".join(lines))


def _sure(voice: Voice, share: float) -> str:
    """An assurance of 0.5 % steps is not rounded up to certainty."""
    if 0.985 < share < 1 or 0 < share < 0.015:
        return voice.percent_fine(min(0.999, share))
    return voice.percent(share)


def _answer(voice: Voice, reply: AmountSaid, size: SowingSize, crop: str) -> str:
    seeds = voice.say_n("{n} seed", "{n} seeds", size.chosen.seeds)
    cells = voice.say_n("{n} cell", "{n} cells", size.chosen.cells)
    return voice.say_n(
        "For {plants} {crop}: sow {seeds} in {cells}, {n} in each.",
        "For {plants} {crop}: sow {seeds} in {cells}, {n} in each.",
        size.chosen.seeds_per_cell,
        plants=reply.plants, crop=crop, seeds=seeds, cells=cells,
    )  # fmt: skip


def _chance(voice: Voice, reply: AmountSaid, size: SowingSize) -> str:
    chance, less = _sure(voice, size.chosen.chance), _sure(voice, size.chosen.chance_one_cell_less)
    asked = _sure(voice, reply.assurance)
    if less in (chance, asked):
        return voice.say(
            "{plants} or more to plant out: {chance} sure ({asked} wanted).",
            plants=reply.plants, chance=chance, asked=asked,
        )  # fmt: skip
    return voice.say(
        "{plants} or more to plant out: {chance} sure ({asked} wanted; a cell less: {less}).",
        plants=reply.plants, chance=chance, asked=asked, less=less,
    )  # fmt: skip


def rests_on(voice: Voice, reply: AmountSaid) -> str:
    """Return what the figures rest on: germination and losses."""
    taken = reply.germination
    basis = voice.listed(_basis(voice, taken))
    share = voice.percent(taken.mean)
    low, high = voice.percent(taken.interval.low), voice.percent(taken.interval.high)
    if taken.judged is not None:
        first = voice.say(
            "Rests on {lot}: {share} of seeds come up (likely {low} to {high}), by {basis};",
            lot=taken.judged.lot.code, share=share, low=low, high=high, basis=basis,
        )  # fmt: skip
    else:
        first = voice.say(
            "Rests on {share} of seeds coming up (likely {low} to {high}), by {basis};",
            share=share, low=low, high=high, basis=basis,
        )  # fmt: skip
    if reply.survival_of is None:
        losses = voice.say(
            "{lost} of seedlings lost on the way (rule of thumb).",
            lost=voice.percent(1 - reply.survival),
        )
    else:
        planted, of = reply.survival_of
        losses = voice.say(
            "{lost} of seedlings lost on the way (rule of thumb and your record: {planted} of "
            "{of} planted).",
            lost=voice.percent(1 - reply.survival), planted=planted, of=of,
        )  # fmt: skip
    return voice.say("{germination} {losses}", germination=first, losses=losses)


def _basis(voice: Voice, taken: GerminationTaken) -> list[str]:
    parts: list[str] = []
    view = taken.judged.viability if taken.judged else None
    first = voice.percent(view.first if view else taken.first)
    if view is not None and view.basis is GerminationBasis.LABEL:
        parts.append(voice.say("the packet's {share}", share=first))
    elif taken.of_kind:
        parts.append(voice.say("what seed of its kind usually shows, {share}", share=first))
    else:
        parts.append(voice.say("what seed usually shows, {share}", share=first))
    if view is not None and view.age_years is not None and view.age_years >= 0.5:
        years, life = voice.number(view.age_years, 1), voice.number(view.storage_years, 0)
        parts.append(
            voice.say(
                "its age of {years} years (keeps about {life} years, rule of thumb)",
                years=years, life=life,
            )
            if view.storage_assumed
            else voice.say(
                "its age of {years} years (keeps about {life} in all)", years=years, life=life
            )
        )  # fmt: skip
    lot = taken.judged.lot if taken.judged else None
    if lot is not None and lot.tested_of:
        parts.append(voice.say("your test, {up} of {of}", up=lot.tested_up or 0, of=lot.tested_of))
    if taken.record is not None:
        up, seeds, sowings = taken.record
        parts.append(
            voice.say_n(
                "{n} finished sowing here, {up} of {seeds}",
                "{n} finished sowings here, {up} of {seeds}",
                sowings, up=up, seeds=seeds,
            )
        )  # fmt: skip
    return parts


def _lot(voice: Voice, reply: AmountSaid) -> str:
    """What the lot needs first; nothing when it is sown as it is."""
    if reply.germination.judged is None:
        return ""
    lot = reply.germination.judged.lot.code
    if reply.advice is LotAdvice.DISCARD:
        return voice.say("{lot} is hardly worth the cells: get fresh seed.", lot=lot)
    if reply.advice is LotAdvice.TEST_FIRST:
        return voice.say(
            "{lot} is untested: put {n} seeds on a wet towel first; then /lot {lot} 7 of {n}",
            lot=lot, n=reply.germination.judged.viability.test_seeds or 10,
        )  # fmt: skip
    return ""


def _why(voice: Voice, size: SowingSize) -> str:
    """Why so many a cell, and the nearest other way."""
    chosen = size.chosen
    one = next((o for o in size.alternatives if o.seeds_per_cell == 1), None)
    two = next((o for o in size.alternatives if o.seeds_per_cell == 2), None)
    if chosen.seeds_per_cell == 1:
        if size.reason is SizeReason.ASKED:
            reason = voice.say("One a cell, as you asked.")
        else:
            reason = voice.say("One a cell is enough, and nothing to thin.")
        if two is None:
            return reason
        return voice.say(
            "{reason} Two a cell: {cells} cells, {seeds} seeds.",
            reason=reason, cells=two.cells, seeds=two.seeds,
        )  # fmt: skip
    match size.reason:
        case SizeReason.ASKED:
            reason = voice.say_n(
                "{n} a cell, as you asked; thin to one.",
                "{n} a cell, as you asked; thin to one.",
                chosen.seeds_per_cell,
            )
        case SizeReason.CELL_ASSURED:
            reason = voice.say_n(
                "{n} a cell, so that few stay empty; thin to one.",
                "{n} a cell, so that few stay empty; thin to one.",
                chosen.seeds_per_cell,
            )
        case _:
            reason = voice.say_n(
                "{n} a cell is the most worth thinning; more cells make up the rest.",
                "{n} a cell is the most worth thinning; more cells make up the rest.",
                chosen.seeds_per_cell,
            )
    if one is None:
        return reason
    return voice.say(
        "{reason} One a cell: {cells} cells, {seeds} seeds.",
        reason=reason, cells=one.cells, seeds=one.seeds,
    )  # fmt: skip


def _rule(voice: Voice, reply: AmountSaid, size: SowingSize) -> str:
    """The customary five seeds for each plant, held against the choice."""
    rule = size.rule
    if rule.chance_one_cell_each < 0.005:
        reaches = voice.say_n(
            "five in one cell almost never gives {n}",
            "five to a cell in {n} cells almost never gives {n}",
            reply.plants,
        )
    else:
        reaches = voice.say_n(
            "five in one cell gives {n} in {chance} of tries",
            "five to a cell in {n} cells gives {n} in {chance} of tries",
            reply.plants,
            chance=_sure(voice, rule.chance_one_cell_each),
        )
    seeds = voice.number(rule.seeds, 0)
    if rule.spare_seeds > 0:
        return voice.say(
            "The common rule, five seeds a plant, takes {seeds}: {more} more; {reaches}.",
            seeds=seeds, more=voice.number(rule.spare_seeds, 0), reaches=reaches,
        )  # fmt: skip
    return voice.say(
        "The common rule, five seeds a plant, takes {seeds}: {fewer} fewer; {reaches}.",
        seeds=seeds, fewer=voice.number(-rule.spare_seeds, 0), reaches=reaches,
    )  # fmt: skip


def _trays(voice: Voice, reply: AmountSaid, size: SowingSize) -> str:
    """Trays of a usual size it fills, and those here with the free cells."""
    fills = voice.listed(
        (
            voice.say_n(
                "{n} tray of {size}", "{n} trays of {size}", filled.trays, size=filled.cells
            )
            for filled in reply.filled
        ),
        style="or",
    )
    head = voice.say("Takes {trays}.", trays=fills)
    if not reply.has_trays:
        return voice.say("{takes} No tray is set up here yet: /tray T1 72", takes=head)
    if reply.free:
        named = [
            voice.say("{tray} ({free} free)", tray=tray, free=free)
            for tray, free in reply.free[:TRAYS_NAMED]
        ]
        return voice.say("{takes} Room here: {trays}.", takes=head, trays=voice.listed(named))
    if reply.free_in_all >= size.chosen.cells:
        return voice.say(
            "{takes} No one tray has the room; all together have {free} free cells.",
            takes=head, free=reply.free_in_all,
        )  # fmt: skip
    return voice.say_n(
        "{takes} Here {n} cell is free: {short} short.",
        "{takes} Here {n} cells are free: {short} short.",
        reply.free_in_all,
        takes=head, short=size.chosen.cells - reply.free_in_all,
    )  # fmt: skip


WORDS: Words = {AmountSaid: amount}

__all__ = ["WORDS", "amount", "rests_on"]
