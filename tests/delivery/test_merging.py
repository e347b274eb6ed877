"""Answers that wait for one group go as one message that says to whom each is said."""

from __future__ import annotations

from bot.delivery.merging import MOST_ROWS, merged


def answer(text: str, *buttons: tuple[str, str], **more: object) -> dict[str, object]:
    return {"text": text, "buttons": [[list(b)] for b in buttons], **more}


def test_one_answer_goes_as_it_is() -> None:
    body = answer("T1 watered.", ("Undo", "/undo R1"))
    assert merged((("Ana", body),)) is body


def test_each_answer_names_who_asked_and_nobody_is_named_twice_running() -> None:
    whole = merged(
        (("Ana", answer("T1 watered.")), ("Ana", answer("T2 fed.")), ("Bo", answer("12 up.")))
    )
    assert whole["text"] == "Ana: T1 watered.\nT2 fed.\nBo: 12 up."


def test_buttons_that_read_alike_say_which_report_they_take_back() -> None:
    whole = merged(
        (
            ("Ana", answer("T1 watered.", ("Undo", "/undo R1"))),
            ("Bo", answer("T2 watered.", ("Undo", "/undo R2"), ("Help", "/help"))),
        )
    )
    labels = [button[0] for row in whole["buttons"] for button in row]
    assert labels == ["Undo R1", "Undo R2", "Help"]


def test_a_mention_stays_on_its_words() -> None:
    whole = merged((("Ana", answer("Done.")), ("Bo", answer("Ask Cy.", mentions=[[4, 2, 9]]))))
    ((start, length, person),) = whole["mentions"]
    assert whole["text"][start : start + length] == "Cy"
    assert person == 9


def test_no_more_rows_of_buttons_than_a_message_should_have() -> None:
    answers = tuple(("Ana", answer("x", ("Undo", f"/undo R{n}"))) for n in range(20))
    assert len(merged(answers)["buttons"]) == MOST_ROWS
