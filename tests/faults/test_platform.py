"""A platform that fails, and its limits: nothing is lost, and nobody waits for another.

The full runs are marked `bench` and print their figures; the small ones are the same, shorter.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median, quantiles

import pytest

from core.records.database import Database
from tests.faults.processes import Bot, Json, ServerProcess
from tests.faults.scene import MARKER, Place, Scene, Talk, say, set_up, wait
from tests.faults.tally import Tally, settle, tally

RATE = 0.1
AT_LEAST = 4  # so many faults at least, however short the run
SETTLES_WITHIN_S = 600.0
WAIT_S = 2


@contextmanager
def _serving(server: ServerProcess, url: str, folder: Path) -> Iterator[Bot]:
    bot = Bot(server.url, url, folder / "serve.log")
    bot.start()
    try:
        wait("serving", lambda: int(server.ask("stats")["polls"]) > 0, 300, 0.05)
        yield bot
        assert bot.runs
    finally:
        bot.close()


def _check(found: Tally, name: str) -> None:
    sys.stdout.write(f"\n{name}: {found.line}\n")
    assert found.reports > 0
    assert found.lost == []
    assert found.doubled == []
    assert found.unanswered == []
    assert found.notices_lost == []
    assert found.notices_doubled == 0
    assert found.stray == []
    assert found.parked == 0
    assert found.impatient == 0


@pytest.mark.parametrize(
    ("lasts_s", "per_s", "rounds", "hang_s"),
    [(5.0, 12.0, 4, 1.0), pytest.param(120.0, 15.0, 60, 20.0, marks=pytest.mark.bench)],
    ids=["short", "full"],
)
def test_one_call_in_ten_fails(
    on_sqlite: tuple[str, Database],
    tmp_path: Path,
    lasts_s: float,
    per_s: float,
    rounds: int,
    hang_s: float,
) -> None:
    """A message is said again only where the platform took it and its answer was lost.

    In the full run a call that hangs does so longer than the bot waits for an answer.
    """
    url, database = on_sqlite
    with ServerProcess("--paced") as server:
        scene = set_up(
            server,
            database,
            talkers=50,
            in_groups=20,
            rounds=rounds,
            first_round_s=2.0,
            round_every_s=lasts_s / rounds / 2,
        )
        server.ask("faults", rate=RATE, seed=1, retry_after_s=1, hang_s=hang_s)
        with _serving(server, url, tmp_path):
            talk = Talk(server, scene, per_s)
            time.sleep(lasts_s)
            talk.stop()
            settle(database, scene, SETTLES_WITHIN_S)
        injected = server.ask("stats")["faults"]
        found = tally(server, database, scene)
        unheard = sum(entry["reply_lost"] for entry in server.said() if entry["sender"] == "bot")
    _check(found, f"one call in ten fails {injected}, {unheard} answers lost")
    assert sum(injected.values()) >= AT_LEAST
    assert all(injected.values()) or lasts_s < 60
    assert found.notices > 0
    assert found.repeats <= unheard + injected["hang"] * (hang_s > 15)


@pytest.mark.parametrize(
    ("chats", "eager", "groups", "in_a_group"),
    [(80, 5, 1, 5), pytest.param(2000, 50, 3, 25, marks=pytest.mark.bench)],
    ids=["short", "full"],
)
def test_our_own_pace_is_never_refused(
    on_sqlite: tuple[str, Database],
    tmp_path: Path,
    chats: int,
    eager: int,
    groups: int,
    in_a_group: int,
) -> None:
    """Everybody reports at once, some five times, and some groups more than a minute allows."""
    url, database = on_sqlite
    with ServerProcess("--paced") as server:
        scene = set_up(
            server, database, talkers=chats, in_groups=groups, rounds=chats // 10, round_every_s=0.0
        )
        with _serving(server, url, tmp_path):
            began = time.monotonic()
            say(server, scene, scene.places)
            for _ in range(4):
                say(server, scene, scene.places[-eager:])
            for _ in range(in_a_group - 1):
                say(server, scene, scene.places[:groups])
            settle(database, scene, SETTLES_WITHIN_S)
            took_s = time.monotonic() - began
        found = tally(server, database, scene)
    _check(found, f"{chats} chats in {took_s:.0f} s")
    assert found.notices == chats // 10
    assert not any(found.too_fast.values())
    assert found.repeats == 0


@pytest.mark.parametrize(
    ("turns", "lasts_s", "most_s"),
    [(1, 5.0, WAIT_S / 2), pytest.param(6, 10.0, 0.1, marks=pytest.mark.bench)],
    ids=["short", "full"],
)
def test_a_chat_told_to_wait_delays_no_other(
    on_sqlite: tuple[str, Database], tmp_path: Path, turns: int, lasts_s: float, most_s: float
) -> None:
    """By turns all is well, and one chat is answered 429 to whatever it is sent.

    Others wait at most so much longer then: by half of the wait in the short run, which is to tell
    on any machine; by a tenth of a second in the full one.
    """
    url, database = on_sqlite
    with ServerProcess() as server:
        scene = set_up(server, database, talkers=40)
        victim = scene.places[0]
        waits: dict[bool, list[float]] = {False: [], True: []}
        with _serving(server, url, tmp_path):
            say(server, scene, scene.places)
            settle(database, scene, SETTLES_WITHIN_S)
            for _ in range(turns):
                for troubled in (False, True):
                    since = len(scene.posted)
                    if troubled:
                        server.ask(
                            "faults",
                            script=[
                                {
                                    "kind": "429",
                                    "method": "sendMessage",
                                    "chat_id": victim.chat,
                                    "times": 2,
                                    "retry_after_s": WAIT_S,
                                }
                            ],
                        )
                    _talk(server, scene, victim, lasts_s)
                    settle(database, scene, SETTLES_WITHIN_S)
                    waits[troubled] += _waits(server, scene, since, victim)
        refused = server.ask("stats")["faults"]["429"]
        found = tally(server, database, scene)
    _check(found, f"429 to one chat {refused} times")
    assert refused >= turns
    figures = {
        troubled: (median(seconds), quantiles(seconds, n=20)[-1], max(seconds))
        for troubled, seconds in waits.items()
    }
    for troubled, (middle, most, longest) in figures.items():
        sys.stdout.write(
            f"{'one chat waits' if troubled else 'all is well'}: the others' {len(waits[troubled])}"
            f" replies after p50 {middle * 1e3:.0f} ms, p95 {most * 1e3:.0f} ms, "
            f"at most {longest * 1e3:.0f} ms\n"
        )
    assert figures[True][0] - figures[False][0] < most_s
    assert figures[True][1] - figures[False][1] < most_s


def _talk(server: ServerProcess, scene: Scene, victim: Place, lasts_s: float) -> None:
    """Twelve reports a second by turns, and one of the victim's each second."""
    others = [place for place in scene.places if place != victim]
    began = time.monotonic()
    for n in range(int(lasts_s * 12)):
        time.sleep(max(0.0, began + n / 12 - time.monotonic()))
        say(server, scene, [others[n % len(others)], *([victim] if n % 12 == 0 else [])])


def _waits(server: ServerProcess, scene: Scene, since: int, victim: Place) -> list[float]:
    """Return how long each report but the victim's waited for its answer, from the server's times.

    `since`: how many had been posted before.
    """
    asked: dict[str, Json] = {}
    found = []
    for entry in server.said():
        marker = next(iter(MARKER.findall(entry["text"])), None)
        if marker is None or int(marker[1:]) <= since or entry["chat_id"] == victim.chat:
            continue
        if entry["sender"] != "bot":
            asked[marker] = entry
        else:
            found.append(entry["at"] - asked[marker]["at"])
    assert len(found) == len(asked) > 0
    return found
