"""First words, and the questions of the first minute."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.pieces.buttons import Row, due_button, help_button, set_up_button
from bot.wording.pieces.help import help_shown
from bot.wording.replies.site import place_text, step_name
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as q
from core.replies import start as r

SIZES = (18, 32, 36, 50, 72, 98, 128)


def introduced(reply: r.Introduced, voice: Voice) -> Message:
    """Three lines and two buttons."""
    lines = [
        voice.say(
            "Hello! I look after seedling trays with you: who sows what, when it should show, "
            "what is thirsty, when to plant out."
        ),
        voice.say(
            "Tell me what happened in a few words, such as /sow tomato T1 A1-B3 or /watered T1, "
            "and I keep count and remind."
        ),
        voice.say(
            "Setting up takes a few minutes; every question can be skipped. "
            "I keep names and reports, nothing else you say."
        ),
    ]
    return Message(text="\n".join(lines), rows=((set_up_button(voice), help_button(voice)),))


def welcomed(reply: r.Welcomed, voice: Voice) -> Message:
    """A member met again: where they belong, what waits, what to say."""
    groups = voice.listed(reply.groups)
    lines = [
        voice.say("Hello again. You belong to {groups}.", groups=groups)
        if reply.private
        else voice.say("Hello again from {groups}.", groups=groups)
    ]
    rows: list[Row] = []
    if reply.due is None:
        lines.append(voice.say("Say which one your messages here are about: /me"))
    elif reply.due:
        lines.append(voice.say_n("{n} thing is due.", "{n} things are due.", reply.due))
        if reply.private and reply.mine:
            lines.append(voice.say_n("{n} is on your trays.", "{n} are on your trays.", reply.mine))
    else:
        lines.append(voice.say("Nothing is due today."))
    lines.append(
        voice.say("Report in a few words (watered T1, 12 tomatoes up), or ask: why are they leggy?")
        if reply.private
        else voice.say("Report in a few words: /watered T1, /up 12 tomato")
    )
    first = (due_button(voice),) if reply.due is not None else ()
    rows.append((*first, help_button(voice)))
    if reply.to_set_up:
        lines.append(
            voice.say(
                "Not set up yet: {steps}.",
                steps=voice.listed(step_name(voice, step) for step in reply.to_set_up),
            )
        )
        rows.append((set_up_button(voice),))
    return Message(text="\n".join(lines), rows=tuple(rows))


def stranger_met(reply: r.StrangerMet, voice: Voice) -> Message:
    """How to get in."""
    return Message(
        text="\n".join(
            (
                voice.say(
                    "Hello! I look after seedling trays for groups, and you are in none yet."
                ),
                voice.say(
                    "Does your group use me already? Say something to me there once "
                    "(/due will do), then come back."
                ),
                voice.say("Starting afresh? Add me to your group chat, and I ask the rest there."),
                *((into_group(voice.bot_name),) if voice.bot_name else ()),
            )
        ),
        rows=((help_button(voice),),),
    )


def into_group(bot_name: str) -> str:
    """Return the link that offers one's groups, to add the bot to one of them."""
    return f"https://t.me/{bot_name}?startgroup=here"


def paused(reply: r.SetUpPaused, voice: Voice) -> Message:
    """The set-up waits."""
    if not reply.left:
        return Message(text=voice.say("Everything is set up. See it with /site"))
    return Message(
        text=voice.say(
            "Later, then. Not set up yet: {steps}. Go on whenever you like with /start",
            steps=voice.listed(step_name(voice, step) for step in reply.left),
        ),
        rows=((set_up_button(voice),),),
    )


def frost_explained(reply: r.FrostExplained, voice: Voice) -> Message:
    """How to find the dates; the step stays open."""
    return Message(
        text="\n".join(
            (
                voice.say("No matter: last frost stays open, and nothing else waits for it."),
                voice.say(
                    "Ask your national weather service or agricultural advisory service for the "
                    "last spring frost (0 °C, 32 °F) at the station nearest you: the dates with a "
                    "50 % and a 10 % chance of a later frost, or a file of daily minima."
                ),
                voice.say(
                    "Then say /frost 28 April, or /frost 50% 28 Apr 10% 15 May, or send me the "
                    "file with the word frost."
                ),
            )
        )
    )


def question(reply: r.SetUpQuestion, voice: Voice) -> Message:
    """One question with its buttons; Skip and Later always."""
    text, rows = _asked(reply, voice)
    head = voice.say("{number} of {of}.", number=reply.number, of=reply.of)
    return Message(
        text=f"{head} {text}",
        rows=(
            *rows,
            (
                Button(voice.say("Skip"), q.Start(payload=f"skip-{reply.step}")),
                Button(voice.say("Later"), q.Start(payload="later")),
            ),
        ),
    )


def _asked(reply: r.SetUpQuestion, voice: Voice) -> tuple[str, tuple[Row, ...]]:
    match reply.step:
        case "place":
            return _typed(
                voice,
                voice.say("Where are the trays? Type the town, for instance: Chicago"),
                "/site place Chicago",
            ), ()
        case "zone":
            return _zone(reply, voice)
        case "units":
            return voice.say("Which units?"), (
                (
                    Button(voice.say("°C and cm"), q.SetSite(fahrenheit=False, inches=False)),
                    Button(voice.say("°F and inches"), q.SetSite(fahrenheit=True, inches=True)),
                ),
            )
        case "language":
            return voice.say("Which language in this group? In private each has their own."), (
                (
                    Button("English", q.SetSite(language="en")),
                    Button("Español", q.SetSite(language="es")),
                ),
            )
        case "frost":
            return _typed(
                voice,
                voice.say("When is your usual last frost? Type a date, for instance: 28 April"),
                "/frost 28 April",
            ), ((Button(voice.say("I don't know yet"), q.Start(payload="frost-unknown")),),)
        case "shelf":
            return _shelf(reply, voice)
        case _:
            return _tray(reply, voice)


def _typed(voice: Voice, text: str, command: str) -> str:
    """In a group only replies and commands reach the bot: say so."""
    if voice.private:
        return text
    return voice.say(
        "{question} (reply to this message, or say {command})", question=text, command=command
    )


def _zone(reply: r.SetUpQuestion, voice: Voice) -> tuple[str, tuple[Row, ...]]:
    if reply.place is None:
        return _typed(
            voice,
            voice.say("Which time zone? Type it, for instance: Europe/Madrid"),
            "/site zone Europe/Madrid",
        ), ()
    assert reply.local_time is not None
    time = voice.clock(reply.local_time)
    text = voice.say(
        "In {place} it should be {time} now ({zone}). Right? If not, type the zone.",
        place=place_text(voice, reply.place),
        time=time,
        zone=reply.zone,
    )
    yes = Button(voice.say("Yes, it is {time}", time=time), q.SetSite(zone=reply.zone))
    return text, ((yes,),)


def _shelf(reply: r.SetUpQuestion, voice: Voice) -> tuple[str, tuple[Row, ...]]:
    text = _typed(
        voice,
        voice.say(
            "Your first shelf, called {code}: what light is over it? "
            "You can type more, for instance: led 2 tubes {height} 6:00-20:00 4 places",
            code=reply.code,
            height="4in" if voice.inches else "10cm",
        ),
        f"/shelf {reply.code} led",
    )

    def shelf(lamp: str) -> q.SetShelf:
        return q.SetShelf(code=reply.code, lamp=lamp)

    return text, (
        (
            Button(voice.say("LED lamps"), shelf("white_led")),
            Button(voice.say("Tubes"), shelf("cool_white_fluorescent")),
            Button(voice.say("Window, no lamp"), shelf("window")),
        ),
    )


def _tray(reply: r.SetUpQuestion, voice: Voice) -> tuple[str, tuple[Row, ...]]:
    text = _typed(
        voice,
        voice.say(
            "Your first tray, called {code}: how many cells? "
            "For another size type rows x columns, such as 6x12.",
            code=reply.code,
        ),
        f"/tray {reply.code} 6x12",
    )
    buttons = [
        Button(
            voice.say("{n} cells", n=cells),
            q.SetTray(codes=(reply.code,), cells=cells, shelf=reply.shelf),
        )
        for cells in SIZES
    ]
    return text, (tuple(buttons[:4]), tuple(buttons[4:]))


def done(reply: r.SetUpDone, voice: Voice) -> Message:
    """All asked: what to do first."""
    lines = [voice.say("That is all. You can change everything later: /site shows it.")]
    if reply.left:
        lines.append(
            voice.say(
                "Left for later: {steps}.",
                steps=voice.listed(step_name(voice, step) for step in reply.left),
            )
        )
    if reply.tray is not None:
        lines.append(
            voice.say(
                "Now sow something: /sow tomato {tray} A1-B3. Or see dates first: /when tomato",
                tray=reply.tray,
            )
        )
    lines.append(
        voice.say("Who waters when: /duty Ana mon wed. Members join by saying anything to me here.")
    )
    return Message(text="\n".join(lines), rows=((help_button(voice),),))


WORDS: Words = {
    r.Introduced: introduced,
    r.Welcomed: welcomed,
    r.StrangerMet: stranger_met,
    r.SetUpPaused: paused,
    r.FrostExplained: frost_explained,
    r.SetUpQuestion: question,
    r.SetUpDone: done,
    r.HelpShown: help_shown,
}
