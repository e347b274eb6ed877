"""The questions that lead through a setting: the site, the frost, the rota, new trays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, time

from core.due.kinds import Channel
from core.group.garden import Garden
from core.languages import LANGUAGES
from core.replies.base import Option
from core.requests import Lead, SetDuty, SetFrost, SetSite, SetTray, ShowTray
from core.trade.frost.seasons import Hemisphere, hemisphere_at

MOST_TRAYS = 7
"""Trays offered at once."""


ROUNDS = tuple(time(hour, minute) for hour in (6, 7, 8, 9) for minute in (0, 30))


DAYS = (1, 5, 10, 15, 20, 25)


SIZES = (18, 50, 72, 128)
"""Common tray sizes: core/data/trays.toml has them all."""


SPRING = {Hemisphere.NORTH: (3, 4, 5, 6), Hemisphere.SOUTH: (8, 9, 10, 11)}


AUTUMN = {Hemisphere.NORTH: (8, 9, 10, 11), Hemisphere.SOUTH: (3, 4, 5, 6)}


YEAR = 2001
"""A frost date's year says nothing."""


def of_setting(request: Lead, garden: Garden) -> tuple[str, Iterator[Option]]:
    match request.act, request.part:
        case "site", None:
            parts = ("place", "units", "language", "round", "reminders")
            return "part", (
                Option(kind="part", request=replace(request, part=part), values={"part": part})
                for part in parts
            )
        case "site", part:
            return str(part), _of_site(str(part))
        case "frost", None:
            return "side", (
                Option(kind="side", request=replace(request, part=side), values={"side": side})
                for side in ("last", "first")
            )
        case "frost", _:
            return _frost(request, garden)
        case "duty", _:
            return _duty(request, garden)
        case _:
            return _tray(request, garden)


def _of_site(part: str) -> Iterator[Option]:
    match part:
        case "units":
            for imperial in (False, True):
                yield Option(
                    kind="units",
                    request=SetSite(fahrenheit=imperial, inches=imperial),
                    values={"imperial": imperial},
                )
        case "language":
            for language in LANGUAGES:
                yield Option(
                    kind="language", request=SetSite(language=language),
                    values={"language": language},
                )  # fmt: skip
        case "round":
            for at in ROUNDS:
                yield Option(kind="clock", request=SetSite(round_at=at), values={"at": at})
        case "reminders":
            for channel in Channel:
                yield Option(
                    kind="channel", request=SetSite(channel=channel), values={"channel": channel}
                )


def _frost(request: Lead, garden: Garden) -> tuple[str, Iterator[Option]]:
    latitude = garden.site.latitude
    side = Hemisphere.NORTH if latitude is None else hemisphere_at(latitude)
    last = request.part == "last"
    if request.number is None:
        months = (SPRING if last else AUTUMN)[side]
        return "month", (
            Option(kind="month", request=replace(request, number=month), values={"month": month})
            for month in months
        )
    found = []
    for number in DAYS:
        day = date(YEAR, max(1, min(request.number, 12)), number)
        made = SetFrost(typical=day) if last else SetFrost(first=day)
        found.append(Option(kind="day", request=made, values={"day": day}))
    return "day", iter(found)


def _duty(request: Lead, garden: Garden) -> tuple[str, Iterator[Option]]:
    if request.who is None:
        return "who", (
            Option(
                kind="member", request=replace(request, who=member.name),
                values={"name": member.name},
            )
            for member in garden.members.values()
        )  # fmt: skip
    return "weekday", (
        Option(
            kind="weekday",
            request=SetDuty(who=(request.who,), weekdays=(weekday,)),
            values={"weekday": weekday},
        )
        for weekday in range(7)
    )


def _tray(request: Lead, garden: Garden) -> tuple[str, Iterator[Option]]:
    if request.part is None:
        options = [
            Option(kind="tray", request=ShowTray(tray=code), values={"tray": code})
            for code in tuple(garden.trays)[:MOST_TRAYS]
        ]
        new = Option(kind="new_trays", request=replace(request, part="new"))
        return "look", iter((new, *options))
    if request.number is None:
        return "how_many", (
            Option(kind="count", request=replace(request, number=n), values={"count": n})
            for n in (1, 2, 3, 4, 6, 8)
        )
    if not request.cells:
        return "size", (
            Option(kind="size", request=replace(request, cells=cells), values={"cells": cells})
            for cells in SIZES
        )
    taken = [int(code[1:]) for code in garden.trays if code[0] == "T" and code[1:].isdigit()]
    first = max(taken, default=0) + 1
    codes = tuple(f"T{n}" for n in range(first, first + min(request.number, 20)))
    made = SetTray(codes=codes, cells=request.cells)
    shelves = [
        Option(kind="shelf", request=replace(made, shelf=code), values={"shelf": code})
        for code in garden.shelves
    ]
    return "onto", iter((*shelves, Option(kind="no_shelf", request=made)))
