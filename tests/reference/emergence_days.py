"""Days to emergence by temperature, as printed, and readers for the tests.

Source: HM1954 (Harrington and Minges 1954, Vegetable Seed Germination), read through
KNOTT-UCSC (its reprint in Teaching Organic Farming and Gardening, UC Santa Cruz, Unit 1.3,
Appendix 4): seed half an inch deep, constant temperature, whole days. NG = no germination,
"-" = not tested. Asparagus at 95 F is 20 there and 19 in another copy (HM-COMB).
"""

from __future__ import annotations

from core.trade.emergence.forecast import NG, EmergencePoint, EmergencePoints

COLUMNS_F = (32, 41, 50, 59, 68, 77, 86, 95, 104)

DAYS = {
    "Asparagus": "NG NG 53 24 15 10 12 20 28",
    "Bean, lima": "- - NG 31 18 7 7 NG -",
    "Bean, snap": "NG NG NG 16 11 8 6 6 NG",
    "Beet": "- 42 17 10 6 5 5 5 -",
    "Cabbage": "- - 15 9 6 5 4 - -",
    "Carrot": "NG 51 17 10 7 6 6 9 NG",
    "Cauliflower": "- - 20 10 6 5 5 - -",
    "Celery": "NG 41 16 12 7 NG NG NG -",
    "Corn, sweet": "NG NG 22 12 7 4 4 3 NG",
    "Cucumber": "NG NG NG 13 6 4 3 3 -",
    "Eggplant": "- - - - 13 8 5 - -",
    "Lettuce": "49 15 7 4 3 2 3 NG NG",
    "Muskmelon": "- - - - 8 4 3 - -",
    "Okra": "NG NG NG 27 17 13 7 6 7",
    "Onion": "136 31 13 7 5 4 4 13 NG",
    "Parsley": "- - 29 17 14 13 12 - -",
    "Parsnip": "172 57 27 19 14 15 32 NG NG",
    "Pea": "- 36 14 9 8 6 6 - -",
    "Pepper": "NG NG NG 25 13 8 8 9 NG",
    "Radish": "NG 29 11 6 4 4 3 - -",
    "Spinach": "63 23 12 7 6 5 6 NG NG",
    "Tomato": "NG NG 43 14 8 6 6 9 NG",
    "Turnip": "NG NG 5 3 2 1 1 1 3",
    "Watermelon": "- NG - - 12 5 4 3 -",
}


def celsius(temp_f: float) -> float:
    return (temp_f - 32) * 5 / 9


def printed(crop: str) -> list[tuple[float, str]]:
    """The row of a crop: (temperature in Celsius, figure as printed)."""
    return [(celsius(f), figure) for f, figure in zip(COLUMNS_F, DAYS[crop].split(), strict=True)]


def points(crop: str, *, without_c: float | None = None) -> EmergencePoints:
    """The row of a crop as the curve's input, perhaps with one temperature held out."""
    return EmergencePoints(
        points=tuple(
            EmergencePoint(temp_c=temp_c, days=_days(figure))
            for temp_c, figure in printed(crop)
            if temp_c != without_c
        ),
        source="KNOTT-UCSC",
    )


def _days(figure: str) -> float | str | None:
    if figure == "-":
        return None
    return NG if figure == "NG" else float(figure)
