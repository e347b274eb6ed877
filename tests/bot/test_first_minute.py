"""The first minute at the terminal: all of it, none of it, and over a restart."""

from __future__ import annotations

import functools
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import select

from bot.operate.clock import MovableClock
from bot.terminal.chat import TerminalChat
from core import requests as r
from core.handlers import first_minute as fm
from core.records import models as m
from core.records.database import Database, open_engine
from core.records.schema import upgrade
from tests.databases import new_url

AT = datetime(2027, 2, 1, 9, tzinfo=UTC)


pytestmark = pytest.mark.usefixtures("both_engines")


@functools.cache
def _url(path: Path) -> str:
    """Return the same database each time for the same path, of the engine at hand."""
    return new_url(path.parent)


class Sitting:
    """A terminal chat over a database file, whose lines are kept."""

    def __init__(self, path: Path, at: datetime = AT) -> None:
        engine = open_engine(_url(path))
        upgrade(engine)
        self.database = Database(engine)
        self.lines: list[str] = []
        self.chat = TerminalChat(self.database, MovableClock(at), self.lines.append)

    def say(self, text: str) -> str:
        """Type a line; return the answer."""
        before = len(self.lines)
        self.chat.feed(text)
        return "\n".join(self.lines[before:])

    def press(self, label: str) -> str:
        """Press the newest button of a label, by the number on the screen."""
        shown = re.findall(rf"\[(\d+)\] {re.escape(label)}(?=   |\n|$)", "\n".join(self.lines))
        return self.say(shown[-1])

    def group(self) -> m.Group:
        with self.database.transaction() as session:
            return session.scalars(select(m.Group)).one()

    def open_dialogues(self) -> list[str]:
        with self.database.transaction() as session:
            return [
                row.state["step"]
                for row in session.scalars(select(m.Dialogue).where(m.Dialogue.ended_at.is_(None)))
            ]

    def stop(self) -> None:
        self.database.close()


def test_every_question_answered_sets_everything(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "all.db")
    first = sitting.say("/start")
    assert len(first.split("\n")) == 4  # three lines, and the buttons
    sitting.press("Set up")
    sitting.say("Madrid, Spain")
    sitting.press("Yes, it is 10:00")
    sitting.press("°F and inches")
    sitting.press("English")
    sitting.say("10 April")
    sitting.say("led 2 tubes 4in")
    last = sitting.press("72 cells")
    assert "That is all" in last
    group = sitting.group()
    assert (group.zone, group.fahrenheit, group.language) == ("Europe/Madrid", True, "en")
    assert group.frost is not None
    assert group.next_look_at is not None
    assert not fm.guided(group)
    assert sitting.open_dialogues() == []
    with sitting.database.transaction() as session:
        shelf = session.scalars(select(m.Shelf)).one()
        tray = session.scalars(select(m.Tray)).one()
        assert (shelf.lamp, shelf.tubes) == ("white_led", 2)
        assert (tray.rows * tray.cols, tray.shelf_id) == (72, shelf.id)
        assert session.scalars(select(m.Member)).one().coordinator
    sitting.stop()


def test_every_question_skipped_leaves_a_group_that_works(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "none.db")
    sitting.say("/start")
    answer = sitting.press("Set up")
    for number in range(1, len(fm.STEPS) + 1):
        assert answer.startswith(f"{number} of {len(fm.STEPS)}.")
        answer = sitting.press("Skip")
    assert "Left for later" in answer
    group = sitting.group()
    assert group.place is None
    assert group.set_up["skipped"] == list(fm.STEPS)
    assert sitting.open_dialogues() == []
    assert "S1" in sitting.say("/tray T1 72\n") + sitting.say("/sow basil T1 A1-A6")
    assert sitting.say("/start").startswith("Hello again")
    assert "Which time zone" in sitting.say("/start setup") + sitting.press("Skip")
    sitting.stop()


@pytest.mark.parametrize(
    ("step", "typed"),
    [("place", "Madrid, Spain"), ("zone", "Europe/Madrid"), ("units", "celsius cm"),
     ("language", "español"), ("frost", "10 April"), ("shelf", "window"), ("tray", "6x12")],
)  # fmt: skip
def test_after_a_restart_typed_words_still_answer_the_question(
    tmp_path: Path, step: str, typed: str
) -> None:
    path = tmp_path / "restart.db"
    sitting = Sitting(path)
    sitting.say("/start")
    sitting.press("Set up")
    for _ in range(fm.STEPS.index(step)):
        sitting.press("Skip")
    assert sitting.open_dialogues() == [step]
    sitting.stop()
    again = Sitting(path, AT + timedelta(hours=3))
    answer = again.say(typed)
    group = again.group()
    assert step in group.set_up["done"], answer
    follows = again.open_dialogues()
    assert follows == list(fm.STEPS[fm.STEPS.index(step) + 1 :][:1])
    again.stop()


def test_a_command_while_a_question_is_open_is_a_command(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "command.db")
    sitting.say("/start")
    sitting.press("Set up")
    assert "No tray" in sitting.say("watered T1")
    assert "Nothing is due" in sitting.say("/due")
    assert sitting.open_dialogues() == ["place"]
    assert "Madrid" in sitting.say("Madrid, Spain")
    sitting.stop()


def test_i_do_not_know_yet_explains_and_stays_open(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "frost.db")
    sitting.say("/start")
    sitting.press("Set up")
    for _ in range(fm.STEPS.index("frost")):
        sitting.press("Skip")
    answer = sitting.press("I don't know yet")
    assert "weather service" in answer
    assert "6 of 7" in answer
    assert sitting.group().set_up["open"] == ["frost"]
    sitting.press("Later")
    sitting.say("/frost 10 April")
    group = sitting.group()
    assert group.set_up["open"] == []
    assert group.frost is not None
    sitting.stop()


def test_a_member_who_is_no_coordinator_cannot_answer_or_skip(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "others.db")
    sitting.say("/start")
    sitting.press("Set up")
    sitting.say(":as Bo")
    assert "Robin" in sitting.say("/start skip-place")
    assert "Robin" in sitting.say("/start setup")
    assert not sitting.group().set_up.get("skipped")
    sitting.say("Madrid, Spain")  # not his question
    assert sitting.group().place is None
    sitting.stop()


def test_a_second_start_founds_no_second_group(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "twice.db")
    for _ in range(3):
        sitting.say("/start")
    with sitting.database.transaction() as session:
        assert len(session.scalars(select(m.Group)).all()) == 1
    sitting.stop()


def test_a_spanish_speaker_founds_a_spanish_group(tmp_path: Path) -> None:
    from bot.incoming import Event, Incoming
    from bot.talk.conversation import respond

    sitting = Sitting(tmp_path / "es.db")
    with sitting.database.transaction() as session:
        respond(
            session,
            Incoming(
                platform="test", key="1", chat="-5", private=False, event=Event.ADDED,
                title="Huerto", user="7", name="Ana", language="es",
            ),
            AT,
        )  # fmt: skip
    group = sitting.group()
    assert (group.name, group.language) == ("Huerto", "es")
    sitting.stop()


def test_an_anonymous_admin_founds_a_group_and_a_named_one_sets_it_up(tmp_path: Path) -> None:
    from bot.incoming import Event, Incoming
    from bot.talk.conversation import respond
    from core.scene import Standing

    sitting = Sitting(tmp_path / "anonymous.db")
    at = {"platform": "test", "chat": "-5", "private": False, "title": "Bench"}
    with sitting.database.transaction() as session:
        nobody = Incoming(key="1", event=Event.TEXT, text="/start", thread="9", **at)
        (hello,) = respond(session, nobody, AT)
        assert hello.rows[0][0].request == r.Start(payload="setup")
    with sitting.database.transaction() as session:
        said = Incoming(key="2", event=Event.TEXT, text="/start setup", user="7", name="Ana", **at)
        (asked,) = respond(session, said, AT, standing=Standing.ADMIN)
        assert "1 of 7" in asked.text
        assert session.scalars(select(m.Chat)).one().thread == "9"
        assert session.scalars(select(m.Member)).one().coordinates
    sitting.stop()
