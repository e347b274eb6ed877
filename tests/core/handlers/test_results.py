"""Curves, the season's results and comparisons, from records to words."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from core.errors import LotUnknown, NoSuchSowing, SowingUnknown
from core.replies.base import Choice
from core.replies.results import Compared, CurveSaid, ResultsSaid
from core.requests import (
    Compare,
    Curve,
    Lost,
    Planted,
    Results,
    SetLot,
    SetShelf,
    SetTray,
    Sow,
    Thinned,
    Undo,
    Up,
    Where,
)
from core.results.trial import CropsDiffer, NobodyCounted, SidesOverlap
from core.trade.statistics.compare import Caution, FinalResult
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)
L1, L2 = Where(lot="L1"), Where(lot="L2")


def bench(language: str = "en") -> OneGroup:
    """Two lots of tomato on two shelves, one with a mat; 24 seeds each, sown on 1 March."""
    group = OneGroup(AT, language=language)
    group.ask(SetShelf(code="A", lamp="white_led", places=20, heat_mat=True))
    group.ask(SetShelf(code="B", lamp="white_led", places=4, heat_mat=False))
    group.ask(SetTray(codes=("T1",), cells=72, shelf="A"))
    group.ask(SetTray(codes=("T2",), cells=72, shelf="B"))
    for year, tray in ((2026, "T1"), (2022, "T2")):
        group.ask(SetLot(crop="tomato", variety="Amber Pip", packed_for=year))
        lot = "L1" if tray == "T1" else "L2"
        group.ask(Sow(crop="tomato", lot=lot, where=Where(trays=(tray,)), cell_count=24))
    return group


def count(group: OneGroup, day: int, *totals: int) -> None:
    group.at = AT + timedelta(days=day)
    for number, total in enumerate(totals, start=1):
        group.ask(Up(where=Where(sowing=f"S{number}"), count=total))


def counted(language: str = "en") -> OneGroup:
    """18 of 24 of the one, 11 of 24 of the other; emergence over."""
    group = bench(language)
    for day, totals in ((6, (6, 0)), (8, (14, 4)), (11, (18, 9)), (20, (18, 11))):
        count(group, day, *totals)
    group.at = AT + timedelta(days=40)
    return group


def curve_of(group: OneGroup, where: Where) -> CurveSaid:
    reply = group.ask(Curve(where=where))
    assert isinstance(reply, CurveSaid)
    return reply


def compared(group: OneGroup, left: Where = L1, right: Where = L2) -> Compared:
    reply = group.ask(Compare(left=left, right=right))
    assert isinstance(reply, Compared)
    return reply


def results_of(group: OneGroup) -> ResultsSaid:
    reply = group.ask(Results())
    assert isinstance(reply, ResultsSaid)
    return reply


# --- curve --------------------------------------------------------------------------------


def test_a_curve_says_its_figures_and_draws_its_picture() -> None:
    group = counted()
    line = curve_of(group, Where(sowing="s1")).lines[0]
    assert (line.up, line.seeds, line.looks) == (18, 24, 4)
    assert line.first_day == 6
    assert line.mean_days == pytest.approx((6 * 6 + 8 * 8 + 4 * 11) / 18)
    assert line.half_day == pytest.approx(6 + 2 * (9.5 - 6) / 8)  # Coolbear: (N + 1) / 2
    assert line.over
    said = group.hear(Curve(where=Where(sowing="S1")))
    assert "18 of 24 up by day 20 (75%, likely 55% to 88%)" in said.text
    assert "by your counts" in said.text
    assert len(said.attachments) == 1
    drawn = said.attachments[0]
    assert (drawn.what, drawn.name, drawn.picture) == ("curve", "curve-S1.png", True)
    assert drawn.values["sowings"] == ["S1"]
    assert drawn.values["group_id"] == group.ids[0]
    assert drawn.values["language"] == "en"


def test_a_crops_curves_come_in_one_picture_even_when_finished() -> None:
    group = counted()
    group.ask(Planted(where=Where(sowing="S1")))
    assert [line.sowing for line in curve_of(group, Where(crop="tomato")).lines] == ["S1", "S2"]


def test_a_sowing_nobody_counted_says_so_and_shows_its_window() -> None:
    group = bench()
    line = curve_of(group, Where(sowing="S1")).lines[0]
    assert line.looks == 0
    assert line.window is not None
    assert "nobody has counted yet" in group.hear(Curve(where=Where(sowing="S1"))).text


def test_without_a_name_one_is_asked_for_and_an_unknown_one_refused() -> None:
    group = bench()
    reply = group.ask(Curve())
    assert isinstance(reply, Choice)
    assert reply.options[0].request == Curve(where=Where(sowing="S2"))
    with pytest.raises(SowingUnknown):
        group.ask(Curve(where=Where(sowing="S9")))
    with pytest.raises(LotUnknown):
        group.ask(Curve(where=Where(lot="L9")))
    with pytest.raises(NoSuchSowing):
        OneGroup(AT).ask(Curve())


# --- report -------------------------------------------------------------------------------


def test_results_are_by_lot_place_and_method_with_intervals() -> None:
    got = results_of(counted()).results
    assert got.since == date(2027, 3, 1)
    assert got.total is not None
    assert (got.total.up, got.total.seeds) == (29, 48)
    lots = {result.lot: result for result in got.lots}
    assert lots["L1"].verdict == "cannot_tell"
    assert lots["L1"].least == pytest.approx(0.75)  # 7 CFR 201.31
    assert lots["L2"].verdict == "below"
    # Wilson 1927, by hand: (0.75 + z2/48 -+ z sqrt(0.1875/24 + z2/2304)) / (1 + z2/24)
    assert lots["L1"].tally.interval.low == pytest.approx(0.551, abs=5e-4)
    assert lots["L1"].tally.interval.high == pytest.approx(0.880, abs=5e-4)
    assert {(p.kind, p.place, p.tally.up) for p in got.places} == {
        ("shelf", "A", 18),
        ("shelf", "B", 11),
    }
    assert {(p.place, p.tally.up) for p in got.methods} == {("yes", 18), ("no", 11)}


def test_eighteen_of_twenty_four_is_not_called_a_bad_lot() -> None:
    text = counted().hear(Results()).text
    assert "18 of 24 is not evidence of a bad lot" in text
    assert "Under the least for its kind, 75%, by more than chance" in text  # 11 of 24


def test_speed_losses_and_plants_handed_out_are_summed() -> None:
    group = counted()
    group.ask(Thinned(where=Where(sowing="S1")))
    group.ask(Lost(where=Where(sowing="S1"), count=3, cause="damping off"))
    group.ask(Lost(where=Where(sowing="S1"), count=1, cause="Damping off"))
    group.ask(Planted(where=Where(sowing="S1"), count=10, to_whom="Ben"))
    group.ask(Lost(where=Where(sowing="S1"), cause="slugs"))
    got = results_of(group).results
    assert [(x.cause, x.plants) for x in got.losses] == [("damping off", 4), ("slugs", 4)]
    assert (got.planted, got.lost) == (10, 8)
    speed = got.speeds[0]
    assert speed.sowings == 2
    first, second = 144 / 18, (4 * 8 + 5 * 11 + 2 * 20) / 11
    assert speed.mean_days == pytest.approx((18 * first + 11 * second) / 29)
    assert "4 from damping off" in group.hear(Results()).text


def test_what_is_undone_leaves_the_results() -> None:
    group = counted()
    before = results_of(group).results
    group.ask(Lost(where=Where(sowing="S1"), count=3))
    group.ask(Undo(last=True))
    assert results_of(group).results == before


def test_sowings_still_coming_or_never_counted_are_left_out_and_named() -> None:
    group = bench()
    count(group, 6, 5)
    got = results_of(group).results
    assert (got.coming, got.not_counted, got.total) == (2, 0, None)
    group.at = AT + timedelta(days=60)
    got = results_of(group).results
    assert (got.coming, got.not_counted) == (0, 1)
    assert got.total is not None
    assert got.total.seeds == 24
    assert "1 nobody counted" in group.hear(Results()).text


def test_results_of_nothing_say_what_to_do() -> None:
    assert "/sow" in OneGroup(AT).hear(Results()).text
    assert "still coming up" in bench().hear(Results()).text


def test_the_file_is_one_page_to_print() -> None:
    group = counted()
    said = group.hear(Results(as_file=True))
    (paper,) = said.attachments
    assert (paper.what, paper.name, paper.picture) == ("report", "report.pdf", False)
    assert paper.values["group_id"] == group.ids[0]
    assert paper.values["language"] == "en"
    assert not group.hear(Results()).attachments
    assert group.hear(Results()).rows[0][0].request == Results(as_file=True)


def test_a_long_season_still_fits_one_screen() -> None:
    group = bench()
    crops = ("basil", "pepper", "lettuce", "kale", "celery", "leek", "onion", "cabbage", "broccoli")
    for number, crop in enumerate(crops, start=1):
        tray = f"U{number}"
        group.ask(SetTray(codes=(tray,), cells=72, shelf="A" if number % 2 else None))
        group.ask(Sow(crop=crop, where=Where(trays=(tray,)), cell_count=24))
        group.ask(Sow(crop=crop, where=Where(trays=("T2",)), cell_count=4))
    group.at = AT + timedelta(days=14)
    for number in range(1, 21):
        group.ask(Up(where=Where(sowing=f"S{number}"), count=3))
    group.at = AT + timedelta(days=90)
    text = group.hear(Results()).text
    assert len(text.splitlines()) <= 25
    assert len(text) <= 1400


# --- compare ------------------------------------------------------------------------------


def test_two_lots_are_compared_with_interval_and_speed() -> None:
    group = counted()
    got = compared(group)
    assert got.comparison.emerged == (18, 11)
    assert got.comparison.difference == pytest.approx(7 / 24)
    assert got.comparison.final is FinalResult.NOT_SHOWN
    assert Caution.ONE_SOWING_EACH in got.comparison.cautions
    text = group.hear(Compare(left=L1, right=L2)).text
    assert "too small to tell" in text
    assert "29 more with L1 (likely -19 to 77" in text  # one tray a side
    assert "by more than chance" not in text
    assert f"about {got.seeds_needed} seeds a side" in text


def test_the_better_side_is_named_whichever_comes_first() -> None:
    group = bench()
    count(group, 7, 22, 3)
    group.at = AT + timedelta(days=40)
    one = group.hear(Compare(left=L1, right=L2)).text
    other = group.hear(Compare(left=L2, right=L1)).text
    assert "L1 came up better than L2, by more than chance" in one
    assert "L1 came up better than L2, by more than chance" in other
    assert "79 more with L1" in one
    assert "79 more with L1" in other


@pytest.mark.parametrize(
    ("left", "right"),
    [
        (Where(shelf="A"), Where(shelf="B")),
        (Where(trays=("T1",)), Where(trays=("T2",))),
        (Where(sowing="S1"), Where(sowing="S2")),
        (Where(lot="L1", crop="tomato"), Where(lot="L2", crop="tomato")),
    ],
)
def test_shelves_trays_sowings_and_lots_can_be_compared(left: Where, right: Where) -> None:
    assert compared(counted(), left, right).comparison.emerged == (18, 11)


def test_what_cannot_be_compared_says_why() -> None:
    group = counted()
    group.ask(Sow(crop="basil", where=Where(trays=("T1",)), cell_count=4))
    with pytest.raises(CropsDiffer):
        compared(group, Where(sowing="S1"), Where(sowing="S3"))
    with pytest.raises(SidesOverlap):
        compared(group, L1, Where(crop="tomato"))
    with pytest.raises(NobodyCounted):
        compared(bench())
    for left, right in ((Where(sowing="S1"), Where(sowing="S3")), (L1, Where(crop="tomato"))):
        assert "/compare" in group.hear(Compare(left=left, right=right)).text
    assert "/up" in bench().hear(Compare(left=L1, right=L2)).text


def test_two_shelves_with_several_crops_ask_which() -> None:
    group = counted()
    for tray in ("T1", "T2"):
        group.ask(Sow(crop="basil", where=Where(trays=(tray,)), cell_count=4))
    reply = group.ask(Compare(left=Where(shelf="A"), right=Where(shelf="B")))
    assert isinstance(reply, Choice)
    assert [option.values["crop"] for option in reply.options] == ["tomato", "basil"]


def test_sowings_still_coming_are_named_in_a_comparison() -> None:
    group = bench()
    count(group, 6, 5, 2)
    assert compared(group).coming == ("S1", "S2")
    text = group.hear(Compare(left=L1, right=L2)).text
    assert "too early to tell" in text.splitlines()[0]
    assert "Still coming up: S1 and S2" in text


def test_so_few_seeds_cannot_show_anything() -> None:
    group = OneGroup(AT)
    group.ask(SetTray(codes=("T1",), cells=72))
    for _ in range(2):
        group.ask(Sow(crop="tomato", where=Where(trays=("T1",)), cell_count=2, again=True))
    count(group, 7, 2, 0)
    group.at = AT + timedelta(days=40)
    text = group.hear(Compare(left=Where(sowing="S1"), right=Where(sowing="S2"))).text
    assert "too small to tell" in text
    assert "cannot show any difference" in text
    assert "seeds a side" in text


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_reply_is_worded_in_both_languages(language: str) -> None:
    group = counted(language)
    for request in (
        Curve(),
        Curve(where=Where(crop="tomato")),
        Results(),
        Results(as_file=True),
        Compare(left=L1, right=L2),
        Compare(left=Where(sowing="S1"), right=Where(sowing="S1")),
    ):
        text = group.hear(request).text
        assert text.strip()
        assert "{" not in text
    assert "\n\n" not in group.hear(Results()).text


def test_a_tray_lost_while_coming_up_says_nothing_of_its_seed() -> None:
    group = bench()
    count(group, 6, 3, 18)
    group.ask(Lost(where=Where(sowing="S1"), cause="damping off"))
    group.at = AT + timedelta(days=60)
    results = results_of(group).results
    assert results.cut_short == 1
    assert [lot.lot for lot in results.lots] == ["L2"]
