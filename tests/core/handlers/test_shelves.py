"""Shelves and trays: sizes, places, and what lives in them."""

from __future__ import annotations

from datetime import UTC, datetime, time

import pytest

from core.errors import ShelfUnknown, TrayUnknown, ValueAbsurd
from core.replies.reports import LightRecorded
from core.replies.shelves import ShelfSaid, ShelvesListed, TraysSaid
from core.requests import Light, Lost, SetShelf, SetTray, ShowShelf, Sow, Where
from core.set_up_errors import LampUnknown, ShelfFull, TrayInUse, TraySizeMissing, TraySizeUnknown
from core.trade.light.daylight import window_light
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


def shelf(group: OneGroup, request: SetShelf) -> ShelfSaid:
    reply = group.ask(request)
    assert isinstance(reply, ShelfSaid)
    return reply


def trays(group: OneGroup, request: SetTray) -> TraysSaid:
    reply = group.ask(request)
    assert isinstance(reply, TraysSaid)
    return reply


def sow(group: OneGroup, tray: str) -> None:
    group.ask(Sow(crop="basil", where=Where(trays=(tray,)), cell_count=6))


def test_a_shelf_is_made_and_then_changed_part_by_part() -> None:
    group = OneGroup(AT)
    first = shelf(group, SetShelf(code="A", lamp="white_led", tubes=2, height_mm=100))
    assert first.new
    assert first.missing == ("hours", "temp")
    second = shelf(group, SetShelf(code="a", on_at=time(6), off_at=time(20)))
    assert not second.new
    assert second.hours == 14
    assert second.shelf.height_mm == 100
    assert second.shelf.tubes == 2


@pytest.mark.parametrize(
    ("request_", "cautions"),
    [
        (SetShelf(code="A", lamp="white_led"), {"mains_near_water"}),
        (SetShelf(code="A", heat_mat=True), {"mains_near_water", "heat_mat"}),
        (SetShelf(code="A", lamp="window"), set()),
        (SetShelf(code="A", places=4), set()),
    ],
)
def test_lamp_and_mat_bring_their_cautions(request_: SetShelf, cautions: set[str]) -> None:
    group = OneGroup(AT)
    assert set(shelf(group, request_).cautions) == cautions
    text = group.hear(request_).text
    assert ("residual-current" in text) is ("mains_near_water" in cautions)


@pytest.mark.parametrize(
    "request_",
    [
        SetShelf(code="A", height_mm=5),
        SetShelf(code="A", usual_temp_c=70.0),
        SetShelf(code="A", places=0),
        SetShelf(code="A", tubes=200),
    ],
)
def test_absurd_figures_are_not_kept(request_: SetShelf) -> None:
    group = OneGroup(AT)
    with pytest.raises(ValueAbsurd):
        group.ask(request_)
    assert group.ask(SetShelf()) == ShelvesListed(shelves=())


def test_a_lamp_must_be_one_of_the_table() -> None:
    with pytest.raises(LampUnknown):
        OneGroup(AT).ask(SetShelf(code="A", lamp="lantern"))


def test_many_trays_of_a_standard_size_are_added_at_once() -> None:
    group = OneGroup(AT)
    group.ask(SetShelf(code="A"))
    reply = trays(group, SetTray(codes=("T1", "T2", "T10"), cells=72, shelf="A"))
    assert reply.added == ("T1", "T2", "T10")
    assert reply.rows * reply.cols == 72
    listed = group.ask(SetShelf())
    assert isinstance(listed, ShelvesListed)
    assert listed.shelves[0][1] == ("T1", "T2", "T10")


@pytest.mark.parametrize("cells", [18, 32, 36, 50, 72, 98, 128, 200])
def test_every_standard_size_has_its_rows_and_columns(cells: int) -> None:
    reply = trays(OneGroup(AT), SetTray(codes=("T1",), cells=cells))
    assert reply.rows * reply.cols == cells


def test_a_size_that_is_none_asks_for_rows_and_columns() -> None:
    group = OneGroup(AT)
    with pytest.raises(TraySizeUnknown):
        group.ask(SetTray(codes=("T1",), cells=44))
    with pytest.raises(TraySizeMissing):
        group.ask(SetTray(codes=("T1",)))
    assert trays(group, SetTray(codes=("T1",), rows=4, cols=11)).added == ("T1",)


def test_a_tray_that_holds_something_is_neither_resized_nor_retired() -> None:
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1", "T2"), cells=72))
    sow(group, "T1")
    for request in (
        SetTray(codes=("T2", "T1"), retired=True),
        SetTray(codes=("T1",), cells=50),
    ):
        with pytest.raises(TrayInUse) as caught:
            group.ask(request)
        assert caught.value.sowings == (("S1", "basil"),)
        assert "S1" in group.hear(request).text
    group.ask(SetTray(codes=("T1",), cells=72))  # the size it has is no change
    group.ask(Lost(where=Where(sowing="S1")))
    assert trays(group, SetTray(codes=("T1", "T2"), retired=True)).retired == ("T1", "T2")
    with pytest.raises(TrayUnknown):
        group.ask(SetTray(codes=("T1",), retired=True))


def test_a_retired_code_can_be_used_again() -> None:
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1",), cells=72))
    group.ask(SetTray(codes=("T1",), retired=True))
    assert trays(group, SetTray(codes=("T1",), cells=50)).added == ("T1",)


def test_a_shelf_takes_as_many_trays_as_it_has_places() -> None:
    group = OneGroup(AT)
    group.ask(SetShelf(code="A", places=2))
    group.ask(SetTray(codes=("T1", "T2"), cells=72, shelf="A"))
    group.ask(SetTray(codes=("T1",), shelf="A"))  # it stands there already
    with pytest.raises(ShelfFull):
        group.ask(SetTray(codes=("T3",), cells=72, shelf="A"))
    with pytest.raises(ShelfUnknown):
        group.ask(SetTray(codes=("T3",), cells=72, shelf="B"))


def test_a_window_is_told_by_the_sun_at_the_site_and_asks_for_no_lamp_hours() -> None:
    group = OneGroup(AT)
    shelf(group, SetShelf(code="C", lamp="window"))
    for request in (ShowShelf(shelf="C"), Light(where=Where(shelf="C"), lux=3000)):
        said = group.hear(request).text
        assert "/site place" in said
        assert "lamp on" not in said
    with group.group() as row:
        row.latitude, row.longitude = 41.85, -87.65
    reckoned = window_light(41.85, -87.65, group.scene.today)
    reply = group.ask(Light(where=Where(shelf="C"), lux=3000))
    assert isinstance(reply, LightRecorded)
    assert reply.dli == reckoned.window.value
    assert reply.dli is not None
    assert reply.target is not None
    assert reply.dli < reply.target[0]
    said = group.hear(ShowShelf(shelf="C")).text
    assert group.voice.number(reckoned.window.value) in said
    assert "rule of thumb" in said


def test_a_shelf_of_which_nothing_is_known_is_named_without_an_empty_list() -> None:
    group = OneGroup(AT)
    shelf(group, SetShelf(code="E", places=4))
    assert group.hear(ShowShelf(shelf="E")).text.splitlines()[0] == "Shelf E"
