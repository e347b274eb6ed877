"""What a stranger may send: nothing of it stops the service, and others are answered meanwhile."""

from __future__ import annotations

import asyncio
import logging
import os
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from bot.delivery.holding import HERE
from bot.incoming import Event, Incoming
from bot.operate.clock import MovableClock
from bot.telegram.translate import PLATFORM
from core.records import inbox, people
from core.records import models as m
from tests.server.chats import Chat
from tests.server.people import User
from tests.telegram.conftest import BOT, Bench
from tests.telegram.test_serve import MORNING, process_of


async def two_groups(bench: Bench) -> tuple[User, Chat, User, Chat]:
    """Return Ana and her group, Eve and hers; both are started."""
    ana, ours = bench.a_group()
    ana.say(ours, f"/start{BOT}")
    await bench.until(lambda: bench.server.by_bot(ours))
    eve = bench.server.add_user("Eve", started=True)
    hers = bench.server.add_group("Hers", creator=eve)
    eve.say(hers, f"/start{BOT}")
    await bench.until(lambda: bench.server.by_bot(hers))
    return ana, ours, eve, hers


PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010806000000"
    "1f15c4890000000d49444154789c6360606060000000050001a5f645400000000049454e44ae426082"
)


def heard(bench: Bench, chat: Chat) -> str:
    """Return all that the bot has said in a chat; answers that wait go as one message."""
    return "\n".join(entry.text for entry in bench.server.by_bot(chat))


async def answered(bench: Bench, user: User, chat: Chat) -> None:
    """Assert that a chat is answered."""
    before = len(bench.server.by_bot(chat))
    user.say(chat, f"/help{BOT}")
    await bench.until(lambda: len(bench.server.by_bot(chat)) > before)


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize(
    "data",
    ["#" + "9" * 30, "#9223372036854775808", "#-1", "#", "#1", "#x", "#" + "٣" * 19, "", "/",
     "\x00", "/sıte Chicago", "\ud800", "done 99999999999999999999", "#" + "A" * 22],
)  # fmt: skip
async def test_a_forged_press_is_acknowledged_and_stops_nothing(bench: Bench, data: str) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    entry = bench.server.by_bot(group)[0]
    press = ana.press(entry, 0, forged=data)
    await bench.until(lambda: press.answered)
    await answered(bench, ana, group)
    await bench.until(lambda: not bench.server.updates.pending)
    assert not front_end.failed.is_set()


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize("text", ["sıte Chicago", "lıght A", "SİTE x", "me fınnish"])
async def test_another_alphabets_letter_in_a_command_holds_up_nobody(
    bench: Bench, text: str
) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, text, reply_to=bench.server.by_bot(group)[0])
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    await answered(bench, ana, group)
    assert {row.state for row in bench.rows(m.Inbox)} == {"done"}


@pytest.mark.usefixtures("both_engines")
async def test_what_fails_before_it_is_handled_is_parked_once_and_told(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    from bot.telegram.workers import Workers

    tries: list[str] = []
    whole = Workers._work

    async def broken(self: Any, task: Any, **how: Any) -> Any:
        text = bench.rows(m.Inbox, m.Inbox.id == task.row_id)[0].body.get("text", "")
        if "T13" in text:
            tries.append(text)
            raise KeyError(text)
        return await whole(self, task, **how)

    monkeypatch.setattr(Workers, "_work", broken)
    await bench.start()
    ana, group = await bench.founded()
    with caplog.at_level(logging.DEBUG):
        ana.say(group, f"/tray{BOT} T13 72")
        ana.say(group, f"/tray{BOT} T1 72")
        await bench.until(lambda: "T1 added" in heard(bench, group))
    assert "Something went wrong here" in heard(bench, group)
    assert len(tries) == 1
    ours = [r.getMessage() for r in caplog.records if r.name.startswith(("bot", "core"))]
    assert any("KeyError at bot/telegram" in text or "KeyError at" in text for text in ours)
    assert not any("T13" in text for text in ours)


@pytest.mark.usefixtures("both_engines")
async def test_an_update_that_cannot_be_stored_is_set_aside_by_itself(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = inbox.store

    def broken(session: Any, rows: Any, *args: Any, **kwargs: Any) -> Any:
        if any("T13" in str(row[3].get("text")) for row in rows):
            raise OverflowError("too large")
        return whole(session, rows, *args, **kwargs)

    monkeypatch.setattr(inbox, "store", broken)
    ana, group = bench.a_group()
    ana.say(group, f"/start{BOT}")
    ana.say(group, f"/tray{BOT} T13 72")
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.start()
    await bench.until(lambda: "T1 added" in heard(bench, group))
    await bench.until(lambda: not bench.server.updates.pending)
    assert sorted(row.state for row in bench.rows(m.Inbox)) == ["done", "done", "parked"]


ENDLESS = (
    b"BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//invented//EN\nBEGIN:VEVENT\nUID:u\n"
    b"DTSTART:20270301T000000Z\nDTEND:20270302T000000Z\nSUMMARY:x\nRRULE:%s\n"
    b"END:VEVENT\nEND:VCALENDAR\n"
)


POISON = """
import os
import bot.talk.worker as worker
whole = worker.respond
def respond(session, incoming, *args, **kwargs):
    while "T13" in incoming.text:
        {what}
    return whole(session, incoming, *args, **kwargs)
worker.respond = respond
"""


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize("what", ["os._exit(9)", "os.kill(os.getpid(), 11)", "pass"])
async def test_what_ends_or_hangs_the_process_is_parked_at_the_next_start(
    bench: Bench, what: str, tmp_path: Path
) -> None:
    (tmp_path / "sitecustomize.py").write_text(POISON.format(what=what), encoding="utf-8")
    url = bench.database.engine.url.render_as_string(hide_password=False)
    path = f"{tmp_path}{os.pathsep}{Path(__file__).parents[2]}"
    process = process_of(bench.server, url, PYTHONPATH=path)
    try:
        ana, ours, eve, hers = await two_groups(bench)
        eve.say(hers, f"/tray{BOT} T13 72")
        if what == "pass":
            await bench.until(lambda: not bench.server.updates.pending)
            process.kill()
        await asyncio.to_thread(process.wait, 30)
        ana.say(ours, f"/tray{BOT} T1 72")
        process = process_of(bench.server, url, PYTHONPATH=path)
        said = await bench.until(lambda: bench.server.by_bot(hers)[1:])
        await bench.until(lambda: "T1 added" in heard(bench, ours))
        eve.say(hers, f"/tray{BOT} T1 72")
        await bench.until(lambda: "T1 added" in heard(bench, hers))
    finally:
        process.kill()
        process.wait()
    assert "Something went wrong here" in said[0].text
    assert [row.code for row in bench.rows(m.Tray)] == ["T1", "T1"]
    (parked,) = bench.rows(m.Inbox, m.Inbox.state == "parked")
    assert parked.tries == 2


@pytest.mark.usefixtures("both_engines")
async def test_what_was_in_hand_at_a_kill_and_is_harmless_is_handled_after_it(
    bench: Bench,
) -> None:
    front_end = await bench.start()
    ana, group = await bench.founded()
    await front_end.stop()
    ended = f"{HERE[:22]}:{2**22}:abcdef"  # beyond any process id
    said = {
        f"k{n}": Incoming(
            platform=PLATFORM, key=f"k{n}", chat=str(group.id), private=False, event=Event.TEXT,
            text=f"/tray T{n} 72", user=str(ana.id), name="Ana",
        ).body()
        for n in (1, 2, 3)
    }  # fmt: skip
    with bench.database.transaction() as session:
        rows = [(PLATFORM, key, str(group.id), body) for key, body in said.items()]
        inbox.store(session, rows, datetime.now(UTC), by=ended)
    await bench.start()
    await bench.until(lambda: "T3 added" in heard(bench, group))
    assert [row.code for row in bench.rows(m.Tray)] == ["T1", "T2", "T3"]
    assert {row.state for row in bench.rows(m.Inbox)} == {"done"}


@pytest.mark.usefixtures("both_engines")
async def test_a_plan_is_solved_while_others_write(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    await bench.start()
    ana, ours, eve, hers = await two_groups(bench)
    for line in ("frost 28 april", "shelf A 8 places"):
        said = len(bench.server.by_bot(hers))
        eve.say(hers, f"/{line}".replace(" ", f"{BOT} ", 1))
        await bench.until(lambda said=said: len(bench.server.by_bot(hers)) > said)
    said = len(bench.server.by_bot(hers))
    eve.say(hers, f"/plan{BOT} 24 tomato, 12 pepper, 6 basil")
    await answered(bench, ana, ours)
    text = (await bench.until(lambda: bench.server.by_bot(hers)[said:]))[0].text
    assert "tomato" in text
    assert len(bench.rows(m.Plan)) == 1


@pytest.mark.usefixtures("both_engines")
async def test_a_file_is_fetched_only_from_those_who_may_send_it(bench: Bench) -> None:
    await bench.start()
    _ana, group = await bench.founded()
    bo = bench.server.add_user("Bo")
    group.members[bo.id] = "member"
    bo.send_document(group, b"x" * 1000, "lows.csv", caption=f"/frost{BOT}")
    said = await bench.until(lambda: bench.server.by_bot(group)[1:])
    assert "Only coordinators" in said[0].text
    bo.send_document(group, b"x" * 1000, "holiday.pdf")
    bo.send_document(group, b"x" * 1000, "x.csv", caption="/frost@some_other_test_bot")
    await answered(bench, bo, group)
    assert ("getFile", 200) not in bench.server.counts
    assert len(bench.server.by_bot(group)) == 3


@pytest.mark.parametrize("code", ["utf-8", "utf-16", "cp1252", "utf-8-sig"])
async def test_a_table_in_any_usual_code_is_read(bench: Bench, code: str) -> None:
    await bench.start()
    ana, group = await bench.founded()
    days = (date(1995, 7, 1) + timedelta(days=n) for n in range(21 * 365))
    rows = [f"{day};{-3 if day.month in (12, 1, 2, 3) else 6}" for day in days]
    text = "\n".join(["date;tmin (°C)", *rows])
    ana.send_document(group, text.encode(code), "lows.txt", caption=f"/helada{BOT}")
    await bench.until(lambda: bench.server.by_bot(group)[1:])
    assert bench.rows(m.Group)[0].frost["file"]["name"] == "lows.txt"


async def test_a_caption_is_read_like_any_line(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: len(bench.server.by_bot(group)) == 2)
    ana.send_document(group, b"notes", "photo.pdf", caption=f"/watered{BOT} T1")
    ana.send_photo(group, PIXEL, caption=f"/moist{BOT} T1 right")
    await bench.until(lambda: "just right" in heard(bench, group))
    assert sorted(row.kind for row in bench.rows(m.Report)) == ["moist", "watered"]


@pytest.mark.usefixtures("both_engines")
@pytest.mark.parametrize("rule", [b"FREQ=SECONDLY", b"FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"])
async def test_a_calendar_without_end_holds_up_nobody(bench: Bench, rule: bytes) -> None:
    await bench.start()
    ana, ours, eve, hers = await two_groups(bench)
    eve.send_document(hers, ENDLESS % rule, "x.ics", caption=f"/closed{BOT}")
    await answered(bench, ana, ours)
    await bench.until(lambda: len(bench.server.by_bot(hers)) == 2)
    await answered(bench, eve, hers)


@pytest.mark.usefixtures("both_engines")
async def test_an_account_heard_in_two_chats_at_once_loses_nothing(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another process has made the row since this one looked."""
    await bench.start()
    ana, group = await bench.founded()
    whole = people.known
    stale: list[bool] = [True]

    def known(session: Any, platform: str, chat: str, user: str | None) -> people.Known:
        found = whole(session, platform, chat, user)
        if user == str(ana.id) and chat == str(group.id) and stale:
            stale.pop()
            return people.Known(chat=found.chat, group=found.group)
        return found

    monkeypatch.setattr(people, "known", known)
    monkeypatch.setattr(people, "_PERSON", people._PERSON.where(m.Person.id < 0))
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: "T1 added" in heard(bench, group))
    assert not stale
    assert {row.state for row in bench.rows(m.Inbox)} == {"done"}


async def test_two_offers_in_one_message_are_both_told_to_the_group(bench: Bench) -> None:
    await bench.start(clock=MovableClock(MORNING))
    ana, group = await bench.founded()
    for line in ("tray T1 72", "sow tomato T1 A1-A6", "duty me mon tue wed thu fri sat sun"):
        ana.say(group, f"/{line}".replace(" ", f"{BOT} ", 1))
    await bench.until(lambda: "S1" in heard(bench, group) and "Sun" in heard(bench, group))
    ana.say(ana.private, "/swap thursday\n/swap friday")
    await bench.until(lambda: bench.server.by_bot(ana.private))
    await bench.until(lambda: "Fri 5 Mar" in heard(bench, group).partition("Thu 4 Mar")[2])


async def test_a_forwarded_report_is_not_said_anew(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    ana.say(group, f"/tray{BOT} T1 72")
    await bench.until(lambda: "T1 added" in heard(bench, group))
    bench.server.updates.inject(
        {
            "message": {
                "message_id": 900,
                "date": 1_800_000_000,
                "chat": group.as_json,
                "from": ana.as_json,
                "text": f"/watered{BOT} T1",
                "forward_origin": {
                    "type": "hidden_user", "sender_user_name": "Somebody", "date": 1_700_000_000,
                },
            }
        }
    )  # fmt: skip
    await answered(bench, ana, group)
    assert not bench.rows(m.Report)


async def test_buttons_work_for_any_name(bench: Bench) -> None:
    await bench.start()
    ana, group = await bench.founded()
    jo = bench.server.add_user('Jo "Red" \\ <b>Lee</b>\u202e', started=True)
    group.members[jo.id] = "member"
    jo.say(group, f"/due{BOT}")
    await bench.until(lambda: len(bench.rows(m.Member)) == 2)
    (member,) = bench.rows(m.Member, m.Member.name != "Ana")
    assert member.name == "Jo 'Red' / <b>Lee</b>"
    for typed in ('Jo "Red" \\ <b>Lee</b>', member.name):
        before = heard(bench, group)
        ana.say(group, f'/member{BOT} {typed} name "{typed}"')
        await bench.until(lambda before=before: heard(bench, group) != before)
    assert "Nobody here" not in heard(bench, group)


def test_a_port_in_use_gives_one_line(tmp_path: Path) -> None:
    import socket
    import subprocess
    import sys

    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        environment = {
            **os.environ,
            "TELEGRAM_BOT_TOKEN": "1234567:a-token-of-these-tests",
            "TELEGRAM_API_URL": f"http://127.0.0.1:{port}",
            "DATABASE_URL": f"sqlite:///{tmp_path / 'x.db'}",
            "HEALTH_LISTEN": f"127.0.0.1:{port}",
        }
        done = subprocess.run(
            [sys.executable, "-P", "-m", "bot", "serve"], env=environment, text=True,
            capture_output=True, timeout=60, cwd=Path(__file__).parents[2], check=False,
        )  # fmt: skip
    assert done.returncode != 0
    assert "Traceback" not in done.stderr
    assert f"cannot listen on 127.0.0.1:{port}: Address already in use" in done.stderr
