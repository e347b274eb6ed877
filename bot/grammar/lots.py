"""Lots of seed."""

from __future__ import annotations

from bot.grammar.cells import take_code
from bot.grammar.crop_words import take_crop
from bot.grammar.names import take_quoted
from bot.grammar.problems import LeftOver, NumberOdd
from bot.grammar.quantities import COUNT, take_grams, take_percent, value
from bot.grammar.slots import nothing_left
from bot.grammar.text import Bag
from bot.grammar.variety import claim_known, take_variety
from core.requests import SetLot


def build_lot(bag: Bag) -> SetLot:
    """Build a lot of seed; nothing said = list them."""
    claim_known(bag)
    variety = bag.variety or take_quoted(bag, "variety|var|cultivar|cv") or take_quoted(bag)
    hit = bag.take(
        rf"({COUNT})\s*(?:of|/|out of|from)\s*({COUNT})(?:\s*(?:seeds?|up|germinated))?"
    ) or bag.take(r"(?<![\w.,/])(\d{1,3})\s*(?:/|of|out of)\s*(\d{1,3})(?![\w/])")
    up = of = None
    if hit:
        up, of = int(value(hit[1])), int(value(hit[2]))
        if not 0 <= up <= of or of == 0:
            raise NumberOdd(command=bag.command, given=up, lo=0, hi=of)
    seeds, grams = _take_amount(bag)
    days = bag.take(rf"({COUNT})\s*(?:-\s*)?days?(?:\s+(?:to )?(?:maturity|harvest))?(?!\w)")
    percent = take_percent(bag)
    if percent is not None and not 0 <= percent <= 100:
        raise NumberOdd(command=bag.command, given=percent, lo=0, hi=100)
    year = bag.take(r"(?<![\w.,/-])((?:19|20)\d\d)(?![\w/-])")
    treated: bool | None = None
    if bag.has("untreated|not treated|uncoated|raw"):
        treated = False
    elif bag.has("treated|coated|pelleted|dyed|pelletised|pelletized"):
        treated = True
    used_up = bag.has("used up|finished|empty|all gone|gone|used")
    code = take_code(bag, "l", bag.context.lots, "lots?|batch")
    bag.drop("packed(?: for)?|sow by|label(?:led)?|tested?|germination|germ|seeds?|packet|pkt|list|show|test|year|lots?|is|add|new|germinated|up")  # fmt: skip  # noqa: E501
    crop = take_crop(bag) if bag.left() else None
    variety = variety or take_variety(bag, crop)
    if variety is None and code and crop is None and bag.left():
        raise LeftOver(command=bag.command, words=bag.left_text())
    nothing_left(bag)
    return SetLot(
        code=code, crop=crop, variety=variety, packed_for=int(year[1]) if year else None,
        tested_up=up, tested_of=of, label_percent=percent, treated=treated, used_up=used_up,
        seeds=seeds, grams=grams, maturity_days=int(value(days[1])) if days else None,
    )  # fmt: skip


def _take_amount(bag: Bag) -> tuple[int | None, float | None]:
    """Claim what a packet holds: seeds, `2 packets of 100 seeds`, and a weight in grams."""
    grams = take_grams(bag)
    hit = bag.take(
        rf"({COUNT})\s*(?:packets?|pkts?)\s*(?:of|x|with)\s*({COUNT})(?:\s*seeds?)?(?!\w)"
    )
    if hit:
        return int(value(hit[1]) * value(hit[2], thousands=True)), grams
    hit = bag.take(rf"({COUNT})\s*(?:more\s+)?seeds?(?:\s+left)?(?!\w)")
    bag.drop("left|remaining")
    return int(value(hit[1], thousands=True)) if hit else None, grams
