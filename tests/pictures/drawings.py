"""The fixed drawings whose structure is kept, and what every drawing must keep to.

`python -m tests.pictures.drawings` writes the golden files anew, after the pictures were looked at.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from itertools import combinations
from pathlib import Path
from typing import Any

from bot.pictures import curve, fonts, log, season, space, tray
from bot.pictures.model import WIDTH, Box, Drawing, Mark, Text
from bot.pictures.model import Path as Line
from bot.pictures.style import SMALL
from core.replies.plans import DirectPlanned, SeasonLine, SeasonSaid
from tests.pictures.gardens import LONG, TODAY, sample, voice

GOLDEN = Path(__file__).parent / "golden"
SPACE: dict[str, Any] = {
    "weeks": [(date(2027, 3, 29) + timedelta(weeks=n)).isoformat() for n in range(9)],
    "shelves": {
        "A": {"places": 4, "used": [2, 3, 4, 4, 5, 4, 3, 1, 0]},
        "B": {"places": 3, "used": [0, 0, 0, 0, 0, 0, 0, 0, 0]},
    },
}


def season_said() -> SeasonSaid:
    day = date(2027, 5, 10)
    lines = (
        SeasonLine(
            crop="tomato",
            variety="Amber Pip",
            sowing="S1",
            sow_on=date(2027, 3, 4),
            pot_on=date(2027, 4, 1),
            harden_from=date(2027, 4, 26),
            plant_out=day,
        ),
        SeasonLine(
            crop="lettuce",
            variety=None,
            sowing="S2",
            sow_on=date(2027, 2, 22),
            pot_on=None,
            harden_from=date(2027, 4, 1),
            plant_out=date(2027, 4, 10),
        ),
        SeasonLine(
            crop="pepper",
            variety=LONG,
            sowing=None,
            sow_on=date(2027, 4, 5),
            pot_on=date(2027, 5, 3),
            harden_from=date(2027, 5, 10),
            plant_out=date(2027, 5, 24),
        ),
        SeasonLine(
            crop="basil",
            variety=None,
            sowing="S5",
            sow_on=date(2027, 3, 31),
            pot_on=None,
            harden_from=None,
            plant_out=None,
        ),
    )
    direct = DirectPlanned(
        crop="carrot", variety=None, plants=12, earliest=date(2027, 4, 7),
        sow_on=date(2027, 4, 13), latest=date(2027, 4, 28), frost_chance=0.6, soil_c=None,
    )  # fmt: skip
    return SeasonSaid(group_id=1, lines=lines, direct=(direct,), planned=True)


CASES: dict[str, Callable[[], Drawing]] = {
    "tray": lambda: tray.drawing(sample(), "T1", voice()),
    "curve_one": lambda: curve.drawing(sample(), sample().sowings, ["S1"], voice()),
    "curve_many": lambda: curve.drawing(
        sample(), sample().sowings, ["S1", "S2", "S3", "S5"], voice()
    ),
    "season": lambda: season.drawing(sample(), season_said(), voice()),
    "space": lambda: space.drawing(SPACE, voice(), sample()),
    "log": lambda: log.drawing(sample(), "A", voice()),
    "log_f": lambda: log.drawing(sample(), "A", voice(fahrenheit=True)),
}


def overlaps(drawing: Drawing) -> Iterator[tuple[str, str]]:
    """Yield the pairs of texts that cover each other."""
    for one, other in combinations(drawing.texts(), 2):
        if one.overlaps(other):
            yield one.text, other.text


def outside(drawing: Drawing) -> Iterator[object]:
    """Yield what leaves the picture."""
    for piece in drawing.pieces:
        match piece:
            case Box() | Text():
                corners = [(piece.x, piece.y), (piece.x + piece.w, piece.y + piece.h)]
            case Line():
                corners = list(piece.points)
            case Mark():
                corners = [(piece.x, piece.y)]
        if any(
            not (-0.5 <= x <= WIDTH + 0.5 and -0.5 <= y <= drawing.height + 0.5) for x, y in corners
        ):
            yield piece


def keeps_the_rules(drawing: Drawing) -> None:
    """Assert what holds of every picture: legible, apart, inside, and said in words."""
    assert list(overlaps(drawing)) == []
    assert list(outside(drawing)) == []
    for text in drawing.texts():
        assert text.size >= SMALL, text
        assert text.text == fonts.covered(text.text)
        assert text.w == fonts.width(text.text, text.size, text.bold)
    assert drawing.caption.strip()
    assert drawing.title


def as_kept(drawing: Drawing) -> str:
    return json.dumps(drawing.values(), ensure_ascii=False, indent=1) + "\n"


if __name__ == "__main__":
    GOLDEN.mkdir(exist_ok=True)
    for name, make in CASES.items():
        (GOLDEN / f"{name}.json").write_text(as_kept(make()), encoding="utf-8")


__all__ = ["CASES", "GOLDEN", "TODAY", "as_kept", "keeps_the_rules"]
