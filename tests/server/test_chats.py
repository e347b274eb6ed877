"""Who sees what and who may write where: privacy mode, groups, topics, migration, channels."""

import pytest
from telegram import BotCommandScopeAllGroupChats, InlineKeyboardButton, InlineKeyboardMarkup
from telegram.error import BadRequest, ChatMigrated, Forbidden

from tests.server import BotApiServer


async def seen(bot, kind: str = "message") -> list[str]:
    """Return the texts of new updates of a kind and confirm all."""
    updates = await bot.get_updates()
    if updates:
        await bot.get_updates(offset=updates[-1].update_id + 1)
    return [getattr(u, kind).text for u in updates if getattr(u, kind)]


async def test_the_bot_cannot_write_first(server, bot) -> None:
    alice = server.add_user("Alice")
    with pytest.raises(Forbidden, match="can't initiate conversation"):
        await bot.send_message(alice.id, "a")
    alice.start("bench7")
    await bot.send_message(alice.id, "a")
    assert await seen(bot) == ["/start bench7"]


async def test_blocking_is_told_and_refuses_until_undone(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    alice.block()
    with pytest.raises(Forbidden, match="bot was blocked by the user"):
        await bot.send_message(alice.id, "a")
    (update,) = await bot.get_updates()
    assert update.my_chat_member.new_chat_member.status == "kicked"
    assert update.my_chat_member.chat.type == "private"
    alice.say(alice.private, "back")
    changes = await bot.get_updates(offset=update.update_id + 1)
    assert changes[0].my_chat_member.new_chat_member.status == "member"
    assert changes[1].message.text == "back"
    await bot.send_message(alice.id, "a")


async def test_a_closed_account_cannot_be_written_to(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    alice.deactivate()
    with pytest.raises(Forbidden, match="user is deactivated"):
        await bot.send_message(alice.id, "a")


async def test_privacy_mode_lets_through_what_is_published_and_nothing_else(server, bot) -> None:
    alice = server.add_user("Alice")
    group = server.add_group("Bench", creator=alice)
    alice.say(group, "good morning")
    alice.say(group, "@traywarden_test_bot tray T1")
    alice.say(group, "/up@some_other_test_bot T1")
    alice.say(group, "we did /up@traywarden_test_bot")
    assert await seen(bot) == []
    alice.say(group, "/up@traywarden_test_bot T1")
    alice.say(group, "/UP@Traywarden_Test_Bot T2")
    alice.say(group, "/up T3")
    assert await seen(bot) == [
        "/up@traywarden_test_bot T1",
        "/UP@Traywarden_Test_Bot T2",
        "/up T3",
    ]
    sent = await bot.send_message(group.id, "How many?")
    alice.say(group, "7", reply_to=server.transcript[-1])
    alice.say(group, "8", reply_to=alice.say(group, "not to the bot"))
    updates = await bot.get_updates()
    assert [u.message.text for u in updates] == ["7"]
    assert updates[0].message.reply_to_message.message_id == sent.message_id


async def test_plain_commands_go_to_the_bot_that_spoke_last(server, bot) -> None:
    alice = server.add_user("Alice")
    group = server.add_group("Bench", creator=alice)
    server.other_bot_says(group, "hello")
    alice.say(group, "/due")
    assert await seen(bot) == []
    await bot.send_message(group.id, "hello")
    alice.say(group, "/due")
    assert await seen(bot) == ["/due"]


async def test_bot_admins_and_bots_without_privacy_see_everything(server, bot) -> None:
    alice = server.add_user("Alice")
    group = server.add_group("Bench", creator=alice, bot="administrator")
    alice.say(group, "good morning")
    assert await seen(bot) == ["good morning"]
    async with BotApiServer(privacy=False) as open_server:
        ben = open_server.add_user("Ben")
        ben.say(open_server.add_group("Bench", creator=ben), "good morning")
        assert len(open_server.updates.pending) == 1


async def test_mentions_come_through_only_if_set() -> None:
    async with BotApiServer(privacy_mentions=True) as server:
        alice = server.add_user("Alice")
        group = server.add_group("Bench", creator=alice)
        alice.say(group, "good morning")
        alice.say(group, "@traywarden_test_bot due")
        assert len(server.updates.pending) == 1


async def test_presses_are_seen_whatever_the_privacy(server, bot) -> None:
    alice = server.add_user("Alice")
    group = server.add_group("Bench", creator=alice)
    done = InlineKeyboardMarkup([[InlineKeyboardButton("Done", callback_data="d")]])
    await bot.send_message(group.id, "a", reply_markup=done)
    alice.press(server.transcript[-1], "Done")
    (update,) = await bot.get_updates()
    assert update.callback_query.message.chat.id == group.id


async def test_being_added_and_thrown_out_is_told(server, bot) -> None:
    alice = server.add_user("Alice")
    group = server.add_group("Bench", creator=alice, bot="left")
    with pytest.raises(Forbidden, match="not a member of the group chat"):
        await bot.send_message(group.id, "a")
    alice.add_bot(group)
    added, service = await bot.get_updates()
    assert added.my_chat_member.old_chat_member.status == "left"
    assert added.my_chat_member.new_chat_member.status == "member"
    assert added.my_chat_member.from_user.id == alice.id
    assert service.message.new_chat_members[0].id == bot.id
    alice.promote_bot(group)
    alice.kick_bot(group)
    promoted, kicked = await bot.get_updates(offset=service.update_id + 1)
    assert promoted.my_chat_member.new_chat_member.status == "administrator"
    assert kicked.my_chat_member.new_chat_member.status == "kicked"
    with pytest.raises(Forbidden, match="kicked from the group chat"):
        await bot.send_message(group.id, "a")
    alice.say(group, "/due@traywarden_test_bot")
    assert await bot.get_updates(offset=kicked.update_id + 1) == ()


async def test_the_bot_can_leave_and_be_denied_speech(server, bot) -> None:
    alice = server.add_user("Alice")
    group = server.add_group("Bench", creator=alice, supergroup=True)
    group.can_send = False
    with pytest.raises(BadRequest, match=r"(?i)not enough rights"):
        await bot.send_message(group.id, "a")
    await bot.leave_chat(group.id)
    with pytest.raises(Forbidden, match="not a member of the supergroup chat"):
        await bot.send_message(group.id, "a")


async def test_a_group_moves_to_a_supergroup_with_both_signals(server, bot) -> None:
    alice = server.add_user("Alice")
    group = server.add_group("Bench", creator=alice)
    new = server.migrate(group)
    with pytest.raises(ChatMigrated) as moved:
        await bot.send_message(group.id, "a")
    assert moved.value.new_chat_id == new.id
    old_notice, new_notice = await bot.get_updates()
    assert (old_notice.message.chat.id, old_notice.message.migrate_to_chat_id) == (
        group.id,
        new.id,
    )
    assert (new_notice.message.chat.id, new_notice.message.migrate_from_chat_id) == (
        new.id,
        group.id,
    )
    sent = await bot.send_message(new.id, "a")
    assert sent.chat.type == "supergroup"
    with pytest.raises(ValueError, match="has become a supergroup"):
        alice.say(group, "a")


async def test_a_silent_migration_shows_only_in_the_refusal(server, bot) -> None:
    group = server.add_group("Bench", creator=server.add_user("Alice"))
    server.migrate(group, announce=False)
    assert await bot.get_updates() == ()
    with pytest.raises(ChatMigrated):
        await bot.send_message(group.id, "a")


async def test_topics_keep_messages_apart_and_vanish_when_deleted(server, bot) -> None:
    alice = server.add_user("Alice")
    forum = server.add_group("Garden", creator=alice, forum=True)
    topic = server.add_topic(forum, "Seedlings", by=alice)
    (opened,) = await bot.get_updates()
    assert opened.message.forum_topic_created.name == "Seedlings"
    assert opened.message.message_thread_id == topic.id
    sent = await bot.send_message(forum.id, "a", message_thread_id=topic.id)
    assert (sent.message_thread_id, sent.is_topic_message) == (topic.id, True)
    alice.say(forum, "/due", topic=topic.id)
    (update,) = await bot.get_updates(offset=opened.update_id + 1)
    assert update.message.message_thread_id == topic.id
    topic.closed = True
    with pytest.raises(BadRequest, match=r"(?i)topic_closed"):
        await bot.send_message(forum.id, "a", message_thread_id=topic.id)
    server.delete_topic(forum, topic)
    for thread in (topic.id, 1, 999):
        with pytest.raises(BadRequest, match=r"(?i)message thread not found"):
            await bot.send_message(forum.id, "a", message_thread_id=thread)
    assert (await bot.send_message(forum.id, "a")).message_thread_id is None


async def test_a_thread_outside_a_forum_is_not_found(server, bot) -> None:
    group = server.add_group("Bench", creator=server.add_user("Alice"), supergroup=True)
    with pytest.raises(BadRequest, match=r"(?i)message thread not found"):
        await bot.send_message(group.id, "a", message_thread_id=2)


async def test_a_reply_needs_its_message(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    hers = alice.say(alice.private, "a")
    sent = await bot.send_message(alice.id, "b", reply_to_message_id=hers.id)
    assert sent.reply_to_message.text == "a"
    assert server.transcript[-1].reply_to == hers.id
    with pytest.raises(BadRequest, match=r"(?i)message to be replied not found"):
        await bot.send_message(alice.id, "b", reply_to_message_id=999)
    await bot.send_message(alice.id, "b", reply_to_message_id=999, allow_sending_without_reply=True)
    assert server.transcript[-1].reply_to is None


async def test_anonymous_admins_speak_as_the_group(server, bot) -> None:
    alice, ben = server.add_user("Alice"), server.add_user("Ben")
    group = server.add_group("Bench", creator=alice, members=[ben], supergroup=True)
    alice.say(group, "/due", anonymous=True)
    (update,) = await bot.get_updates()
    assert update.message.from_user.username == "GroupAnonymousBot"
    assert update.message.sender_chat.id == group.id
    with pytest.raises(ValueError, match="only admins"):
        ben.say(group, "/due", anonymous=True)


async def test_channels_post_forward_and_speak_in_groups(server, bot) -> None:
    alice = server.add_user("Alice")
    channel = server.add_channel("Bench news", creator=alice)
    group = server.add_group("Bench", creator=alice, supergroup=True, bot="administrator")
    post = server.post(channel, "Trays are in")
    server.forward_post(post, group)
    server.say_as_channel(channel, group, "/due")
    posted, forwarded, spoken = await bot.get_updates()
    assert posted.channel_post.sender_chat.id == channel.id
    assert posted.channel_post.from_user is None
    assert forwarded.message.is_automatic_forward
    assert forwarded.message.forward_origin.chat.id == channel.id
    assert spoken.message.from_user.username == "Channel_Bot"
    assert spoken.message.sender_chat.id == channel.id
    assert (await bot.send_message(channel.id, "a")).from_user is None


async def test_edits_are_told_as_edits(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    message = alice.say(alice.private, "/up T1 3")
    alice.edit(message, "/up T1 4")
    first, second = await bot.get_updates()
    assert second.edited_message.text == "/up T1 4"
    assert second.edited_message.message_id == first.message.message_id
    assert second.edited_message.edit_date is not None
    assert first.message.text == "/up T1 3"


async def test_members_and_admins_are_listed(server, bot) -> None:
    alice, ben, cy = (server.add_user(name) for name in ("Alice", "Ben", "Cy"))
    group = server.add_group("Bench", creator=alice, members=[ben], bot="administrator")
    assert (await bot.get_chat_member(group.id, alice.id)).status == "creator"
    assert (await bot.get_chat_member(group.id, ben.id)).status == "member"
    assert (await bot.get_chat_member(group.id, cy.id)).status == "left"
    admins = await bot.get_chat_administrators(group.id)
    assert {admin.user.id for admin in admins} == {alice.id, bot.id}
    assert await bot.get_chat_member_count(group.id) == 3
    assert (await bot.get_chat(group.id)).title == "Bench"
    with pytest.raises(BadRequest, match=r"(?i)participant_id_invalid"):
        await bot.get_chat_member(group.id, 42)


async def test_supergroups_count_messages_by_themselves(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    groups = [server.add_group(str(n), creator=alice, supergroup=True) for n in (1, 2)]
    ids = [(await bot.send_message(group.id, "a")).message_id for group in groups]
    assert ids == [2, 2]


async def test_command_menus_are_kept_by_scope_and_language(server, bot) -> None:
    await bot.set_my_commands([("due", "What is due")])
    await bot.set_my_commands(
        [("due", "Fällig")], scope=BotCommandScopeAllGroupChats(), language_code="de"
    )
    assert [c.description for c in await bot.get_my_commands()] == ["What is due"]
    in_groups = await bot.get_my_commands(BotCommandScopeAllGroupChats(), "de")
    assert [c.description for c in in_groups] == ["Fällig"]
    await bot.delete_my_commands()
    assert await bot.get_my_commands() == ()
    for command, complaint in ((("Due!", "x"), "command_invalid"), (("due", ""), "description")):
        with pytest.raises(BadRequest, match=f"(?i){complaint}"):
            await bot.set_my_commands([command])


async def test_the_profile_is_kept_by_language(server, bot) -> None:
    await bot.set_my_description("Watches trays")
    assert (await bot.get_my_description("fr")).description == "Watches trays"
    await bot.set_my_short_description("Trays")
    assert (await bot.get_my_short_description()).short_description == "Trays"
    await bot.set_my_name("Warden")
    assert (await bot.get_my_name()).name == "Warden"
    with pytest.raises(BadRequest, match=r"(?i)short_description is too long"):
        await bot.set_my_short_description("a" * 121)


async def test_chat_actions_are_of_known_kinds(server, bot) -> None:
    alice = server.add_user("Alice", started=True)
    assert await bot.send_chat_action(alice.id, "typing")
    with pytest.raises(BadRequest):
        await bot.send_chat_action(alice.id, "watering")
