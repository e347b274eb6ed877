"""Members, one's own settings, being forgotten, and who gets which records."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest
from sqlalchemy import select

from bot.incoming import Event, Incoming
from bot.talk.conversation import respond
from core.errors import MemberUnknown, NameTaken, NotMember, WhoAreYou
from core.handlers.name_cautions import full_name
from core.handlers.table import answer
from core.records import models as m
from core.records import outbox, people, snapshot
from core.records.forgetting import sweep
from core.replies.base import Reply
from core.replies.people import (
    Exported,
    ExportInPrivate,
    ForgetAsked,
    Forgotten,
    MemberRemoved,
    MemberSaid,
    MeSaid,
)
from core.requests import (
    Export,
    ForgetMe,
    Me,
    Planted,
    Request,
    SetAway,
    SetDuty,
    SetMember,
    SetTray,
    Sow,
    Up,
    Where,
    Wish,
)
from core.set_up_errors import LanguageUnknown, LastCoordinator
from tests.core.handlers.one_group import OneGroup

AT = datetime(2027, 3, 1, 12, tzinfo=UTC)


class Two(OneGroup):
    """Ana the coordinator and Bo, who also has a private chat."""

    def __init__(self) -> None:
        super().__init__(AT)
        with self.database.transaction() as session:
            person = people.person_of(session, "test", "4711", name="Bo", username="bo", now=AT)
            self.bo = people.join(session, self.ids[0], person, "Bo", AT).id
            self.bo_person = person.id
            chat = people.chat_of(session, "test", "4711", private=True, title="Bo")
            chat.person_id = person.id
            self.bo_chat = chat.id

    def as_bo(self, request: Request) -> Reply:
        scene = replace(
            self.scene, member_id=self.bo, person_id=self.bo_person, chat_id=self.bo_chat,
            private=True, coordinator=False,
        )  # fmt: skip
        with self.database.transaction() as session:
            return answer(request, scene, session)

    def dump(self) -> str:
        """Return every text of every table, to look for what must not be there."""
        with self.database.transaction() as session:
            rows = []
            for table in m.Base.metadata.sorted_tables:
                rows += [repr(tuple(row)) for row in session.execute(select(table))]
        return "\n".join(rows)


@pytest.mark.parametrize(
    ("name", "full"),
    [("Ana Perez", True), ("Ana", False), ("Ana P.", False), ("Ana P", False), ("bench 2", False),
     ("Bench 2", False), ("Ana María Luz", True), ("ana perez", False)],
)  # fmt: skip
def test_two_capitalised_words_are_taken_for_a_full_name(name: str, full: bool) -> None:
    assert full_name(name) is full


def test_a_full_name_brings_the_caution_on_children_once() -> None:
    group = Two()
    first = group.ask(SetMember(name="Bo", new_name="Bo Carter"))
    assert isinstance(first, MemberSaid)
    assert first.cautions == ("children_data",)
    second = group.ask(SetMember(name="Bo Carter", new_name="Bo Miller"))
    assert isinstance(second, MemberSaid)
    assert second.cautions == ()


def test_a_name_is_borne_by_one_member_only() -> None:
    group = Two()
    with pytest.raises(NameTaken):
        group.ask(SetMember(name="Bo", new_name="ana"))
    with pytest.raises(NameTaken):
        group.as_bo(Me(name="Ana"))
    with pytest.raises(MemberUnknown):
        group.ask(SetMember(name="Zed", coordinator=True))


def test_a_group_keeps_a_coordinator() -> None:
    group = Two()
    for request in (
        SetMember(name="Ana", coordinator=False),
        SetMember(name="Ana", removed=True),
        ForgetMe(sure=True),
    ):
        with pytest.raises(LastCoordinator):
            group.ask(request)
    group.ask(SetMember(name="@bo", coordinator=True))
    reply = group.ask(SetMember(name="Ana", coordinator=False))
    assert isinstance(reply, MemberSaid)
    assert not reply.member.coordinator


def test_who_is_taken_out_leaves_the_rota_too() -> None:
    group = Two()
    group.ask(SetDuty(who=("Bo",), weekdays=(0, 3)))
    group.as_bo(SetAway(first=date(2027, 3, 9)))
    group.as_bo(Wish(plants=4, crop="basil"))
    reply = group.ask(SetMember(name="Bo", removed=True))
    assert isinstance(reply, MemberRemoved)
    assert reply.duties == 1
    with group.database.transaction() as session:
        garden = snapshot.garden(session, group.ids[0], AT.date())
        assert garden.duties == ()
        assert garden.absences == ()
        assert [member.name for member in garden.members.values()] == ["Ana"]
        assert session.scalars(select(m.Wish)).one().ended_at is not None


def test_ones_own_settings_are_kept_and_shown() -> None:
    group = Two()
    group.as_bo(
        Me(language="es", fahrenheit=True, reminders=False, quiet_from=time(20), quiet_to=time(8))
    )
    reply = group.as_bo(Me())
    assert isinstance(reply, MeSaid)
    assert (reply.language, reply.fahrenheit, reply.inches) == ("es", True, None)
    assert not reply.reminders
    assert (reply.quiet_from, reply.quiet_to) == (time(20), time(8))
    assert reply.about == group.ids[0]
    with pytest.raises(LanguageUnknown):
        group.as_bo(Me(language="fi"))
    with pytest.raises(NotMember):
        group.as_bo(Me(group=group.ids[0] + 7))
    with group.database.transaction() as session, pytest.raises(WhoAreYou):
        answer(Me(), replace(group.scene, person_id=None, member_id=None), session)


def grown(group: Two) -> None:
    group.ask(SetTray(codes=("T1",), cells=72))
    group.as_bo(Sow(crop="basil", where=Where(trays=("T1",)), cell_count=6))
    group.ask(Up(count=5, where=Where(trays=("T1",))))
    group.ask(Planted(count=2, where=Where(trays=("T1",)), to_whom="Bo"))


def test_forgetting_asks_first_and_says_what_stays() -> None:
    group = Two()
    grown(group)
    reply = group.as_bo(ForgetMe())
    assert reply == ForgetAsked(groups=("Bench",), reports=1)
    assert "'Bo'" in group.dump()


def test_forgetting_takes_name_and_ids_out_and_keeps_the_counts() -> None:
    group = Two()
    grown(group)
    with group.database.transaction() as session:
        before = snapshot.garden(session, group.ids[0], AT.date()).sowings
    assert group.as_bo(ForgetMe(sure=True)) == Forgotten(reports=1)
    with group.database.transaction() as session:
        after = snapshot.garden(session, group.ids[0], AT.date()).sowings
        assert [s.cells for s in after] == [s.cells for s in before]
        assert sweep(session) == 1
    text = group.dump()
    for trace in ("'Bo'", "4711", "'bo'"):
        assert trace not in text


def test_the_chats_id_waits_for_the_farewell_and_goes_after_it() -> None:
    group = Two()
    at = {"platform": "test", "chat": "4711", "private": True, "user": "4711", "name": "Bo"}
    with group.database.transaction() as session:
        said = Incoming(key="1", event=Event.TEXT, text="/forgetme sure", **at)
        respond(session, said, AT)
    with group.database.transaction() as session:
        assert sweep(session) == 0
        assert session.get_one(m.Chat, group.bo_chat).platform_chat == "4711"
        for row in outbox.due(session, AT):
            outbox.settle(row, AT, "m1")
    with group.database.transaction() as session:
        assert sweep(session) == 1
        assert sweep(session) == 0
    assert "4711" not in group.dump()


def test_who_speaks_again_after_being_forgotten_is_a_stranger() -> None:
    group = Two()
    group.as_bo(ForgetMe(sure=True))
    at = {"platform": "test", "chat": "4711", "private": True, "user": "4711", "name": "Bo"}
    with group.database.transaction() as session:
        (reply,) = respond(session, Incoming(key="2", event=Event.TEXT, text="/start", **at), AT)
    assert "you are in none yet" in reply.text
    assert "Bench" not in reply.text


def test_leaving_the_chat_ends_duty() -> None:
    group = Two()
    group.ask(SetDuty(who=("Bo",), weekdays=(0,)))
    with group.database.transaction() as session:
        left = Incoming(
            key="3", event=Event.LEFT, platform="test", chat="bench", private=False, user="4711",
            name="Bo",
        )  # fmt: skip
        respond(session, left, AT)
    with group.database.transaction() as session:
        garden = snapshot.garden(session, group.ids[0], AT.date())
    assert garden.duties == ()
    assert len(garden.members) == 1


def test_a_coordinator_gets_the_groups_records_and_a_member_their_own() -> None:
    group = Two()
    grown(group)
    assert isinstance(group.ask(Export()), ExportInPrivate)
    with group.database.transaction() as session:
        all_of_it = answer(Export(), replace(group.scene, private=True), session)
    assert isinstance(all_of_it, Exported)
    assert (all_of_it.own, all_of_it.member_id) == (False, None)
    assert (all_of_it.sowings, all_of_it.reports) == (1, 2)
    own = group.as_bo(Export())
    assert isinstance(own, Exported)
    assert (own.own, own.member_id) == (True, group.bo)
    assert (own.sowings, own.reports) == (1, 0)
