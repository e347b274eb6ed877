"""Least germination that seed offered for sale must reach, by kind of seed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from core.trade.tables.registry import ident, number, plain, register, text

UNLISTED_STATE_PERCENT = 50  # NH-2203 and CO-1203-6: any vegetable or herb not listed


class Authority(StrEnum):
    """Whose standard it is."""

    FEDERAL = "federal"  # United States, vegetable seed in interstate commerce
    STATE = "state"  # rules of the states named in the row's sources


class SeedGroup(StrEnum):
    VEGETABLE = "vegetable"
    HERB_OR_VEGETABLE = "herb_or_vegetable"
    FLOWER = "flower"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """The standard of one kind of seed.

    Attributes:
        id: key of the row.
        kind: kind of seed as the rule names it.
        min_percent: least germination, percent; hard seed included in the federal table.
        authority: federal table or state rules.
        group: kind of plant.
        source: keys of sources.toml.
        note: where sources differ.

    Checked by: tests/reference/test_published_tables.py.
    """

    id: str = ident()
    kind: str = text(pattern=r"\S.*")
    min_percent: int = number(lo=1, hi=100)
    authority: Authority
    group: SeedGroup
    source: str = plain()
    note: str = plain(default="")


STANDARDS = register("standard", Standard)


def standard(standard_id: str) -> Standard:
    """Return the standard with this id; raise KeyError when there is none."""
    return STANDARDS.by_id()[standard_id]
