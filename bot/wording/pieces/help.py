"""How to say things: one line for each command, examples from the command table."""

from __future__ import annotations

from bot.grammar.commands import COMMANDS, Command, command_of
from bot.grammar.spanish import words_of
from bot.message import Button, Message
from bot.wording.voice import Voice
from core import requests as q
from core.replies.start import HelpShown


def N_(phrase: str) -> str:
    """Mark a phrase for the catalogue; it is translated where it is said."""
    return phrase


SECTIONS: dict[str, str] = {
    "report": N_("Report what happened"),
    "look": N_("Look"),
    "ask": N_("Ask"),
    "plan": N_("Plan"),
    "share": N_("Share out"),
    "own": N_("For yourself"),
    "set up": N_("Set up"),
}

TEXTS: dict[str, str] = {
    # set up
    "start": N_("Begin, or go on with the set-up."),
    "site": N_("Place, time zone, units, language, quiet hours and hour of the daily round."),
    "frost": N_("Last and first frost dates here, or a file of daily minima."),
    "shelf": N_("A shelf: its lamp, height over the plants, hours, places, heat mat."),
    "tray": N_("Show a tray; or add trays by size, move them to a shelf, retire one."),
    "lot": N_("A packet of seed: crop, variety, year, and a germination test such as 9 of 10."),
    "duty": N_("Who looks after which trays on which days."),
    "away": N_("Days you are away."),
    "rehearse": N_("The coming weeks played: who would get which messages, and who is missing."),
    "pause": N_("No reminders for a while: of the group, a tray or a person."),
    "remind": N_("Somebody is reminded on a day of what you say."),
    "resume": N_("Reminders go on after a pause."),
    "closed": N_("Days nobody can get in; a calendar file (.ics) works too."),
    "member": N_("Who belongs to the group; rename, make a coordinator, take out."),
    # plan
    "when": N_("When to sow, pot up, harden off and plant out a crop here."),
    "howmany": N_("Seeds and cells for a number of plants."),
    "plan": N_("Crops and numbers in, sowing dates and trays out."),
    "season": N_("The season as a picture."),
    "calendar": N_("The plan and the duties as a calendar file."),
    # report
    "sow": N_("Seed went into cells."),
    "up": N_("How many seedlings show so far."),
    "watered": N_("Trays were watered; without a tray: all that are due."),
    "moist": N_("How the mix looks and feels: dry, right or wet."),
    "temp": N_("A temperature: of the mix, the air, last night's low, tonight's forecast."),
    "light": N_("A light reading, lamp hours, or the lamp's height."),
    "thinned": N_("Seedlings were thinned."),
    "potted": N_("Seedlings were pricked out or potted up."),
    "move": N_("A sowing stands in another tray, or a tray on another shelf."),
    "fed": N_("Trays were fed."),
    "out": N_("Plants stood outside to harden off."),
    "harden": N_("Hardening off begins: the daily hours outside are planned from now."),
    "planted": N_("Plants were planted out, or handed out."),
    "lost": N_("Plants died, and of what."),
    "note": N_("Anything else worth remembering."),
    "undo": N_("Take a report back; the last five are listed."),
    # look
    "due": N_("What is due today."),
    "trays": N_("Every tray in a line."),
    "shelves": N_("All shelves, or their space week by week."),
    "curve": N_("How a sowing came up, day by day."),
    "report": N_("What worked: germination by lot, place and way of sowing."),
    "compare": N_("Two sowings, lots or trays held against each other."),
    "crop": N_("What the crop table says."),
    "break": N_("What each tray needs to last over a closure, and what to check after it."),
    # ask
    "ask": N_("Trouble in plain words: likely causes, what to check, what to do."),
    # share out
    "wish": N_("What you would like to take home."),
    "share": N_("Wishes against what is alive, shared by the stated rule."),
    "labels": N_("Labels to print: stakes, tray cards, or adhesive sheets."),
    "sheet": N_("A sheet for the wall: the fortnight, a sowing session, the rota, the season."),
    "tags": N_("Tags to take home, with a care card in the family's language."),
    # own
    "swap": N_("Offer a duty day of yours to the others."),
    "me": N_("Your name, language, units, reminders and quiet hours."),
    "export": N_("The records as files for a spreadsheet."),
    "import": N_("Records from a file: an export, or a table of sowings and counts."),
    "endgroup": N_("Delete this group with all its records."),
    "forgetme": N_("Take your name and account out of the records."),
    "help": N_("This list, or one command: /help sow"),
}
"""One line for each command of the table that is not a button's."""

COORDINATORS = N_("For coordinators.")


def help_line(voice: Voice, word: str) -> str:
    """Return what a command is for; raise KeyError for one without a line."""
    return voice.say(TEXTS[word])


def shown_commands(section: str | None = None) -> tuple[Command, ...]:
    """Return the commands that people type, of one section or all, in table order."""
    return tuple(
        command
        for command in COMMANDS
        if command.section != "buttons" and section in (None, command.section)
    )


def help_shown(reply: HelpShown, voice: Voice) -> Message:
    """All commands on one screen, or one of them in full."""
    if reply.topic is None:
        return _all(reply, voice)
    command = command_of(reply.topic.lstrip("/"))
    if command is not None and command.section != "buttons":
        return _one(command, voice)
    section = _section(voice, reply.topic)
    if section is not None:
        return _section_shown(section, voice)
    text = voice.say("There is no command {word}. These are:", word=reply.topic)
    listed = _all(reply, voice)
    return Message(text=f"{text}\n{listed.text}", rows=listed.rows)


def _all(reply: HelpShown, voice: Voice) -> Message:
    lines = [voice.say("Say what happened in a few words; I answer what I recorded.")]
    for section, title in SECTIONS.items():
        words = " ".join(f"/{command.word}" for command in shown_commands(section))
        lines.append(voice.say("{section}: {words}", section=voice.say(title), words=words))
    lines.append(voice.say("More about one: /help sow"))
    if not reply.private:
        lines.append(
            voice.say("In private with me the same works without the slash: watered T1 T2")
        )
    row = tuple(
        Button(voice.say("How: {word}", word=word), q.Help(topic=word))
        for word in ("sow", "up", "watered", "ask")
    )
    return Message(text="\n".join(lines), rows=(row,))


def _one(command: Command, voice: Voice) -> Message:
    first = f"/{command.word}: {help_line(voice, command.word)}"
    if command.who == "coordinators":
        first += " " + voice.say(COORDINATORS)
    lines = [first, voice.say("For instance:")]
    lines += [f"  {example}" for example in command.examples]
    others = [word for word in command.other_words if word.isascii()][:6]
    if voice.language == "es":
        others = list(words_of(command)[:6])
    if others:
        lines.append(voice.say("Also understood: {words}", words=", ".join(others)))
    return Message(text="\n".join(lines))


def _section(voice: Voice, topic: str) -> str | None:
    wanted = topic.casefold()
    for section, title in SECTIONS.items():
        if wanted in (section, title.casefold(), voice.say(title).casefold()):
            return section
    return None


def _section_shown(section: str, voice: Voice) -> Message:
    lines = [voice.say("{section}:", section=voice.say(SECTIONS[section]))]
    lines += [
        f"/{command.word}  {help_line(voice, command.word)}" for command in shown_commands(section)
    ]
    return Message(text="\n".join(lines))
