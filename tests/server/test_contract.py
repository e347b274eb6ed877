"""The server's tables are the published ones, and requests are held to them."""

import json
from pathlib import Path

import pytest
import telegram

from tests.server.contract import METHODS, OBJECTS, ApiError, Upload, check
from tests.server.tables import UPDATE_KINDS

FACTS = json.loads(Path(__file__).with_name("contract.json").read_text(encoding="utf-8"))


def _published(kind: str) -> dict[str, dict[str, tuple[bool, tuple[str, ...]]]]:
    return {
        name: {field: (f["required"], tuple(f["types"])) for field, f in fields.items()}
        for name, fields in FACTS[kind].items()
    }


def test_method_table_equals_the_published_one() -> None:
    assert _published("methods") == METHODS
    assert len(METHODS) == 35


def test_object_table_equals_the_published_one() -> None:
    published = _published("objects")
    updates = set(published.pop("Update")) - {"update_id"}
    assert published == OBJECTS
    assert updates == UPDATE_KINDS


def test_every_update_type_of_the_client_library_is_known() -> None:
    assert set(telegram.Update.ALL_TYPES) <= UPDATE_KINDS


@pytest.mark.parametrize(
    ("method", "given", "complaint"),
    [
        ("sendMesage", {}, "method not found"),
        ("sendmessage", {"chat_id": 1, "text": "a"}, "method not found"),
        ("sendMessage", {"text": "a"}, '"chat_id" is required'),
        ("sendMessage", {"chat_id": 1}, '"text" is required'),
        ("sendMessage", {"chat_id": 1, "text": "a", "colour": "red"}, 'unknown parameter "colour"'),
        ("sendMessage", {"chat_id": "one", "text": "a"}, "an integer or @username"),
        ("sendMessage", {"chat_id": 1.0, "text": "a"}, "an integer or @username"),
        ("sendMessage", {"chat_id": 1, "text": 5}, "a string"),
        ("sendMessage", {"chat_id": 1, "text": "a", "protect_content": "yes"}, "true or false"),
        ("sendMessage", {"chat_id": 1, "text": "a", "reply_markup": "{"}, "JSON"),
        ("sendMessage", {"chat_id": 1, "text": "a", "reply_markup": "[]"}, "a JSON object"),
        ("sendMessage", {"chat_id": 1, "text": "a", "reply_markup": "{}"}, "one of ForceReply"),
        ("sendMessage", {"chat_id": 1, "text": "a", "entities": '{"type":"bold"}'}, "JSON array"),
        (
            "sendMessage",
            {"chat_id": 1, "text": "a", "entities": '[{"type":"bold","offset":0}]'},
            'field "length"',
        ),
        (
            "sendMessage",
            {"chat_id": 1, "text": "a", "entities": '[{"type":"bold","offset":"0","length":1}]'},
            '"offset" is a JSON number',
        ),
        (
            "sendMessage",
            {"chat_id": 1, "text": "a", "reply_markup": '{"inline_keyboard":[{"text":"x"}]}'},
            "a JSON array",
        ),
        (
            "sendMessage",
            {"chat_id": 1, "text": "a", "reply_markup": '{"inline_keyboard":[[{"txt":"x"}]]}'},
            'unknown field "txt"',
        ),
        (
            "sendMessage",
            {"chat_id": 1, "text": "a", "reply_parameters": '{"reply_to":4}'},
            'unknown field "reply_to"',
        ),
        ("setMyCommands", {"commands": "[]", "scope": '{"type":"everyone"}'}, "a known type"),
        ("setMyCommands", {"commands": "[]", "scope": '{"type":"chat"}'}, 'field "chat_id"'),
        ("setWebhook", {"url": "https://a.test", "certificate": "text"}, "an uploaded file"),
        ("sendDocument", {"chat_id": 1, "document": 5}, "a string"),
        ("sendDocument", {"chat_id": 1, "document": "x", "f": Upload("f", "t/p", b"")}, "unknown"),
    ],
)
def test_a_request_out_of_shape_is_refused(method: str, given: dict, complaint: str) -> None:
    with pytest.raises(ApiError) as refused:
        check(method, given)
    assert complaint in refused.value.description
    assert refused.value.code == (404 if "not found" in complaint else 400)


def test_values_are_read_from_form_text_and_from_json_alike() -> None:
    form = {"chat_id": "-5", "text": "a", "protect_content": "True", "entities": "[]"}
    plain = {"chat_id": -5, "text": "a", "protect_content": True, "entities": []}
    assert check("sendMessage", form) == check("sendMessage", plain) == plain


def test_a_part_named_by_attach_is_let_through() -> None:
    part = Upload("a.csv", "text/csv", b"1")
    params = check("sendDocument", {"chat_id": 1, "document": "attach://f", "f": part})
    assert params["f"] is part
