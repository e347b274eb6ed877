"""Wishes and shares: who sees what, what was taken, what is said."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from bot.grammar import GrammarContext, parse
from bot.message import Button
from bot.wording.speak import speak
from core.errors import ValueAbsurd
from core.handlers.shares import SEASON
from core.handlers.table import answer
from core.records import people
from core.replies.base import Reply
from core.replies.shares import ShareSaid, WishesSaid, WishSaid
from core.requests import (
    Lost,
    Planted,
    Request,
    SetFrost,
    SetTray,
    ShareOut,
    Sow,
    Thinned,
    Up,
    Where,
    Wish,
)
from core.scene import Scene
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


class Bench(OneGroup):
    """Ana coordinates; Ben is a member."""

    def __init__(self, language: str = "en") -> None:
        super().__init__(AT, language=language)
        with self.database.transaction() as session:
            person = people.person_of(
                session, "test", "ben", name="Ben", username=None, now=self.at
            )
            member = people.join(session, self.ids[0], person, "Ben", self.at)
            self.ben = (member.id, person.id)
        self._as_ben = False

    @property
    def scene(self) -> Scene:
        found = super().scene
        if not self._as_ben:
            return found
        return replace(found, member_id=self.ben[0], person_id=self.ben[1], coordinator=False)

    @contextmanager
    def as_ben(self) -> Iterator[None]:
        self._as_ben = True
        yield
        self._as_ben = False

    def wishes(self, request: Request) -> Reply:
        with self.as_ben(), self.database.transaction() as session:
            return answer(request, self.scene, session)


def grown(language: str = "en") -> Bench:
    """18 tomatoes alive and thinned."""
    group = Bench(language)
    group.ask(SetTray(codes=("T1",), cells=72))
    group.ask(Sow(crop="tomato", where=Where(trays=("T1",)), cell_count=24))
    group.at += timedelta(days=10)
    group.ask(Up(where=Where(sowing="S1"), count=18))
    group.ask(Thinned(where=Where(sowing="S1")))
    return group


def shares(group: Bench, crop: str | None = "tomato") -> ShareSaid:
    reply = group.ask(ShareOut(crop=crop))
    assert isinstance(reply, ShareSaid)
    return reply


def tomato(group: Bench, plants: int, for_whom: str | None = None) -> WishSaid:
    reply = group.ask(Wish(plants=plants, crop="tomato", for_whom=for_whom))
    assert isinstance(reply, WishSaid)
    return reply


def parts(reply: ShareSaid) -> dict[str, tuple[int, int]]:
    return {part.name: (part.taken, part.now) for part in reply.crops[0].parts}


def test_a_wish_is_noted_and_a_new_figure_takes_its_place() -> None:
    group = grown()
    first = tomato(group, 4)
    assert (first.before, first.alive, first.expected, first.wished) == (None, 18, 15, 4)
    second = tomato(group, 6)
    assert (second.before, second.wished) == (4, 6)
    text = group.hear(Wish(plants=7, crop="tomato")).text
    assert text.startswith("Wish noted: 7 tomato. Before: 6.")
    tomato(group, 0)
    reply = group.ask(Wish())
    assert reply == WishesSaid(lines=(), everybody=True)


def test_undo_puts_the_wish_back_as_it_was() -> None:
    group = grown()
    tomato(group, 4)
    reply = tomato(group, 9)
    group.ask(reply.back)
    assert tomato(group, 5).before == 4
    new = group.ask(Wish(plants=2, crop="basil", for_whom="bench 2"))
    assert isinstance(new, WishSaid)
    group.ask(new.back)
    wishes = group.ask(Wish())
    assert isinstance(wishes, WishesSaid)
    assert [(line.crop, line.plants) for line in wishes.lines] == [("tomato", 5)]


def test_what_the_buttons_stand_for_can_be_typed() -> None:
    group = grown()
    tomato(group, 4, "bench 2")
    context = GrammarContext(today=date(2027, 3, 11), trays=("T1",), members=("Ana", "Ben"))
    for said in (group.hear(Wish(plants=3, crop="tomato")), group.hear(ShareOut(crop="tomato"))):
        for row in said.rows:
            for button in row:
                assert isinstance(button, Button)
                (line,) = parse(button.command, context)
                assert line.request == button.request


def test_a_coordinator_sees_every_part_and_a_member_the_own_one() -> None:
    group = grown()
    tomato(group, 12)
    tomato(group, 3, "bench 2")
    group.wishes(Wish(plants=6, crop="tomato"))
    assert parts(shares(group)) == {"Ana": (0, 7), "bench 2": (0, 3), "Ben": (0, 5)}
    own = group.wishes(ShareOut(crop="tomato"))
    assert isinstance(own, ShareSaid)
    assert not own.everybody
    assert parts(own) == {"Ben": (0, 5)}
    assert own.crops[0].parts[0].hand_out is None
    text = speak(own, group.voice).text
    assert "Ben: 5" in text
    assert "Ana" not in text
    assert "bench 2" not in text
    wishes = group.wishes(Wish())
    assert isinstance(wishes, WishesSaid)
    assert [line.name for line in wishes.lines] == ["Ben"]


def test_a_wish_for_another_member_is_theirs() -> None:
    group = grown()
    assert tomato(group, 4, "ben").for_name == "Ben"
    own = group.wishes(ShareOut())
    assert isinstance(own, ShareSaid)
    assert parts(own) == {"Ben": (0, 4)}


def test_only_plants_sure_to_live_are_shared() -> None:
    group = grown()
    tomato(group, 40)
    got = shares(group).crops[0]
    assert (got.alive, got.expected) == (18, 15)
    assert got.parts[0].now == 15
    assert got.surplus == 0
    assert "rule of thumb" in group.hear(ShareOut(crop="tomato")).text


def test_one_a_cell_is_counted_before_thinning() -> None:
    group = Bench()
    group.ask(SetTray(codes=("T1",), cells=72))
    group.ask(
        Sow(crop="tomato", where=Where(trays=("T1",)), cell_count=10, seeds_per_cell=3)
    )  # fmt: skip
    group.at += timedelta(days=10)
    group.ask(Up(where=Where(sowing="S1"), count=25))
    assert shares(group).crops[0].alive == 10


def test_the_rest_goes_to_the_common_beds() -> None:
    group = grown()
    tomato(group, 4)
    assert shares(group).crops[0].surplus == 11
    assert "For the common beds: 11." in group.hear(ShareOut(crop="tomato")).text


def test_the_ledger_counts_what_was_handed_out_by_name() -> None:
    group = grown()
    tomato(group, 6)
    group.wishes(Wish(plants=12, crop="tomato"))
    reply = shares(group)
    hand_out = reply.crops[0].parts[0].hand_out
    assert hand_out == Planted(where=Where(sowing="S1"), count=6, to_whom="Ana")
    group.ask(hand_out)
    group.ask(Planted(where=Where(sowing="S1"), count=2, to_whom="BEN"))
    group.ask(Planted(where=Where(sowing="S1"), count=1, to_whom="Zoe"))
    got = shares(group).crops[0]
    assert got.alive == 9
    assert parts(shares(group))["Ana"] == (6, 0)
    assert parts(shares(group))["Ben"] == (2, got.expected)
    assert got.others == (("Zoe", 1),)
    assert "Taken without a wish: Zoe 1" in group.hear(ShareOut(crop="tomato")).text


def test_survival_follows_the_groups_record() -> None:
    group = grown()
    tomato(group, 4)
    before = shares(group).crops[0]
    group.ask(Sow(crop="tomato", where=Where(trays=("T1",)), cell_count=20))
    group.at += timedelta(days=10)
    group.ask(Up(where=Where(sowing="S2"), count=20))
    group.ask(Lost(where=Where(sowing="S2"), count=15, cause="slugs"))
    group.ask(Planted(where=Where(sowing="S2")))
    after = shares(group).crops[0]
    assert after.survival_of == (5, 20)
    assert after.survival == pytest.approx((18 + 5) / 40)
    assert after.expected < before.expected


def test_wishes_and_hand_outs_of_another_season_do_not_count() -> None:
    group = grown()
    tomato(group, 4)
    group.ask(Planted(where=Where(sowing="S1"), count=2, to_whom="Ana"))
    group.at += SEASON + timedelta(days=1)
    assert group.ask(Wish()) == WishesSaid(lines=(), everybody=True)
    tomato(group, 4)
    assert parts(shares(group))["Ana"] == (0, 4)


def test_the_care_card_says_when_how_far_apart_and_how_cold() -> None:
    group = grown()
    tomato(group, 4)
    assert "its date is not set" in group.hear(ShareOut(crop="tomato")).text
    group.ask(SetFrost(typical=date(2027, 4, 28)))
    card = shares(group).crops[0].care
    assert card.plant_out is not None
    assert card.plant_out > date(2027, 4, 28)
    assert card.spacing_mm == (460.0, 910.0)
    text = group.hear(ShareOut(crop="tomato")).text
    assert "46–91 cm apart" in text
    assert "nights not below 10 °C" in text
    assert "⚠" in text  # its leaves are poisonous to eat


def test_an_absurd_wish_is_refused() -> None:
    with pytest.raises(ValueAbsurd):
        tomato(grown(), 501)


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_reply_is_worded_in_both_languages(language: str) -> None:
    group = grown(language)
    requests: tuple[Request, ...] = (
        Wish(), ShareOut(), ShareOut(crop="basil"),
        Wish(plants=4, crop="tomato"), Wish(plants=5, crop="tomato"),
        Wish(plants=2, crop="basil", for_whom="bench 2"), Wish(), ShareOut(),
        ShareOut(crop="tomato"), Wish(plants=0, crop="tomato"),
        Wish(plants=0, crop="basil", for_whom="bench 2"),
    )  # fmt: skip
    for request in requests:
        text = group.hear(request).text
        assert text.strip()
        assert "{" not in text
        text = speak(group.wishes(request), group.voice).text
        assert text.strip()
        assert "{" not in text
