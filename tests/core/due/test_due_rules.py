"""What falls due says only what it rests on."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from bot.wording.pieces.work_lines import work_lines
from bot.wording.voice import Voice
from core.due import rules as due_rules
from core.due.items import Item, Work
from core.records import snapshot
from core.requests import Moist, Moisture, SetTray, Sow, Temp, Where
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


def overdue(crop: str, *, looks: bool = True) -> Item | None:
    """Return the overdue item of a sowing read at 18 °C on its first day and felt every third."""
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1",), rows=2, cols=6))
    group.ask(Sow(where=Where(trays=("T1",)), crop=crop, cell_count=6))
    group.ask(Temp(where=Where(trays=("T1",)), temp_c=18.0))
    for day in range(1, 41):
        today = date(2027, 3, 1) + timedelta(days=day)
        with group.database.transaction() as session:
            garden = snapshot.garden(session, group.ids[0], today)
        for found in due_rules.come_up(garden, today):
            if found.kind is Work.OVERDUE:
                return found
        if looks and day % 3 == 0:
            group.ask(Moist(where=Where(trays=("T1",)), level=Moisture.RIGHT))
        group.at += timedelta(days=1)
    return None


def test_an_overdue_crop_with_a_table_names_the_temperature_it_was_reckoned_at() -> None:
    found = overdue("tomato")
    assert found is not None
    assert found.values["temp_logged"]
    assert found.values["temp_c"] > 10


def test_nothing_is_overdue_while_nobody_has_looked() -> None:
    assert overdue("tomato", looks=False) is None
    found = overdue("tomato")
    assert found is not None
    (line,) = work_lines((found,), Voice(today=date(2027, 4, 1)))
    assert "If nothing does" in line


def test_a_crop_without_a_table_is_reckoned_by_the_temperature_too() -> None:
    found = overdue("basil")
    assert found is not None
    assert found.values["temp_c"] is not None


def test_what_is_overdue_is_given_up_after_45_days() -> None:
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1",), rows=2, cols=6))
    group.ask(Sow(where=Where(trays=("T1",)), crop="tomato", cell_count=6))
    group.ask(Temp(where=Where(trays=("T1",)), temp_c=18.0))
    group.at += timedelta(days=40)
    group.ask(Moist(where=Where(trays=("T1",)), level=Moisture.RIGHT))
    overdue_for: list[int] = []
    for day in range(41, 130):
        today = date(2027, 3, 1) + timedelta(days=day)
        with group.database.transaction() as session:
            garden = snapshot.garden(session, group.ids[0], today)
        overdue_for += [
            (today - found.since).days
            for found in due_rules.come_up(garden, today)
            if found.kind is Work.OVERDUE
        ]
    assert max(overdue_for) == 45
