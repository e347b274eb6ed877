"""Find the words for a reply: `core/replies/<subject>.py` is worded by `replies/<subject>.py` here.

Each subject module hands out `WORDS`, reply type → function of (reply, voice) → Message. It is
imported when first needed, so that start-up stays short. Tests hold that every reply has words.
"""

from __future__ import annotations

from dataclasses import replace

from bot.message import Message
from bot.wording.voice import Voice
from bot.wording.words import Words
from core.errors import UserError
from core.replies.base import Reply
from core.replies.start import Followed


def speak(reply: Reply, voice: Voice) -> Message:
    """Return the message for a reply."""
    if isinstance(reply, Followed):
        return followed(reply, voice)
    words = words_of(type(reply).__module__.rpartition(".")[2])
    return words[type(reply)](reply, voice)


def followed(reply: Followed, voice: Voice) -> Message:
    """What stands now, and below it the next question, with the question's buttons."""
    if not voice.private:
        voice = replace(
            voice, language=reply.language, fahrenheit=reply.fahrenheit, inches=reply.inches
        )
    said = speak(reply.reply, voice)
    following = speak(reply.following, voice)
    return Message(
        text=f"{said.text}\n{following.text}",
        rows=following.rows,
        attachments=said.attachments,
        mentions=said.mentions,
    )


def words_of(subject: str) -> Words:
    """Return the words of the replies of `core/replies/<subject>.py`."""
    match subject:
        case "amounts":
            from bot.wording.replies import amounts as amounts_words

            return amounts_words.WORDS
        case "base":
            from bot.wording.replies import base as base_words

            return base_words.WORDS
        case "breaks":
            from bot.wording.replies import breaks as breaks_words

            return breaks_words.WORDS
        case "calendar":
            from bot.wording.replies import calendar as calendar_words

            return calendar_words.WORDS
        case "dates":
            from bot.wording.replies import dates as dates_words

            return dates_words.WORDS
        case "rehearsal":
            from bot.wording.replies import rehearsal

            return rehearsal.WORDS
        case "pauses":
            from bot.wording.replies import pauses

            return pauses.WORDS
        case "reminders":
            from bot.wording.replies import reminders

            return reminders.WORDS
        case "duty":
            from bot.wording.replies import duty as duty_words

            return duty_words.WORDS
        case "frost":
            from bot.wording.replies import frost as frost_words

            return frost_words.WORDS
        case "importing":
            from bot.wording.replies import importing as importing_words

            return importing_words.WORDS
        case "labels":
            from bot.wording.replies import labels as labels_words

            return labels_words.WORDS
        case "leading":
            from bot.wording.replies import leading as leading_words

            return leading_words.WORDS
        case "looks":
            from bot.wording.replies import looks as looks_words

            return looks_words.WORDS
        case "lots":
            from bot.wording.replies import lots as lots_words

            return lots_words.WORDS
        case "notices":
            from bot.wording.replies import notices as notices_words

            return notices_words.WORDS
        case "people":
            from bot.wording.replies import people as people_words

            return people_words.WORDS
        case "plans":
            from bot.wording.replies import plans as plans_words

            return plans_words.WORDS
        case "reports":
            from bot.wording.replies import reports as reports_words

            return reports_words.WORDS
        case "results":
            from bot.wording.replies import results as results_words

            return results_words.WORDS
        case "shares":
            from bot.wording.replies import shares as shares_words

            return shares_words.WORDS
        case "shelves":
            from bot.wording.replies import shelves as shelves_words

            return shelves_words.WORDS
        case "sheets":
            from bot.wording.replies import sheets as sheets_words

            return sheets_words.WORDS
        case "site":
            from bot.wording.replies import site as site_words

            return site_words.WORDS
        case "start":
            from bot.wording.replies import start as start_words

            return start_words.WORDS
        case "topics":
            from bot.wording.replies import topics as topics_words

            return topics_words.WORDS
        case "looked_up":
            from bot.wording.replies import looked_up as looked_up_words

            return looked_up_words.WORDS
        case "trouble":
            from bot.wording.replies import trouble as trouble_words

            return trouble_words.WORDS
        case _:
            raise LookupError(f"no words for the replies of {subject}")


def excuse(error: UserError, voice: Voice) -> Message:
    """Return the message for a mistake the person can mend."""
    from bot.wording.mistakes.gathered import WORDS

    return WORDS[type(error)](error, voice)
