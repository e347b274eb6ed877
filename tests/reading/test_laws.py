"""Laws of the reader: what must not change what is recorded, and how long it may take."""

from __future__ import annotations

import random
import time
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.grammar.context import GrammarContext
from bot.reading import read
from core import requests as r

CONTEXT = GrammarContext(
    today=date(2027, 3, 16), trays=("T1", "T2", "T3", "T4"), shelves=("A", "B"),
    members=("Ana", "Ben"), growing=("basil", "kale", "pepper", "tomato"), private=True,
    holds=(("T1", "tomato"), ("T2", "pepper"), ("T3", "basil"), ("T4", "kale")),
    sizes=tuple((f"T{n}", 6, 12) for n in range(1, 5)),
)  # fmt: skip
PLAIN = (
    "watered T1", "14 up in T2", "T3 is dry", "fed T4", "lost 3 kale in T4",
    "thinned T4 to 1 per cell", "+2 T1", "regué la T1", "14 nacidas en T2", "la T3 está seca",
)  # fmt: skip
FILLERS = ("hello,", "just now", "finally", "oh,", "ok so", "hey")
MOST_MS = 50  # of one core, for the longest message


def requests(text: str) -> list[r.Request | None]:
    return [line.request for line in read(text, CONTEXT)]


def undated(text: str) -> list[r.Request | None]:
    from dataclasses import replace

    return [replace(one, on=None) if isinstance(one, r.Report) else one for one in requests(text)]


@pytest.mark.parametrize("text", PLAIN)
@pytest.mark.parametrize("filler", FILLERS)
def test_filler_words_change_nothing(text: str, filler: str) -> None:
    assert undated(f"{filler} {text}") == undated(text)
    assert isinstance(requests(text)[0], r.Report)


@pytest.mark.parametrize("text", PLAIN)
def test_case_changes_nothing(text: str) -> None:
    assert requests(text.upper()) == requests(text)


@pytest.mark.parametrize("first", PLAIN)
@pytest.mark.parametrize("second", PLAIN)
def test_two_in_one_message_are_two_messages(first: str, second: str) -> None:
    assert requests(f"{first}. {second}") == [*requests(first), *requests(second)]


@pytest.mark.parametrize(
    "text",
    ["please water T1", "water T1 today?", "I will water T1", "forgot to water T1",
     "T1 not watered", "if T1 is dry water it", "my neighbour watered T1", "nobody watered T1",
     "watered T1?",
     "voy a regar la T1", "mañana riego la T1", "no he regado la T1", "¿has regado la T1?",
     "ojalá salgan 20 en T2", "lost the label on T2", "list T2", "read T2", "rotten luck T2"],
)  # fmt: skip
def test_what_did_not_happen_is_no_report(text: str) -> None:
    assert not any(isinstance(line.request, r.Report) for line in read(text, CONTEXT))


def test_all_but_one_leaves_that_one_out() -> None:
    for text in ("watered all but T2", "watered everything except T2", "regué todas menos la T2"):
        found = requests(text)
        assert [one.where.trays for one in found if isinstance(one, r.Watered)] == [
            ("T1", "T3", "T4")
        ]


@given(st.text(max_size=300))
def test_any_text_is_read_without_a_fault(text: str) -> None:
    read(text, CONTEXT)


def test_the_longest_message_is_read_in_time() -> None:
    line = "watered T1 and 14 up in T2, lost 3 kale slugs lorem ipsum tomatoo rows A-B"
    words = line.split(" ")
    shuffled = random.Random(7).choices(words, k=900)
    for text in (" ".join(shuffled), "T1 " * 1365, "a" * 4096, "1 " * 2048, "watered T1. " * 340):
        read(text[:4096], CONTEXT)
        began = time.process_time()
        read(text[:4096], CONTEXT)
        assert (time.process_time() - began) * 1000 <= MOST_MS
