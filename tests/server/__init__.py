"""A local Bot API server for tests: written from the public contract, strict, on loopback.

In the test's own process
-------------------------
::

    from tests.server import BotApiServer

    async with BotApiServer() as server:
        alice = server.add_user("Alice", started=True)
        group = server.add_group("Bench", creator=alice)
        bot = telegram.Bot(server.token, base_url=server.base_url,
                           base_file_url=server.base_file_url)
        alice.say(group, "/up@traywarden_test_bot T1 3")
        reply = (await server.until(lambda: server.by_bot(group)))[-1]
        press = alice.press(reply, "Undo")            # label, callback data or index
        await server.until(lambda: press.answered)

`BotApiServer(token, *, username, first_name, privacy=True, privacy_mentions=False,
paced=False, port=0, first_update_id=100001, clock=time.time, monotonic=time.monotonic)`.
`server.url` is the root (in place of the public address), `server.base_url` and
`server.base_file_url` what python-telegram-bot wants.  `clock` gives Unix seconds for message
dates; `monotonic` seconds for the pace.

Scene (places.py)
    `add_user(first_name, *, id, username, language_code, started=False) -> User`
    `add_group(title, *, creator, members=(), admins=(), bot="member", supergroup=False,
    forum=False, username, id) -> Chat` (no update; `bot="left"` and `alice.add_bot(group)` for
    the updates of being added)
    `add_channel(title, *, creator, bot="administrator") -> Chat`
    `add_topic(chat, name, *, by=None) -> Topic`, `topic.closed = True`,
    `delete_topic(chat, topic)`, `migrate(group, *, announce=True) -> Chat`
    `post(channel, text)`, `say_as_channel(channel, group, text)`,
    `forward_post(post, group)`, `other_bot_says(chat, text)`; `group.can_send = False`

People (people.py); `chat` may be `alice.private`
    `start(payload="")`, `say(chat, text, *, reply_to, topic, anonymous, entities, edit)`,
    `edit(message, text)`, `press(message_or_entry, which) -> Press` (`.answered .text .alert
    .update_id`, `.expire()`), `send_document(chat, data, name, mime, *, caption, reply_to,
    topic)`, `send_photo(chat, data, *, caption, ...)`, `open_private()`, `block()`, `unblock()`,
    `deactivate()`, `add_bot(chat, status="member")`, `promote_bot(chat, status)`,
    `kick_bot(chat)`, `join(chat, status)`, `leave(chat)`.  All but the silent ones return the
    Message (`.id .text .data .buttons`) and queue the update, if the bot gets to see it.

Watching (transcript.py)
    `server.transcript`: list of Entry, people's and the bot's: `seq at method sender chat_id
    thread_id message_id reply_to text entities rows buttons file reply_lost message by_bot`
    `server.by_bot(chat=None, *, since=0) -> list[Entry]`: sends, edits and deletes;
    `server.said_by_bot`: their number
    `await server.until(condition, timeout=5)`: returns the first true value; no sleeping
    `server.calls` (at, method, chat_id, status or 0 if cut, description, fault),
    `server.counts[method, status]`
    `server.updates`: `pending polling polls confirmed given_up forgotten`,
    `inject(update, *, update_id=None, lane=0)` (any shape), `replay(update_id)`
    `server.methods.commands`, `.profile`: menus and descriptions set

Trouble
    `server.faults.next(kind, method=None, *, chat_id, times=1, skip=0, retry_after_s=1,
    hang_s=5)`, `server.faults.fraction(rate, *, kinds, methods, seed, retry_after_s, hang_s)`,
    `server.faults.clear()`, `server.faults.injected`; kinds `500 429 reset_before reset_after
    hang hang_before` and, by `next` only, `page page_502` (faults.py)
    `server.pace` (pace.py): `enabled overall_per_s=30 chat_per_s=1 burst=3 group_per_min=20
    tolerance_s=0.05`, results `refused` (by limit) and `early` (before retry_after ran out).
    Sends count; edits, deletes and answers do not.
    `server.updates.balance[url] = [backend, ...]`: a webhook url served by several processes;
    `server.updates.retry_s`, `.attempts`.  A webhook must be https, or http on loopback.

As a process of its own
-----------------------
`python -m tests.server --port 0 --token T [--username U] [--paced] [--no-privacy]
[--privacy-mentions]` prints `listening at http://127.0.0.1:PORT` and ends on SIGTERM.  Control
by POST of JSON to `/control/NAME` (served in process, too):

    users       {"users": [{"first_name", "id"?, "username"?, "started"?}]} -> {"ids"}
    groups      {"groups": [{"title", "creator", "members"?, "id"?, "forum"?, ...}]} -> {"ids"}
    say         {"messages": [{"user", "text", "chat"? (else private), "reply_to"?, "topic"?}]}
                -> {"message_ids"}
    loop        {"lanes": [{"user", "chat", "texts"}]}: each says its next text once answered
    press       {"user", "chat", "message", "button"} -> {"id", "update_id"}
    transcript  {"since"?: seq, "limit"?, "sender"?: "bot"} -> {"entries", "next"}
    stats       {} -> calls, said, by_bot, pending, polling, refused, early, unanswered, ...
    faults      {"clear"?, "script"?: [{"kind", ...}], "rate"?, "kinds"?, "methods"?, "seed"?, ...}
    pace        {"enabled"?, "burst"?, ...};  block {"user", "undo"?};  migrate {"chat"} -> {"id"}
    inject      {"updates": [{"update": {...}, "update_id"?}]};  replay {"update_ids"}
    balance     {"url", "backends"}

Where it is stricter than the platform, on purpose: unknown parameters and fields, wrong types,
limits out of range and misnested entities are refused.  What it does not serve is refused, too:
Markdown modes, inline messages, business connections, rich and ephemeral messages, cross-chat
replies, media other than photos and documents, and every method outside tables.py.
The client library warns of `retry_after` on any 429 unless PTB_TIMEDELTA=1 is set.
"""

from tests.server.server import BotApiServer

__all__ = ["BotApiServer"]
