"""What is unclear is asked with a button for each meaning; what was read through is said."""

from __future__ import annotations

from datetime import date

import pytest

from bot.grammar import Echo, GrammarContext, parse
from bot.message import Message
from bot.wording.pieces.clarify import clarify, echoed
from bot.wording.speak import speak
from bot.wording.voice import Voice
from core import requests as r
from core.replies.base import Choice, Option

TODAY = date(2027, 5, 3)
VOICE = Voice(today=TODAY)
SPANISH = Voice(today=TODAY, language="es")
CONTEXT = GrammarContext(today=TODAY, trays=("T1", "T2"), shelves=("A", "B"))


def asked(text: str, voice: Voice = VOICE, context: GrammarContext = CONTEXT) -> Message:
    (line,) = parse(text, context)
    assert line.choices
    return clarify(line, voice)


def labels(message: Message) -> list[str]:
    return [button.label for row in message.rows for button in row]


def test_a_date_of_two_readings_is_asked_in_words() -> None:
    said = asked("/watered T1 3/4/2027")
    assert said.text == "“/watered T1 3/4/2027”: which day is meant?"
    assert sorted(labels(said)) == ["3 April", "4 March"]


def test_a_year_is_named_only_where_it_is_not_this_one() -> None:
    assert labels(asked("/watered T1 3/4")) == ["3 April", "4 March"]
    assert labels(asked("/watered T1 11/12")) == ["11 December 2026", "12 November 2026"]
    assert labels(asked("/watered T1 12/4")) == ["12 April 2027", "4 December 2026"]


def test_the_year_of_a_frost_date_does_not_matter() -> None:
    assert labels(asked("/frost 3/4")) == ["3 April", "4 March"]
    assert labels(asked("/frost 10/4")) == ["10 April", "4 October"]


def test_a_temperature_without_a_unit_is_asked_as_typed() -> None:
    said = asked("/temp T1 68")
    assert said.text == "“/temp T1 68”: in which unit?"
    assert labels(said) == ["68 °F", "68 °C"]
    assert said.rows[0][0].request == r.Temp(where=r.Where(trays=("T1",)), temp_c=20.0)


def test_a_light_figure_is_asked_by_its_meaning() -> None:
    said = asked("/light A 60")
    assert labels(said) == ["60 cm above the plants", "60 µmol"]


def test_each_button_carries_its_choice_and_reads_back_to_it() -> None:
    for text in ("/watered T1 3/4/2027", "/temp T1 68", "/light A 400", "/when beet greens"):
        for line in parse(text, CONTEXT):
            if not line.choices:
                continue
            said = clarify(line, VOICE)
            assert tuple(b.request for row in said.rows for b in row) == line.choices
            for row in said.rows:
                (back,) = parse(row[0].command, CONTEXT)
                assert back.request == row[0].request


def test_labels_of_one_question_differ() -> None:
    for text in ("/watered T1 3/4/2027", "/temp T1 68", "/light A 20", "/light A 400"):
        found = labels(asked(text))
        assert len(set(found)) == len(found) > 1


def test_a_shared_crop_name_is_asked_by_crop() -> None:
    said = asked("/when bean")
    assert "which crop" in said.text
    assert all(label[0] != "/" for label in labels(said))


def test_a_slip_read_through_is_said_once() -> None:
    said = echoed(Message(text="Sown."), (Echo(typed="tomatoe", read="tomato"),), VOICE)
    assert said.text == "Sown.\n(read “tomatoe” as tomato)"
    twice = (Echo(typed="sw", read="sow"), Echo(typed="sw", read="sow"))
    assert echoed(Message(text="x"), twice, VOICE).text == "x\n(read “sw” as sow)"
    assert echoed(Message(text="x"), (), VOICE).text == "x"


@pytest.mark.parametrize("voice", [VOICE, SPANISH])
def test_every_question_of_the_handlers_has_words(voice: Voice) -> None:
    temp = r.Temp(temp_c=20.0)
    places = (
        Option(kind="shelf", request=temp, values={"shelf": "A"}),
        Option(kind="all_trays", request=temp),
        Option(kind="outside", request=temp),
    )
    sowing = {"sowing": "S1", "crop": "tomato", "variety": "Amber Pip", "tray": "T1"}
    sowings = (
        Option(kind="sowing", request=temp, values={**sowing, "sown_on": date(2027, 4, 30)}),
        Option(
            kind="sowing",
            request=temp,
            values={**sowing, "tray": None, "sown_on": date(2027, 4, 1)},
        ),
    )
    trays = (Option(kind="tray", request=temp, values={"tray": "T1", "free": 1}),)
    for reply in (
        Choice(question="temp_place", options=places, values={"temp_c": 20.0}),
        Choice(question="sowing", options=sowings, values={"more": 2}),
        Choice(question="tray", options=trays, values={"crop": "tomato", "any": True}),
        Choice(question="tray", options=(), values={"crop": "tomato", "any": True}),
        Choice(question="tray", options=(), values={"crop": None, "any": False}),
        Choice(question="shelf", options=places[:1]),
    ):
        said = speak(reply, voice)
        assert said.text
        assert len(labels(said)) == len(reply.options)
        assert all(label and "{" not in label for label in labels(said))


def test_the_question_where_a_temperature_was_read_names_it_in_the_units_chosen() -> None:
    reply = Choice(question="temp_place", options=(), values={"temp_c": 20.0})
    assert speak(reply, Voice(today=TODAY, fahrenheit=True)).text.startswith("68 °F")
