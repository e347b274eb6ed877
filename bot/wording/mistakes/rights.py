"""Mistakes about who speaks and where: groups, members, rights, old buttons."""

from __future__ import annotations

from bot.message import Button, Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core import errors as e
from core.requests import Me


def _no_group(error: e.NoGroupHere, voice: Voice) -> Message:
    if voice.private:
        return Message(
            text=voice.say(
                "No group of yours is known here yet. Add me to your group's chat and say "
                "/start there."
            )
        )
    return Message(text=voice.say("This chat is not set up yet. Try: /start"))


def _which_group(error: e.WhichGroup, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "Which group is this about: {groups}? Pick one, then say it again.",
            groups=voice.listed([name for _, name in error.groups], style="or"),
        ),
        rows=tuple((Button(name, Me(group=number)),) for number, name in error.groups[:8]),
    )


def _button_old(error: e.ButtonOld, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "That button has had its time: they work for eight days. See what is due: /due"
        )
    )


def _rights_unknown(error: e.RightsUnknown, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "I cannot ask at the moment who runs this chat, so nothing was changed. "
            "Try again in a minute."
        )
    )


def _not_member(error: e.NotMember, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "Only members of this group see and change its records. "
            "To join, write a line in the group's chat, such as: /due"
        )
    )


def _coordinators(error: e.CoordinatorsOnly, voice: Voice) -> Message:
    if error.coordinators:
        return Message(
            text=voice.say(
                "Only coordinators change the set-up; nothing was changed. Ask {names}.",
                names=voice.listed(error.coordinators, style="or"),
            )
        )
    return Message(
        text=voice.say(
            "Only coordinators change the set-up; nothing was changed. "
            "Without figures it shows what stands, such as: /site"
        )
    )


def _who(error: e.WhoAreYou, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "This came without a name (an anonymous admin or a channel), so it cannot be put "
            "down to anybody. Send it once more as yourself."
        )
    )


WORDS: Words = {
    e.NoGroupHere: _no_group,
    e.WhichGroup: _which_group,
    e.NotMember: _not_member,
    e.ButtonOld: _button_old,
    e.RightsUnknown: _rights_unknown,
    e.CoordinatorsOnly: _coordinators,
    e.WhoAreYou: _who,
}
