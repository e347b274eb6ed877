"""What is left of a lot of seed: what was told of it, less what was sown.

A lot keeps its amount as if nothing had ever been sown of it, so that every sowing and every
undo counts by itself.
"""

from __future__ import annotations

from dataclasses import dataclass

from core.trade.crops.row import Crop


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What a lot holds by the records.

    Attributes:
        seeds: seeds left, never below 0; None where only a weight is known and no figure turns
            it into seeds.
        grams: weight left, grams, where a weight was told and can be followed.
        per_gram: seeds a gram that were reckoned with; None where none were needed.
        over: seeds sown beyond what was told.
    """

    seeds: int | None
    grams: float | None
    per_gram: float | None = None
    over: int = 0


def published_per_gram(crop: Crop) -> float | None:
    """Return seeds a gram of a crop by a published source; None where the table has none."""
    low, high = crop.seeds_per_gram_min, crop.seeds_per_gram_max
    if low is None or "seeds_per_gram_min" in crop.from_memory:
        return None
    return (low + (low if high is None else high)) / 2


def stock_of(crop: Crop, *, seeds: int | None, grams: float | None, sown: int) -> Stock | None:
    """Return what is left of a lot.

    Args:
        seeds, grams: the amount it keeps; both = the packet's own seeds a gram.
        sown: seeds sown of it in all.

    Returns:
        None where no amount was ever told.
    """
    if seeds is None and grams is None:
        return None
    per = seeds / grams if seeds and grams else published_per_gram(crop) if grams else None
    whole = seeds if seeds is not None else round(grams * per) if grams and per else None
    if whole is None:
        return Stock(seeds=None, grams=None if sown else grams)
    left = max(0, whole - sown)
    return Stock(
        seeds=left,
        grams=left / per if per else None,
        per_gram=per if seeds is None else None,
        over=max(0, sown - whole),
    )


def kept_amount(
    crop: Crop, *, seeds: int | None, grams: float | None, sown: int
) -> tuple[int | None, float | None]:
    """Return the amount to keep of a lot that holds `seeds` or `grams` now.

    What was sown of it before is added, as `stock_of` takes it off again.
    """
    per = seeds / grams if seeds and grams else published_per_gram(crop)
    whole = None if seeds is None else seeds + sown
    weight = grams if grams is None or per is None else grams + sown / per
    return whole, weight
