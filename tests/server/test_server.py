"""Sending, editing, deleting, files and buttons, asked by an independent client and raw."""

import io
from typing import Any

import aiohttp
import pytest
import telegram
from PIL import Image
from telegram import InlineKeyboardButton, InlineKeyboardMarkup
from telegram.error import BadRequest, InvalidToken

from tests.server import BotApiServer


async def raw(server: BotApiServer, method: str, **params: Any) -> dict[str, Any]:
    address = f"{server.base_url}{server.token}/{method}"
    async with aiohttp.ClientSession() as session, session.post(address, json=params) as got:
        answer: dict[str, Any] = await got.json()
        assert answer["ok"] == (got.status == 200)
        return answer


def png(width: int = 8, height: int = 8) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width, height), "green").save(out, "PNG")
    return out.getvalue()


def one_button(data: str = "undo:1", label: str = "Undo") -> InlineKeyboardMarkup:
    return InlineKeyboardMarkup([[InlineKeyboardButton(label, callback_data=data)]])


async def test_a_sent_message_comes_back_and_is_in_the_transcript(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    sent = await bot.send_message(
        alice.id, "<b>Tray</b> T1", parse_mode="HTML", reply_markup=one_button()
    )
    (entry,) = server.by_bot()
    assert (sent.text, sent.entities[0].type) == ("Tray T1", "bold")
    assert (entry.method, entry.chat_id, entry.text) == ("sendMessage", alice.id, "Tray T1")
    assert [(b.text, b.data) for b in entry.buttons] == [("Undo", "undo:1")]
    assert sent.message_id == entry.message_id


async def test_what_the_bot_said_is_found_by_chat_and_from_a_place_on(server, bot) -> None:
    alice, ben = (server.add_user(name, started=True) for name in ("Alice", "Ben"))
    for user in (alice, ben, alice):
        user.say(user.private, "hello")
        await bot.send_message(user.id, f"to {user.first_name}")
    assert [e.text for e in server.by_bot()] == ["to Alice", "to Ben", "to Alice"]
    assert [e.seq for e in server.by_bot(alice.private)] == [1, 5]
    assert [e.seq for e in server.by_bot(since=2)] == [3, 5]
    assert server.said_by_bot == 3


async def test_a_wrong_token_is_unauthorized(server) -> None:
    stranger = telegram.Bot("1:no", base_url=server.base_url)
    with pytest.raises(InvalidToken):
        await stranger.initialize()
    await stranger.shutdown()


async def test_raw_refusals_carry_the_published_envelope(server) -> None:
    answer = await raw(server, "sendMessage", chat_id=1, text="a", colour="red")
    assert answer == {
        "ok": False,
        "error_code": 400,
        "description": 'Bad Request: unknown parameter "colour" for sendMessage',
    }
    assert (await raw(server, "sendNothing"))["error_code"] == 404
    assert (await raw(server, "sendMessage", chat_id=77, text="a"))["description"] == (
        "Bad Request: chat not found"
    )


async def test_get_and_form_requests_are_read_too(server) -> None:
    alice = server.add_user("Alice", started=True)
    address = f"{server.base_url}{server.token}/sendMessage"
    async with aiohttp.ClientSession() as session:
        async with session.get(address, params={"chat_id": alice.id, "text": "a b"}) as got:
            assert got.status == 200
        async with session.post(address, data={"chat_id": alice.id, "text": "c&d"}) as got:
            assert got.status == 200
        async with session.put(address) as got:
            assert got.status == 405
        async with session.post(
            address, data=b"[1]", headers={"Content-Type": "application/json"}
        ) as got:
            assert got.status == 400
    assert [entry.text for entry in server.by_bot()] == ["a b", "c&d"]


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("", "text is empty"),
        ("  \n ", "text is empty"),
        ("<b></b>", "text is empty"),
        ("a" * 4097, "message is too long"),
        ("🌱" * 2049, "message is too long"),
    ],
)
async def test_text_outside_1_to_4096_units_is_refused(server, bot, text, complaint) -> None:
    alice = server.add_user("Alice", started=True)
    with pytest.raises(BadRequest, match=f"(?i){complaint}"):
        await bot.send_message(alice.id, text, parse_mode="HTML")


@pytest.mark.parametrize("text", ["a" * 4096, "🌱" * 2048, "<b>" + "a" * 4096 + "</b>"])
async def test_text_is_measured_after_entities_parsing(server, bot, text) -> None:
    alice = server.add_user("Alice", started=True)
    await bot.send_message(alice.id, text, parse_mode="HTML")
    assert server.transcript[-1].by_bot


async def test_bad_html_names_the_place(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    with pytest.raises(BadRequest, match=r"(?i)can't parse entities: unclosed start tag.* 5"):
        await bot.send_message(alice.id, "rows < 5", parse_mode="HTML")


async def test_a_caption_holds_1024_units(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    await bot.send_document(alice.id, b"x", filename="a.csv", caption="a" * 1024)
    with pytest.raises(BadRequest, match=r"(?i)caption is too long"):
        await bot.send_document(alice.id, b"x", filename="a.csv", caption="a" * 1025)


@pytest.mark.parametrize(
    ("rows", "complaint"),
    [
        ([[{"text": "a", "callback_data": "x" * 65}]], "BUTTON_DATA_INVALID"),
        ([[{"text": "a", "callback_data": "é" * 33}]], "BUTTON_DATA_INVALID"),
        ([[{"text": "a", "callback_data": ""}]], "BUTTON_DATA_INVALID"),
        ([[{"text": "a"}]], "text buttons are unallowed"),
        ([[{"text": " ", "callback_data": "x"}]], "text is empty"),
        ([[{"text": "a", "callback_data": "x", "url": "https://x.test"}]], "exactly one"),
        ([[{"text": "a", "url": "trays"}]], "is invalid"),
        ([[]], "row is empty"),
        ([[{"text": "a", "callback_data": "x"}]] * 101, "too long"),
        ([{"text": "a", "callback_data": "x"}], "must be"),
    ],
)
async def test_an_inline_keyboard_out_of_shape_is_refused(server, rows, complaint) -> None:
    alice = server.add_user("Alice", started=True)
    answer = await raw(
        server,
        "sendMessage",
        chat_id=alice.id,
        text="a",
        reply_markup={"inline_keyboard": rows},
    )
    assert answer["error_code"] == 400
    assert complaint in answer["description"]
    assert not server.by_bot()


async def test_callback_data_of_64_bytes_passes(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    await bot.send_message(alice.id, "a", reply_markup=one_button("é" * 32))
    assert server.transcript[-1].buttons[0].data == "é" * 32


async def test_a_press_is_answered_once(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    await bot.send_message(alice.id, "a", reply_markup=one_button())
    press = alice.press(server.transcript[-1], "Undo")
    (update,) = await bot.get_updates()
    assert update.update_id == press.update_id
    assert update.callback_query.data == "undo:1"
    assert update.callback_query.message.text == "a"
    await update.callback_query.answer("Undone", show_alert=True)
    assert (press.answered, press.text, press.alert) == (True, "Undone", True)
    with pytest.raises(BadRequest, match=r"(?i)query ID is invalid"):
        await update.callback_query.answer()


async def test_an_old_or_unknown_query_cannot_be_answered(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    await bot.send_message(alice.id, "a", reply_markup=one_button())
    press = alice.press(server.transcript[-1], 0)
    press.expire()
    for query in (press.id, "12"):
        with pytest.raises(BadRequest, match=r"(?i)query is too old"):
            await bot.answer_callback_query(query)
    fresh = alice.press(server.transcript[0], "undo:1")
    with pytest.raises(BadRequest, match=r"(?i)message_too_long"):
        await bot.answer_callback_query(fresh.id, text="a" * 201)


async def test_pressing_what_is_not_there_is_the_tests_mistake(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    await bot.send_message(alice.id, "a", reply_markup=one_button())
    with pytest.raises(ValueError, match="0 buttons 'Done'"):
        alice.press(server.transcript[-1], "Done")
    await bot.edit_message_reply_markup(alice.id, server.transcript[-1].message_id)
    with pytest.raises(ValueError, match="no button 0"):
        alice.press(server.transcript[-1], 0)


async def test_editing_changes_text_and_drops_the_keyboard(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    sent = await bot.send_message(alice.id, "a", reply_markup=one_button())
    edited = await bot.edit_message_text("b", alice.id, sent.message_id)
    assert (edited.text, edited.reply_markup, edited.edit_date is None) == ("b", None, False)
    assert [e.method for e in server.by_bot()] == ["sendMessage", "editMessageText"]
    with pytest.raises(BadRequest, match=r"(?i)message is not modified"):
        await bot.edit_message_text("b", alice.id, sent.message_id)


async def test_only_own_living_messages_can_be_edited(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    hers = alice.say(alice.private, "hello")
    with pytest.raises(BadRequest, match=r"(?i)message can't be edited"):
        await bot.edit_message_text("b", alice.id, hers.id)
    sent = await bot.send_message(alice.id, "a")
    await bot.delete_message(alice.id, sent.message_id)
    with pytest.raises(BadRequest, match=r"(?i)message to edit not found"):
        await bot.edit_message_text("b", alice.id, sent.message_id)
    with pytest.raises(BadRequest, match=r"(?i)message to delete not found"):
        await bot.delete_message(alice.id, sent.message_id)
    photo = await bot.send_photo(alice.id, png())
    with pytest.raises(BadRequest, match=r"(?i)no text in the message"):
        await bot.edit_message_text("b", alice.id, photo.message_id)
    await bot.edit_message_caption(alice.id, photo.message_id, caption="c")
    assert server.transcript[-1].text == "c"


async def test_others_and_old_messages_in_groups_stay() -> None:
    now = [1_900_000_000.0]
    async with BotApiServer(clock=lambda: now[0]) as server:
        alice = server.add_user("Alice")
        group = server.add_group("Bench", creator=alice)
        hers = alice.say(group, "hello")
        answer = await raw(server, "deleteMessage", chat_id=group.id, message_id=hers.id)
        assert answer["description"] == "Bad Request: message can't be deleted"
        sent = await raw(server, "sendMessage", chat_id=group.id, text="a")
        now[0] += 48 * 3600 + 1
        answer = await raw(
            server, "deleteMessage", chat_id=group.id, message_id=sent["result"]["message_id"]
        )
        assert answer["description"] == "Bad Request: message can't be deleted"


async def test_a_file_goes_up_comes_down_and_is_sent_again_by_id(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    sent = await bot.send_document(alice.id, b"date,min\n", filename="minima.csv")
    again = await bot.send_document(alice.id, sent.document.file_id)
    assert again.document.file_unique_id == sent.document.file_unique_id
    file = await bot.get_file(sent.document.file_id)
    assert bytes(await file.download_as_bytearray()) == b"date,min\n"
    assert server.transcript[-1].file.name == "minima.csv"
    with pytest.raises(BadRequest, match=r"(?i)wrong file identifier"):
        await bot.send_document(alice.id, "nonsense")
    with pytest.raises(BadRequest, match=r"(?i)can't use file of type Document as Photo"):
        await bot.send_photo(alice.id, sent.document.file_id)
    with pytest.raises(BadRequest, match=r"(?i)invalid file_id"):
        await bot.get_file("nonsense")
    with pytest.raises(BadRequest, match=r"(?i)must be non-empty"):
        await bot.send_document(alice.id, b"", filename="a")


async def test_a_members_file_reaches_the_bot(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    alice.send_document(alice.private, b"1,2", "lows.csv", "text/csv", caption="/frost")
    (update,) = await bot.get_updates()
    assert (update.message.document.file_name, update.message.caption) == ("lows.csv", "/frost")
    file = await update.message.document.get_file()
    assert bytes(await file.download_as_bytearray()) == b"1,2"


async def test_a_photo_must_be_a_picture_of_reasonable_shape(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    sent = await bot.send_photo(alice.id, png(12, 9), caption="T1")
    assert (sent.photo[0].width, sent.photo[0].height) == (12, 9)
    with pytest.raises(BadRequest, match=r"(?i)image_process_failed"):
        await bot.send_photo(alice.id, b"not a picture")
    with pytest.raises(BadRequest, match=r"(?i)photo_invalid_dimensions"):
        await bot.send_photo(alice.id, png(210, 10))


async def test_albums_hold_2_to_10_of_one_kind(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    pair = [telegram.InputMediaPhoto(png()), telegram.InputMediaPhoto(png(9, 9))]
    sent = await bot.send_media_group(alice.id, pair)
    assert sent[0].media_group_id == sent[1].media_group_id
    with pytest.raises(BadRequest, match=r"(?i)2 to 10"):
        await bot.send_media_group(alice.id, pair[:1])
    with pytest.raises(BadRequest, match=r"(?i)can't be mixed"):
        await bot.send_media_group(alice.id, [pair[0], telegram.InputMediaDocument(b"x")])


async def test_a_picture_can_be_exchanged(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    sent = await bot.send_photo(alice.id, png())
    media = telegram.InputMediaPhoto(png(20, 10))
    edited = await bot.edit_message_media(media, alice.id, sent.message_id)
    assert edited.photo[0].width == 20
