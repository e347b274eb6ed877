"""What has two meanings is asked, with every meaning on a button; what has one is not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bot.grammar import Echo, GrammarContext, Line, addressed, parse, render
from core import requests as asked

CONTEXT = GrammarContext(
    today=date(2027, 4, 10), trays=("T1", "T2"), shelves=("A",), bot_name="tray_bot", private=True
)


def one(text: str, context: GrammarContext = CONTEXT) -> Line:
    """Parse a text of one line."""
    (line,) = parse(text, context)
    return line


def test_a_slashed_date_offers_both_readings() -> None:
    line = one("watered T1 3/4")
    assert line.choice_kind == "date"
    assert [choice.on for choice in line.choices] == [  # type: ignore[attr-defined]
        date(2027, 4, 3),
        date(2027, 3, 4),
    ]


@pytest.mark.parametrize("typed", ["13/3", "3/13", "13.3.", "2027-03-13", "13 Mar", "4/4"])
def test_a_date_with_one_reading_is_not_asked(typed: str) -> None:
    line = one(f"watered T1 {typed}")
    assert line.choices == ()
    assert isinstance(line.request, asked.Watered)
    assert line.request.on in (date(2027, 3, 13), date(2027, 4, 4)) or typed == "4/4"


def test_a_shared_crop_name_offers_each_crop_and_one_growing_settles_it() -> None:
    line = one("up 12 squash")
    crops = {choice.where.crop for choice in line.choices}  # type: ignore[attr-defined]
    assert {"summer_squash", "winter_squash"} <= crops
    assert line.choice_kind == "crop"
    growing = replace(CONTEXT, growing=("summer_squash", "tomato"))
    settled = one("up 12 squash", growing)
    assert settled.request == asked.Up(where=asked.Where(crop="summer_squash"), count=12)


def test_two_of_a_shared_name_growing_are_asked_and_the_rest_left_out() -> None:
    growing = replace(CONTEXT, growing=("summer_squash", "winter_squash"))
    line = one("up 12 squash", growing)
    assert len(line.choices) == 2


def test_a_temperature_absurd_in_the_usual_unit_is_asked() -> None:
    line = one("temp T1 68")
    assert line.choice_kind == "unit"
    assert [choice.temp_c for choice in line.choices] == [20.0, 68.0]  # type: ignore[attr-defined]
    plain = one("temp T1 68", replace(CONTEXT, fahrenheit=True))
    assert plain.request == asked.Temp(where=asked.Where(trays=("T1",)), temp_c=20.0)
    other = one("temp T1 20", replace(CONTEXT, fahrenheit=True))
    assert [choice.temp_c for choice in other.choices] == [20.0, -6.67]  # type: ignore[attr-defined]


def test_two_open_words_in_one_line_offer_every_pair() -> None:
    line = one("up 12 squash 3/4")
    days = {choice.on for choice in line.choices}  # type: ignore[attr-defined]
    crops = {choice.where.crop for choice in line.choices}  # type: ignore[attr-defined]
    assert len(line.choices) == len(days) * len(crops)
    assert days == {date(2027, 4, 3), date(2027, 3, 4)}


def test_every_choice_can_be_put_on_a_button() -> None:
    for text in ("watered T1 3/4", "up 12 squash", "temp T1 68", "light A 4500", "light A 12"):
        line = one(text)
        choices = line.choices or (line.request,)
        for choice in choices:
            assert choice is not None
            assert one(render(choice)).request == choice


def test_slips_are_read_through_and_echoed() -> None:
    line = one("watred the tomatoe")
    assert line.request == asked.Watered(where=asked.Where(crop="tomato"))
    assert line.echoes == (
        Echo(typed="watred", read="watered"),
        Echo(typed="tomatoe", read="tomato"),
    )


def test_a_word_for_another_bot_is_not_ours() -> None:
    assert parse("/up@other_bot 12 tomato", CONTEXT) == ()
    group = replace(CONTEXT, private=False)
    assert not addressed("/up@other_bot 12 tomato", group)
    assert addressed("/up 12 tomato", group)
    assert addressed("/up@Tray_Bot 12 tomato", group)
    assert addressed("12 up, @tray_bot", group)
    assert not addressed("12 tomatoes up", group)
    assert not addressed("mail me@tray_bot", group)
    assert addressed("12 tomatoes up", CONTEXT)


def test_each_line_is_a_command_and_only_the_first_needs_a_slash() -> None:
    lines = parse("/up 12 tomato\n- watered T1\n\nT2 dry", replace(CONTEXT, private=False))
    kinds = [type(line.request) for line in lines]
    assert kinds == [asked.Up, asked.Watered, asked.Moist]


def test_a_word_alone_on_its_line_is_meant_for_the_lines_below() -> None:
    lines = parse("/up\n12 tomato\n7 pepper", CONTEXT)
    assert [line.request for line in lines] == [
        asked.Up(where=asked.Where(crop="tomato"), count=12),
        asked.Up(where=asked.Where(crop="pepper"), count=7),
    ]


def test_a_plan_may_run_over_several_lines() -> None:
    line = one("/plan\n24 tomato\n12 pepper")
    assert line.request == asked.MakePlan(
        items=(
            asked.PlanItem(crop="tomato", plants=24),
            asked.PlanItem(crop="pepper", plants=12),
        )
    )


@pytest.mark.parametrize(
    "text",
    [
        "up\u00a012\u200b tomato",
        "/up １２ tomato",
        "“up” 12 tomato",
        "up 12 tomato\ufe0f 🌱",
        "up ١٢ tomato",
    ],
)
def test_odd_signs_do_not_matter(text: str) -> None:
    assert one(text).request == asked.Up(where=asked.Where(crop="tomato"), count=12)


@pytest.mark.parametrize(
    "typed",
    [
        "/wish 4 tomato, 2 pepper",
        "wish 4 tomatoes and 2 peppers",
        "I'd like 4 tomatoes & 2 peppers please",
        "wish 4 tomato 2 pepper",
    ],
)
def test_several_wishes_on_a_line_are_each_heard(typed: str) -> None:
    lines = parse(typed, CONTEXT)
    assert [line.request for line in lines] == [
        asked.Wish(plants=4, crop="tomato"),
        asked.Wish(plants=2, crop="pepper"),
    ]


def test_one_wish_for_somebody_stays_one() -> None:
    (line,) = parse("/wish 4 tomato for Ana", CONTEXT)
    assert line.request == asked.Wish(plants=4, crop="tomato", for_whom="Ana")
