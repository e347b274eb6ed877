"""Pieces that most commands share: where, when, for whom; and the check that nothing is left."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bot.grammar.cells import Place, take_everything, take_lot, take_place, take_shelf, take_sowing
from bot.grammar.crop_words import take_crop
from bot.grammar.dates import Lean, take_date
from bot.grammar.names import take_for_whom, take_member, take_quoted, take_rest_name
from bot.grammar.problems import LeftOver
from bot.grammar.text import Bag
from bot.grammar.unclear import Unclear
from bot.grammar.variety import claim_known
from core.folding import fold
from core.requests import Where


@dataclass(slots=True, kw_only=True)
class Told:
    """When, for whom, and in answer to what: claimed before anything else in a line."""

    on: date | None = None
    for_whom: str | None = None
    notice: int | None = None


def take_told(bag: Bag, for_whom: str | None = None) -> Told:
    """Claim the date, the person (unless claimed before) and the notice of a report."""
    claim_known(bag)
    notice = bag.take(r"(?<!\w)re:(\d{1,18})(?!\w)")
    bag.drop("whatever is due")
    for_whom = for_whom or take_for_whom(bag)
    return Told(
        notice=int(notice[1]) if notice else None,
        for_whom=for_whom,
        on=take_date(bag, Lean.PAST),
    )


def take_where(
    bag: Bag, *, bare_shelf: bool = False, all_words: bool = True, crop: bool = True,
    slips: bool = True,
) -> Where:  # fmt: skip
    """Claim trays, cells, sowing, lot, shelf, `all` and crop."""
    claim_known(bag)
    variety = bag.variety or take_quoted(bag, "variety")
    shelf = take_shelf(bag)
    place = take_place(bag)
    sowing = take_sowing(bag)
    lot = take_lot(bag)
    if bare_shelf and shelf is None and not place.trays:
        shelf = take_shelf(bag, bare=True)
    if shelf is None and place == Place() and sowing is None and lot is None:
        shelf = _only_shelf(bag)
    everything = all_words and take_everything(bag)
    return Where(
        trays=place.trays,
        cells=place.cells,
        crop=take_crop(bag, slips=slips) if crop else None,
        sowing=sowing,
        shelf=shelf,
        lot=lot,
        everything=everything,
        variety=variety,
    )


def _only_shelf(bag: Bag) -> str | None:
    """Claim a shelf's code that stands alone: `watered A`, where `a tray` names none."""
    alone = bag.rest.strip(" .,;:!\x00")
    known = {fold(code): code for code in bag.context.shelves}
    if fold(alone) not in known:
        return None
    start = bag.rest.index(alone)
    bag.mask(start, start + len(alone))
    return known[fold(alone)].upper()


def finish_report(bag: Bag, told: Told) -> None:
    """Claim a person named in passing, then refuse any words left."""
    if told.for_whom is None:
        told.for_whom = take_rest_name(bag) or take_member(bag)
    nothing_left(bag)


def nothing_left(bag: Bag, crop: str | None = None) -> None:
    """Raise LeftOver for words not understood.

    A word right before the crop (`cherry tomato`) is asked about instead of refused.
    """
    left = bag.left()
    if not left:
        return
    start, end, _ = left[-1]
    after = bag.rest[end:]
    if crop is not None and after.startswith(" \x00"):
        crop_end = end + 1
        while crop_end < len(bag.rest) and bag.rest[crop_end] == "\x00":
            crop_end += 1
        if len(left) == 1 and _reads(bag.whole[end:crop_end], crop):
            raise Unclear(kind="crop", start=start, end=crop_end, options=(crop,))
    raise LeftOver(command=bag.command, words=" ".join(text for _, _, text in left))


def _reads(text: str, crop: str) -> bool:
    from bot.grammar.crop_words import exact

    match = exact(text.strip())
    return match.crop is not None and match.crop.id == crop
