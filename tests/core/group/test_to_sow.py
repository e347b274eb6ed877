"""From which packet, into which cells, how deep, how many."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from core.group.garden import LotOf, TrayOf
from core.group.to_sow import to_sow
from tests.pictures.gardens import TODAY, block, garden, sowing


def entry(number: int, crop: str, days: int, cells: int, **more: Any) -> dict[str, Any]:
    return {
        "id": f"P1-{number}", "crop": crop, "sow_on": (TODAY + timedelta(days=days)).isoformat(),
        "cells": cells, "seeds_per_cell": 2, **more,
    }  # fmt: skip


def test_cells_are_given_out_once_and_the_planned_shelf_comes_first() -> None:
    of = garden(
        (sowing(1, "basil", block(0, 0, 11)),),
        plan={"sowings": [entry(1, "tomato", 3, 70, shelf="B"), entry(2, "pepper", 5, 40)]},
    )
    trays = {**of.trays, "T2": TrayOf(id=2, code="T2", rows=6, cols=12, shelf="B")}
    first, second = to_sow(replace(of, trays=trays), TODAY, TODAY + timedelta(days=7))
    assert (first.trays, first.seeds) == ((("T2", "A1-E12 F1-F10"),), 140)
    assert second.trays == (("T1", "B1-D12 E1-E4"),)
    assert first.depth_mm is not None


def test_what_finds_no_room_says_so_by_fewer_cells() -> None:
    of = garden(plan={"sowings": [entry(1, "tomato", 0, 100)]})
    (one,) = to_sow(of, TODAY, TODAY)
    assert one.trays == (("T1", "A1-F12"),)


def test_packets_of_the_variety_only() -> None:
    lots = {
        code: LotOf(id=n, code=code, crop=crop, variety=variety)
        for n, (code, crop, variety) in enumerate(
            (("L1", "tomato", "Amber Pip"), ("L2", "tomato", None), ("L3", "pepper", None))
        )
    }
    of = garden(
        plan={"sowings": [entry(1, "tomato", 0, 5, variety="amber pip"), entry(2, "tomato", 0, 5)]},
        lots=lots,
    )
    assert [one.lots for one in to_sow(of, TODAY, TODAY)] == [("L1",), ("L1", "L2")]


def test_what_was_sown_and_what_is_long_past_is_left_out() -> None:
    of = garden(
        plan={"sowings": [entry(1, "tomato", 0, 5), entry(2, "basil", -40, 5)]},
        sown_items=frozenset({"P1-1"}),
    )
    assert to_sow(of, TODAY, TODAY + timedelta(days=14)) == ()
