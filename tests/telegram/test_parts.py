"""Messages are cut to the platform's sizes without losing a word or a mention."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from telegram import ForceReply, MessageEntity

from bot.message import Message
from bot.telegram.parts import (
    CAPTION_MOST,
    PAYLOAD_BYTES,
    TEXT_MOST,
    entities,
    keyboard,
    markup,
    parts_of,
    split,
    too_long,
    units,
)

TEXTS = st.text(st.sampled_from("ab 🌱é\n"), max_size=300)


@given(TEXTS, st.integers(4, 40))
def test_no_part_is_too_long_and_no_word_is_lost(text: str, most: int) -> None:
    parts = split(text, most=most)
    assert all(0 < units(part.text) <= most for part in parts)
    assert "".join("".join(part.text for part in parts).split()) == "".join(text.split())


@given(TEXTS, st.integers(4, 40), st.integers(0, 300), st.integers(1, 3))
def test_a_mention_names_the_same_words_in_its_part(
    text: str, most: int, start: int, length: int
) -> None:
    if start + length > len(text):
        return
    body_mention = (units(text[:start]), units(text[start : start + length]), 7)
    for part in split(text, (body_mention,), most):
        for at, size, person in part.mentions:
            raw = part.text.encode("utf-16-le")[2 * at : 2 * (at + size)].decode("utf-16-le")
            assert (raw, person) == (text[start : start + length], 7)


def test_a_text_is_cut_at_line_ends_where_it_can_be() -> None:
    text = "\n".join(f"line {n}" for n in range(1000))
    parts = split(text)
    assert all(part.text.startswith("line ") for part in parts)
    assert "\n".join(part.text for part in parts) == text


def test_a_short_message_is_one_part_with_its_buttons() -> None:
    parts = parts_of({"text": "🌱 one", "buttons": [[["Help", "/help"]]], "mentions": [[2, 3, 9]]})
    assert [(part.text, part.mentions, part.buttons) for part in parts] == [
        ("🌱 one", ((3, 3, 9),), True)
    ]


def test_words_longer_than_a_caption_stand_before_the_files() -> None:
    file = {"what": "tray", "name": "t.png", "values": {}, "picture": True}
    short = parts_of({"text": "w" * CAPTION_MOST, "attachments": [file, file]})
    assert [(len(part.text), part.attachment is not None) for part in short] == [
        (CAPTION_MOST, True),
        (0, True),
    ]
    long = parts_of({"text": "w" * (CAPTION_MOST + 1), "attachments": [file]})
    assert [(len(part.text), part.attachment is not None, part.buttons) for part in long] == [
        (CAPTION_MOST + 1, False, True),
        (0, True, False),
    ]


def test_a_message_without_words_or_files_has_no_parts() -> None:
    assert parts_of({"text": " \n"}) == []
    assert keyboard(None) is None


def test_mentions_of_people_unknown_are_words_only() -> None:
    part = parts_of({"text": "Ana and Bo", "mentions": [[0, 3, 1], [8, 2, 2]]})[0]
    marks = entities(part, {1: ("501", "Ana")})
    assert [(mark.offset, mark.length, mark.user.id) for mark in marks if mark.user] == [
        (0, 3, 501)
    ]


def test_what_a_figure_rests_on_folds_away_in_its_own_place() -> None:
    said = Message(
        text="🌱 Deep as it is thick.\nBy: a guide", fold=("By: a guide", "no such line")
    )
    body = said.body()
    assert body["folded"] == [[23, 11]]
    (mark,) = entities(parts_of(body)[0], {})
    assert mark.type == MessageEntity.EXPANDABLE_BLOCKQUOTE
    assert (mark.offset, mark.length) == (24, 11)  # UTF-16: the sprout counts for two


def test_words_that_are_asked_for_open_a_field_with_a_hint_unless_there_are_buttons() -> None:
    (part,) = parts_of({"text": "When?", "hint": "28 April"})
    asked = markup(part, None)
    assert isinstance(asked, ForceReply)
    assert (asked.selective, asked.input_field_placeholder) == (True, "28 April")
    assert not isinstance(markup(part, [[["Skip", "/start skip-frost"]]]), ForceReply)


def test_what_a_button_carries_is_counted_in_bytes() -> None:
    assert not too_long("/note T1 " + "x" * (PAYLOAD_BYTES - 9))
    assert too_long("/note T1 " + "é" * ((PAYLOAD_BYTES - 9) // 2 + 1))
    assert too_long("#1")
    assert TEXT_MOST == 4096
