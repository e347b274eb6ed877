"""Which paper a group prints on: by its country, else by its clock's country, else by its units."""

from __future__ import annotations

import functools

from core.group.garden import Site
from core.trade.label_grids import PAPER_MM, Paper

LETTER_COUNTRIES = frozenset(
    ("BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE")
)
"""ISO codes of where letter paper is usual, A4 elsewhere. Source: Unicode CLDR's supplemental
data, as listed in Unicode Technical Standard 35 part 6, Measurement System Data; read there."""


def paper_of(site: Site) -> Paper:
    """Return the usual paper of a group. Checked by: tests/core/group/test_paper.py."""
    country = (site.place or "").rpartition(",")[2].strip() or countries().get(site.zone, "")
    if len(country) != 2:
        country = countries().get(site.zone, "")
    if not country:
        return Paper.LETTER if site.inches else Paper.A4
    return Paper.LETTER if country in LETTER_COUNTRIES else Paper.A4


def paper_mm(site: Site) -> tuple[float, float]:
    """Return the width and height of a group's paper, mm."""
    return PAPER_MM[paper_of(site)]


@functools.cache
def countries() -> dict[str, str]:
    """Return IANA zone → ISO code of its country, from zone.tab of the zone database."""
    from importlib.resources import files

    text = files("tzdata").joinpath("zoneinfo", "zone.tab").read_text("utf-8")
    rows = [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]
    return {row[2]: row[0] for row in rows}
