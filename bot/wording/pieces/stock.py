"""What is left of a lot of seed, in words."""

from __future__ import annotations

from bot.wording.voice import Voice
from core.trade.seed.stock import Stock


def left(voice: Voice, stock: Stock, lot: str, crop: str) -> str:
    """Return what a lot holds by the records, as a sentence."""
    if stock.seeds is None:
        if stock.grams is None:
            return voice.say(
                "A weight was told, but no published figure gives seeds a gram of {crop}: what "
                "is left after sowing cannot be told. Count it: /lot {lot} 200 seeds",
                crop=crop, lot=lot,
            )  # fmt: skip
        return voice.say(
            "{grams} g; no published figure gives seeds a gram of {crop}, so how many that is "
            "cannot be told.",
            grams=_grams(voice, stock.grams), crop=crop,
        )  # fmt: skip
    if stock.seeds == 0:
        return empty(voice, lot)
    if stock.grams is None:
        return voice.say_n("{n} seed left.", "{n} seeds left.", stock.seeds)
    if stock.per_gram is None:
        return voice.say_n(
            "{n} seed left, about {grams} g.", "{n} seeds left, about {grams} g.",
            stock.seeds, grams=_grams(voice, stock.grams),
        )  # fmt: skip
    return voice.say_n(
        "About {n} seed left: {grams} g, at {per} seeds a gram.",
        "About {n} seeds left: {grams} g, at {per} seeds a gram.",
        stock.seeds, grams=_grams(voice, stock.grams), per=voice.number(stock.per_gram, 0),
    )  # fmt: skip


def left_after(voice: Voice, lot: str, stock: Stock) -> str:
    """Return what is left of a lot after a sowing; empty where it cannot be told."""
    if stock.seeds is None:
        return ""
    if stock.over:
        return voice.say_n(
            "{lot} had {n} seed less than that, by what was told. If some is left: "
            "/lot {lot} 50 seeds",
            "{lot} had {n} seeds less than that, by what was told. If some is left: "
            "/lot {lot} 50 seeds",
            stock.over, lot=lot,
        )  # fmt: skip
    if stock.seeds == 0:
        return empty(voice, lot)
    return voice.say_n("{lot}: {n} seed left.", "{lot}: {n} seeds left.", stock.seeds, lot=lot)


def empty(voice: Voice, lot: str) -> str:
    """Return that a lot is sown out."""
    return voice.say(
        "By what was told {lot} is empty. If some is left: /lot {lot} 50 seeds", lot=lot
    )


def _grams(voice: Voice, grams: float) -> str:
    return voice.number(grams, 1 if grams >= 1 else 2)
