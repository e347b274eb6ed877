"""Members, one's own settings, export, and being forgotten."""

from __future__ import annotations

from dataclasses import replace

from bot.message import Attachment, Button, Message
from bot.wording.pieces.cautions import caution_lines
from bot.wording.replies.site import language_name
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import requests as q
from core.replies import people as r

ZIP_NAME = "tray-records.zip"


def members_listed(reply: r.MembersListed, voice: Voice) -> Message:
    """Everybody, coordinators marked."""
    lines = [voice.say_n("{n} member:", "{n} members:", len(reply.members))]
    for member in reply.members:
        if member.coordinator:
            lines.append(voice.say("{name} (coordinator)", name=member.name))
        else:
            lines.append(member.name)
    lines.append(
        voice.say('To change: /member Ana coordinator, /member Ana name "Ana P", /member Ana out')
    )
    return Message(text="\n".join(lines))


def member_said(reply: r.MemberSaid, voice: Voice) -> Message:
    """One member as they stand."""
    member = reply.member
    lines: list[str] = []
    if reply.was is not None:
        lines.append(voice.say("{was} is now called {name}.", was=reply.was, name=member.name))
    if "added" in reply.changed:
        lines.append(
            voice.say("{name} is on the list, for duties and reports. When {name} speaks here, I "
                      "know who it is.", name=member.name)
        )  # fmt: skip
    if "coordinator" in reply.changed or not reply.changed:
        if member.coordinator:
            lines.append(
                voice.say("{name} is a coordinator and may set things up.", name=member.name)
            )
        elif reply.changed:
            lines.append(voice.say("{name} is no longer a coordinator.", name=member.name))
        else:
            lines.append(voice.say("{name} is a member.", name=member.name))
    if not lines:
        lines.append(voice.say("{name}: nothing to change.", name=member.name))
    lines += caution_lines(voice, reply.cautions)
    return Message(text="\n".join(lines))


def member_removed(reply: r.MemberRemoved, voice: Voice) -> Message:
    """A member was taken out."""
    lines = [
        voice.say("{name} is out of the group here. What they reported stays.", name=reply.name)
    ]
    if reply.duties:
        lines.append(
            voice.say_n(
                "{n} duty ended with it: see /duty", "{n} duties ended with it: see /duty",
                reply.duties,
            )
        )  # fmt: skip
    lines.append(
        voice.say("Whoever speaks to me in the group chat is a member again: take them out of "
                  "the chat too.")
    )  # fmt: skip
    return Message(text="\n".join(lines))


def me_said(reply: r.MeSaid, voice: Voice) -> Message:
    """What was set in one line, or all of it."""
    if voice.private:
        voice = replace(
            voice,
            language=reply.language or voice.language,
            fahrenheit=voice.fahrenheit if reply.fahrenheit is None else reply.fahrenheit,
            inches=voice.inches if reply.inches is None else reply.inches,
        )
    parts = reply.changed or (
        "name",
        "language",
        "units",
        "reminders",
        "hour",
        "quiet",
        "thanks",
        "group",
    )
    lines = [line for part in parts if (line := _line(reply, voice, part))]
    if not reply.changed:
        lines.append(
            voice.say(
                "To change: /me name Ana, /me celsius, /me language es, /me reminders off, "
                "/me quiet 21:00-7:00"
            )
        )
        lines.append(voice.say("Your data: /export gives it, /forgetme takes you out."))
    elif "language" in reply.changed or "units" in reply.changed:
        if not voice.private:
            lines.append(voice.say("In private, that is; the group keeps its own."))
    lines += caution_lines(voice, reply.cautions)
    rows: tuple[tuple[Button, ...], ...] = ()
    if len(reply.groups) > 1 and voice.private and "group" in parts:
        rows = tuple(
            (Button(voice.say("About {group}", group=name), q.Me(group=group)),)
            for group, name, _ in reply.groups
            if group != reply.about
        )
    return Message(text="\n".join(lines), rows=rows)


def _own(chosen: bool | None, usual: bool) -> bool:
    """Return what a person chose for themselves, else what is spoken here."""
    return usual if chosen is None else chosen


def _line(reply: r.MeSaid, voice: Voice, part: str) -> str:
    match part:
        case "name":
            return voice.say("You are called {name} here.", name=_own_name(reply))
        case "language":
            if reply.language is None:
                return voice.say("Language: the group's.")
            return voice.say("Language: {language}.", language=language_name(reply.language))
        case "units":
            if reply.fahrenheit is None and reply.inches is None:
                return voice.say("Units: the group's.")
            return voice.say(
                "Units: {temperature} and {length}.",
                temperature="°F" if _own(reply.fahrenheit, voice.fahrenheit) else "°C",
                length=voice.say("inches") if _own(reply.inches, voice.inches) else voice.say("cm"),
            )
        case "reminders":
            if reply.reminders:
                return voice.say("Reminders to you: on.")
            return voice.say("Reminders to you: off. The group's own list still comes.")
        case "hour":
            if reply.remind_at is None:
                return ""
            return voice.say("Your list comes at {time}.", time=voice.clock(reply.remind_at))
        case "thanks":
            if reply.thanks:
                return voice.say(
                    "Your name stands among the thanks of the printed report. Not so: "
                    "/me thanks off"
                )
            if "thanks" not in reply.changed:
                return ""
            return voice.say("Your name stands on no printed report.")
        case "quiet":
            if reply.quiet_from is None or reply.quiet_to is None:
                if reply.quiet_from is None and reply.quiet_to is None:
                    return voice.say("Quiet hours: the group's.")
                at = reply.quiet_from or reply.quiet_to
                assert at is not None
                return voice.say(
                    "Quiet hours: half set ({time}); say both, such as /me quiet 21:00-7:00",
                    time=voice.clock(at),
                )
            return voice.say(
                "Quiet hours: {start} to {end}.",
                start=voice.clock(reply.quiet_from),
                end=voice.clock(reply.quiet_to),
            )
        case _:
            return _about(reply, voice)


def _own_name(reply: r.MeSaid) -> str:
    for group, _, name in reply.groups:
        if group == reply.about:
            return name
    return reply.groups[0][2] if reply.groups else reply.name


def _about(reply: r.MeSaid, voice: Voice) -> str:
    if not reply.groups:
        return voice.say("You belong to no group yet.")
    names = {group: name for group, name, _ in reply.groups}
    if reply.about in names:
        return voice.say("Private messages are about {group}.", group=names[reply.about])
    return voice.say(
        "You belong to {groups}. Which one are private messages about?",
        groups=voice.listed(names.values()),
    )


def forget_asked(reply: r.ForgetAsked, voice: Voice) -> Message:
    """What would go and what would stay, with the button that does it."""
    lines = [voice.say("Forget you? Your name, account and settings go, and your duties end.")]
    if reply.reports:
        lines.append(
            voice.say_n(
                "{n} report of yours stays without a name, so that the counts hold.",
                "{n} reports of yours stay without a name, so that the counts hold.",
                reply.reports,
            )
        )
    lines.append(
        voice.say("It cannot be undone. Want the records first? /export (in private with me)")
    )
    if not voice.private:  # a button here could be pressed by somebody else
        lines.append(voice.say("If you are sure: /forgetme sure"))
        return Message(text="\n".join(lines))
    return Message(
        text="\n".join(lines),
        rows=((Button(voice.say("Yes, forget me"), q.ForgetMe(sure=True)),),),
    )


def group_end_asked(reply: r.GroupEndAsked, voice: Voice) -> Message:
    """What would go, the records first, and the button that deletes."""
    held = voice.listed(
        (
            voice.say_n("{n} member", "{n} members", reply.members),
            voice.say_n("{n} sowing", "{n} sowings", reply.sowings),
            voice.say_n("{n} report", "{n} reports", reply.reports),
        )
    )
    lines = [
        voice.say("Delete {group} with everything in it: {held}?", group=reply.group, held=held),
        voice.say(
            "It cannot be undone. Take the records out first: write /export to me in private."
        ),
    ]
    delete = Button(voice.say("Yes, delete all of it"), q.EndGroup(sure=True))
    keep = Button(voice.say("No, keep it"), q.Nothing())
    return Message(text="\n".join(lines), rows=((keep,), (delete,)))


def group_ended(reply: r.GroupEnded, voice: Voice) -> Message:
    """Done, and how to begin anew."""
    return Message(
        text=voice.say(
            "This group and all its records are deleted. Copies you took out, and backups of the "
            "one who runs me, are theirs to delete. To begin anew: /start"
        )
    )


def forgotten(reply: r.Forgotten, voice: Voice) -> Message:
    """Done."""
    lines = [voice.say("You are forgotten: name, account and settings are out of the records.")]
    if reply.reports:
        lines.append(
            voice.say_n(
                "{n} report stays under “former member”.",
                "{n} reports stay under “former member”.",
                reply.reports,
            )
        )
    lines.append(
        voice.say("Notes that others wrote stay as they are. Should you speak to me again, "
                  "you begin afresh.")
    )  # fmt: skip
    return Message(text="\n".join(lines))


def exported(reply: r.Exported, voice: Voice) -> Message:
    """The files, with what they hold."""
    said = (
        voice.say("Your own records in {group}", group=reply.group)
        if reply.own
        else voice.say("All records of {group}", group=reply.group)
    )
    held = voice.listed(
        (
            voice.say_n("{n} sowing", "{n} sowings", reply.sowings),
            voice.say_n("{n} report", "{n} reports", reply.reports),
        )
    )
    lines = [
        voice.say("{what}: {held}.", what=said, held=held),
        voice.say(
            "Sowings, reports, readings and results as CSV for a spreadsheet; "
            "README.txt names columns and units. They hold names: mind whom you pass them to."
        ),
    ]
    return Message(
        text="\n".join(lines),
        attachments=(
            Attachment(
                what="export",
                name=ZIP_NAME,
                values={
                    "group_id": reply.group_id,
                    "member_id": reply.member_id,
                    "language": voice.language,
                },
                picture=False,
            ),
        ),
    )


def export_in_private(reply: r.ExportInPrivate, voice: Voice) -> Message:
    """Not in the group."""
    return Message(text=voice.say("The files hold names: ask me in private with /export"))


WORDS: Words = {
    r.MembersListed: members_listed,
    r.MemberSaid: member_said,
    r.MemberRemoved: member_removed,
    r.MeSaid: me_said,
    r.ForgetAsked: forget_asked,
    r.GroupEndAsked: group_end_asked,
    r.GroupEnded: group_ended,
    r.Forgotten: forgotten,
    r.Exported: exported,
    r.ExportInPrivate: export_in_private,
}
