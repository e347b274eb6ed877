"""Words become findings: slips are mended, denials noted, both languages heard."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.trouble.concepts import CONCEPTS, fold, heard_in
from core.trouble.kind import OUTSIDE, UNWELL
from core.trouble.looked_up import LOOKED_UP
from core.trouble.patterns import Sieve, beginnings_of, pattern_of
from core.trouble.topics import TOPICS


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("they are lankier than last week", "tall"),
        ("paler every day", "pale"),
        ("4 of 30 came up", "few_up"),
        ("barely any up", "few_up"),
        ("none after a month", "not_up"),
        ("seedlings just sitting there", "stall"),
        ("lamp two feet up", "lamp_high"),
        ("lights on from 9 to 5", "hours_short"),
        ("the lid still on", "lid_on"),
        ("the mat still on", "mat_on"),
        ("never fed", "never_fed"),
        ("seed of 2015", "old_seed_w"),
        ("pots are heavy", "wet"),
        ("en el alféizar de la ventana", "window"),
        ("nunca abonamos", "never_fed"),
        ("pushed in far too deep", "deep"),
        ("yelow leaves", "yellow"),
    ],
)
def test_words_become_findings(text: str, finding: str) -> None:
    assert finding in heard_in(text).found


def test_what_is_denied_is_not_found() -> None:
    heard = heard_in("no spots on them")
    assert "spots" not in heard.found
    assert "spots" in heard.denied


def test_a_range_and_a_minus_are_told_apart() -> None:
    assert fold("18-20C") == "18 to 20c"
    assert fold("it was -3 out") == "it was -3 out"


# --- with what a pattern must begin ---

ROWS = {
    f"{table.name} {row.id}": (*row.en, *row.es)
    for table in (CONCEPTS, OUTSIDE, UNWELL, LOOKED_UP)
    for row in table.rows()
}
PATTERNS = {name: pattern_of(patterns) for name, patterns in ROWS.items()}
SIEVE = Sieve(ROWS.items())
PIECES = sorted(
    {
        piece
        for patterns in ROWS.values()
        for pattern in patterns
        for piece in re.findall(r"[a-z]+|\d", pattern)
    }
    | {"x", "-3", "5cm", "18.5", "leafmould", "unrooted"}
)


def not_passed_over(sentence: str) -> None:
    """Each row that is in a sentence is tried, in the order of the rows."""
    there = [name for name, pattern in PATTERNS.items() if pattern.search(sentence)]
    tried = [name for name, pattern in SIEVE.possible(sentence) if pattern.search(sentence)]
    assert tried == there


@given(st.lists(st.sampled_from(PIECES), min_size=1, max_size=12), st.data())
def test_no_pattern_in_a_sentence_is_passed_over(words: list[str], data: st.DataObject) -> None:
    ends = data.draw(st.lists(st.sampled_from(["", "s", "ed", "x"]), max_size=len(words)))
    ends += [""] * (len(words) - len(ends))
    not_passed_over(" ".join(word + end for word, end in zip(words, ends, strict=True)))


def test_no_pattern_in_a_question_of_members_is_passed_over() -> None:
    for topic in TOPICS.rows():
        for text in (*topic.asked, *topic.words, *topic.words_es, topic.answer, topic.answer_es):
            not_passed_over(fold(text))


@pytest.mark.parametrize(
    ("pattern", "beginnings"),
    [
        ("leaf*", {"leaf"}),
        ("germination", {"germin"}),
        ("colou?r", {"colo"}),
        ("an? inch", {"a"}),
        ("ab?c", {"a"}),
        ("(las )?nuevas", {"las", "nuevas"}),
        ("(al|a) ras", {"al", "a"}),
        ("top ~ yellow|pale", {"top", "pale"}),
        ("(new|old)( ones)? leaves", {"new", "old"}),
        ("((new|young) )*leaves", {"new", "young", "leaves"}),
        ("\\d+ of \\d+", {"0"}),
        ("5 ?cm", {"0"}),
        ("5?cm", None),
        ("a?", None),
        ("\\w+ leaves", None),
        ("[ab] leaf", None),
        ("(?!not)leaf", None),
        ("(the |\\w+ )?leaf", None),
    ],
)
def test_a_pattern_begins_with_letters_or_with_anything(
    pattern: str, beginnings: set[str] | None
) -> None:
    assert beginnings_of([pattern]) == beginnings


def test_most_rows_need_not_be_tried_on_every_text() -> None:
    bound = [name for name, patterns in ROWS.items() if beginnings_of(patterns) is not None]
    assert len(bound) >= 0.9 * len(ROWS)
