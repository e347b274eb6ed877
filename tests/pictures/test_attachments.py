"""What a message carries is drawn when it is sent: lazily, from the records, alike each time."""

from __future__ import annotations

import io
import subprocess
import sys
from datetime import UTC, datetime
from typing import Any

import pytest
from PIL import Image

from bot.papers import attachments as at
from bot.terminal.demo import seed
from core.errors import TrayUnknown
from core.records.database import Database
from tests.databases import new_database

NOW = datetime(2027, 3, 16, 13, 10, tzinfo=UTC)  # when the demo opens
WANTED: dict[str, dict[str, Any]] = {
    "tray": {"tray": "T1"},
    "curve": {"sowings": ["S1", "S2"]},
    "season": {},
    "space": {},
    "log": {"shelf": "A"},
    "labels": {"trays": ["T1"], "sowings": [], "grid": "a4-cut"},
    "report": {},
    "export": {},
    "calendar": {},
    "sheet": {"kind": "week", "paper": "letter"},
    "tags": {"paper": "letter"},
}


@pytest.fixture(scope="module")
def demo() -> Database:
    database = new_database()
    seed(database, NOW)
    return database


def wanted(what: str, **values: Any) -> dict[str, Any]:
    return {"what": what, "values": {"group_id": 1, **WANTED[what], **values}}


def test_nothing_that_draws_is_loaded_before_it_is_needed() -> None:
    code = (
        "import sys, bot.papers.attachments;"
        "print([m for m in ('PIL', 'reportlab', 'segno', 'icalendar') if m in sys.modules])"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"


@pytest.mark.parametrize("what", [*at.PICTURES, *at.PAPERS])
def test_the_same_records_and_day_give_the_same_bytes(demo: Database, what: str) -> None:
    first = at.content(demo, wanted(what), NOW)
    assert first == at.content(demo, wanted(what), NOW)
    starts = {
        "labels": b"%PDF", "report": b"%PDF", "sheet": b"%PDF", "tags": b"%PDF", "export": b"PK",
        "calendar": b"BEGIN:VCALENDAR",
    }  # fmt: skip
    assert first.startswith(starts.get(what, b"\x89PNG"))


@pytest.mark.parametrize("what", at.PICTURES)
def test_a_picture_is_sharp_on_a_phone_and_small_to_send(demo: Database, what: str) -> None:
    data = at.content(demo, wanted(what), NOW)
    image = Image.open(io.BytesIO(data))
    assert image.width == 3 * 390
    assert image.width + image.height < 10_000  # the messenger's limit for a photo
    assert len(data) < 500_000


@pytest.mark.parametrize("what", at.PICTURES)
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_picture_says_the_same_in_words(demo: Database, what: str, language: str) -> None:
    said = at.caption(demo, wanted(what, language=language), NOW)
    assert said
    assert "{" not in said
    assert len(said) <= 1024  # the messenger's limit for a caption


def test_files_need_no_caption(demo: Database) -> None:
    assert at.caption(demo, wanted("labels"), NOW) == ""


def test_the_day_drawn_is_the_one_the_message_speaks_of(demo: Database) -> None:
    then = at.drawing(demo, "tray", wanted("tray", on="2027-03-10")["values"], NOW)
    now = at.drawing(demo, "tray", wanted("tray")["values"], NOW)
    dates = [next(t.text for t in d.texts() if t.what == "date") for d in (then, now)]
    assert dates == ["Wed, Mar 10", "Tue, Mar 16"]


def test_how_to_speak_comes_with_the_message_else_from_the_group(demo: Database) -> None:
    spoken = at.drawing(demo, "log", wanted("log", fahrenheit=False)["values"], NOW)
    plain = at.drawing(demo, "log", wanted("log")["values"], NOW)
    assert any("°C" in t.text for t in spoken.texts())
    assert any("°F" in t.text for t in plain.texts())


def test_what_is_gone_or_unknown_is_not_drawn(demo: Database) -> None:
    with pytest.raises(TrayUnknown):
        at.content(demo, wanted("tray", tray="T99"), NOW)
    with pytest.raises(LookupError):
        at.content(demo, wanted("tray", group_id=99), NOW)
    with pytest.raises(ValueError, match="poster"):
        at.content(demo, {"what": "poster", "values": {"group_id": 1}}, NOW)


def test_another_groups_plan_is_not_shown(demo: Database) -> None:
    assert "No plan" in at.caption(demo, wanted("space", plan=999), NOW)
