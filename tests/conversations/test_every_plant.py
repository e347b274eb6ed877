"""Every plant of two whole seasons is accounted for on every day.

A ledger is kept from what the bot answered, by sowing; after each step the records must say the
same, and on every day seeds sown = not up + lost as seed + alive in each place + thinned + lost +
given away. The ledger asks nothing of the bot's own arithmetic.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date, timedelta

import pytest
from sqlalchemy import select

from core.group.dividing import divide
from core.group.garden import SowingOf
from core.records import models as m
from core.records import snapshot
from tests.conversations.play_terminal import TerminalPlayer
from tests.conversations.script import HERE, read

SEASONS = ["cold_short_season", "mild_season"]
CROPS = 15

SOWN = re.compile(r"(S\d+): .* sown in (T\d+) ")
SEEDS = re.compile(r"(?:(\d+) seeds? in )?(\d+) cells?\.")
UP = re.compile(r"(S\d+) .*: (\d+) of (\d+) up,")
POTTED = re.compile(r"(S\d+) .*: (\d+) potted up into (T\d+)")
LOST = re.compile(r"(S\d+) .*: (\d+) lost.*; (\d+) left\.")
BACK = re.compile(r"Taken back: (?:(S\d+): .* sown in|.*: lost)")
GONE = re.compile(r"(S\d+) .*: lost.* The sowing is closed\.")
PLANTED = re.compile(r"(S\d+) .*: (\d+) planted out,")
GIVEN = re.compile(r"(S\d+) .*: (\d+) to \w+, ")
THINNED = re.compile(r"Thinned: ((?:S\d+(?:, | and )?)+) to (\d+) plants? a cell")
LEFT = re.compile(r"(\d+) (?:is|are) left\.|That was the last of them\.")
STANDS = re.compile(r"(S\d+) [^;]*?, (?:(\d+) left of \d+ up|(\d+) of \d+ up|(\d+) \w)")


@dataclass(slots=True)
class Account:
    """What was told of one sowing; counts of seeds and plants."""

    seeds: int
    cells: int
    up: int = 0
    thinned: int = 0
    lost: int = 0
    planted: int = 0
    given: int = 0
    seeds_lost: int = 0

    @property
    def indoors(self) -> int:
        return self.up - self.thinned - self.lost - self.planted - self.given


class Ledger:
    """The accounts by sowing, kept from answers."""

    def __init__(self) -> None:
        self.of: dict[str, Account] = {}
        self.told = 0

    def hear(self, lines: tuple[str, ...]) -> None:
        """Enter what an answer says; complain where it contradicts what was told before."""
        first = lines[0] if lines else ""
        for pattern, enter in (
            (SOWN, self._sown), (UP, self._up), (POTTED, self._potted), (LOST, self._lost),
            (BACK, self._back),
            (GONE, self._gone), (PLANTED, self._planted), (GIVEN, self._given),
            (THINNED, self._thinned),
        ):  # fmt: skip
            found = pattern.match(first)
            if found is not None:
                enter(found, lines)
                self.told += 1
                return
        if first.startswith(("Shelf ", "Cold frame", "On no shelf")):
            self._trays(lines)
            self.told += 1

    def _sown(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        told = SEEDS.match(lines[1])
        assert told is not None, lines
        self.of[found[1]] = Account(seeds=int(told[1] or told[2]), cells=int(told[2]))

    def _up(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        account = self.of[found[1]]
        assert account.seeds == int(found[3]), lines
        account.up = int(found[2])

    def _potted(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        stay = next(
            (re.match(r"(\d+) plants? stay", line) for line in lines if "stay" in line), None
        )
        if stay is not None:
            assert int(found[2]) + int(stay[1]) == self.of[found[1]].indoors, lines

    def _lost(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        account = self.of[found[1]]
        account.lost += int(found[2])
        assert account.indoors == int(found[3]), lines

    def _back(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        """A sowing taken back never was; a loss taken back here was one in the bed."""
        if found[1]:
            del self.of[found[1]]

    def _gone(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        account = self.of[found[1]]
        account.lost += account.indoors

    def _planted(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        self.of[found[1]].planted += int(found[2])
        self._left(self.of[found[1]], lines)

    def _given(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        self.of[found[1]].given += int(found[2])
        self._left(self.of[found[1]], lines)

    @staticmethod
    def _left(account: Account, lines: tuple[str, ...]) -> None:
        told = next((LEFT.match(line) for line in lines if LEFT.match(line)), None)
        assert told is not None, lines
        assert account.indoors == int(told[1] or 0), lines

    def _thinned(self, found: re.Match[str], lines: tuple[str, ...]) -> None:
        for code in re.findall(r"S\d+", found[1]):
            account = self.of[code]
            account.thinned += max(0, account.indoors - int(found[2]) * account.cells)

    def _trays(self, lines: tuple[str, ...]) -> None:
        """Hold the list of trays against the accounts: nobody is missing, nobody is there twice."""
        seen: dict[str, int] = {}
        for line in lines:
            for code, *counts in STANDS.findall(line):
                seen[code] = seen.get(code, 0) + int(next(filter(None, counts)))
        living = {code: a.indoors for code, a in self.of.items() if a.up and a.indoors}
        assert seen == living, lines


def accounted(sowing: SowingOf) -> bool:
    """Whether every seed of a sowing is somewhere, and nowhere twice."""
    book = divide(sowing)
    places = [part.alive for part in book.parts]
    cells = [(part.tray, cell) for part in book.parts for cell in part.cells]
    whole = book.not_up + book.seeds_lost + sum(places) + book.thinned + book.lost + book.given
    return (
        whole == sowing.seeds
        and min([0, *places, book.not_up]) >= 0
        and len(cells) == len(set(cells))
    )


def until(sowing: SowingOf, day: date) -> SowingOf:
    """Return a sowing as it was known to stand on a day."""
    return replace(sowing, happenings=tuple(h for h in sowing.happenings if h.on <= day))


@pytest.mark.parametrize("name", SEASONS)
def test_every_plant_is_accounted_for_on_every_day(name: str) -> None:
    player, ledger = TerminalPlayer(), Ledger()
    days = 0
    try:
        for step in read(HERE / f"{name}.chat").steps:
            for heard in player.play(step):
                if not heard.unasked and not heard.changed:
                    ledger.hear(heard.lines)
            with player.database.transaction() as session:
                group = session.scalars(select(m.Group.id)).first()
                every = snapshot.all_sowings(session, group) if group is not None else ()
            assert {sowing.code for sowing in every} == set(ledger.of), step
            for sowing in every:
                book, told = divide(sowing), ledger.of[sowing.code]
                bed = sum(part.alive for part in book.parts if part.place == "bed")
                assert (book.seeds, book.came) == (told.seeds, told.up), step
                assert (book.thinned, book.given) == (told.thinned, told.given), step
                assert book.living - bed == told.indoors, (step, sowing.code)
                assert bed + (book.lost - told.lost) == told.planted, (step, sowing.code)
        first = min(sowing.sown_on for sowing in every)
        last = max(h.on for sowing in every for h in sowing.happenings)
        for offset in range((last - first).days + 1):
            day = first + timedelta(days=offset)
            days += 1
            assert all(accounted(until(s, day)) for s in every if s.sown_on <= day), day
    finally:
        player.close()
    assert len({sowing.crop for sowing in every}) == CROPS
    assert all(sowing.variety or sowing.lot for sowing in every)
    assert days >= 90
    assert ledger.told > 60


def test_the_ledger_sees_plants_that_vanish() -> None:
    ledger = Ledger()
    ledger.hear(("S1: pepper (Copper Bell) sown in T1 A1-B6, today.", "24 seeds in 12 cells."))
    ledger.hear(("S1 pepper: 19 of 24 up, today (79%, likely 60%–91%).",))
    ledger.hear(("Shelf A", "T1: S1 pepper (Copper Bell), 19 of 24 up; 60 cells free"))
    with pytest.raises(AssertionError):
        ledger.hear(("S1 pepper: 10 potted up into T8 A1-B5, today.", "8 plants stay in T1."))
    with pytest.raises(AssertionError):
        ledger.hear(("Shelf A", "T1: S1 pepper (Copper Bell), 9 left of 19 up; 60 cells free"))
