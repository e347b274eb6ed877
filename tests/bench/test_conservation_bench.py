"""Ten thousand random sequences of acts and undos: no seed is lost or counted twice.

Run with --bench; tests/core/group/test_parts.py holds the same law for a few hundred.
"""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from core.cells import Cell
from core.group.dividing import divide
from core.group.garden import Happening, SowingOf

pytestmark = pytest.mark.bench

SEQUENCES = 10_000
SOWN = date(2027, 3, 1)
TRAYS = ["T1", "T2", "P1", "P2"]


def act(rng: random.Random, cells: tuple[Cell, ...], seeds: int) -> tuple[str, dict[str, Any]]:
    """Return one act, sensible or not: the records must bear both."""
    named = " ".join(c.label for c in rng.sample(cells, rng.randint(0, min(6, len(cells)))))
    count = rng.choice([None, *range(13)])
    here = {"from": rng.choice(TRAYS)} if rng.random() < 0.7 else {}
    kind = rng.choice(["up", "up", "thinned", "potted", "moved", "planted", "lost", "out", "fed"])
    match kind:
        case "up":
            return kind, {"total": rng.randint(0, seeds)}
        case "thinned":
            return kind, {"per_cell": rng.randint(1, 2), "from_cells": named, **here}
        case "potted" | "moved":
            filled = named or "A1"
            into = {"tray": rng.choice(TRAYS), "cells": filled}
            return kind, {"count": count, "from_cells": named, **into, **here}
        case "planted":
            to = {"to": "Ana"} if rng.random() < 0.3 else {}
            return kind, {"count": count, **to, **here}
        case "lost":
            place = {"place": "bed"} if rng.random() < 0.2 else here
            whole = {"seeds": True, "from_cells": named} if rng.random() < 0.2 else {}
            return kind, {"count": count, "all": rng.random() < 0.1, **whole, **place}
        case _:
            return kind, {"hours": 2.0, **here}


def test_every_seed_is_accounted_for_in_ten_thousand_sequences() -> None:
    rng = random.Random(2027)
    undone = 0
    for number in range(SEQUENCES):
        cells = tuple(Cell(row, col) for row in range(2) for col in range(rng.randint(1, 6)))
        each = rng.randint(1, 4)
        told: list[Happening] = []
        for step in range(1, rng.randint(2, 14)):
            if told and rng.random() < 0.2:
                told.pop(rng.randrange(len(told)))  # taken back, whatever came after
                undone += 1
            else:
                kind, values = act(rng, cells, each * len(cells))
                day = timedelta(days=step)
                at = datetime(2027, 3, 1, 12, tzinfo=UTC) + day
                told.append(
                    Happening(id=step, act=step, kind=kind, on=SOWN + day, at=at, values=values)
                )
            sowing = SowingOf(
                id=1, number=1, crop="tomato", tray="T1", cells=cells, sown_on=SOWN,
                seeds_per_cell=each, act=1, happenings=tuple(told),
            )  # fmt: skip
            book = divide(sowing)
            places = sum(part.alive for part in book.parts)
            gone = book.thinned + book.lost + book.given + book.seeds_lost
            assert book.not_up + places + gone == sowing.seeds, (number, told)
            assert min([book.not_up, *(part.alive for part in book.parts)]) >= 0, (number, told)
            if not told:
                assert (book.not_up, len(book.parts)) == (sowing.seeds, 1)
    print(f"{SEQUENCES} sequences, {undone} acts taken back")
